/** What is fetched only when somebody asks for it: parts of the desk and style sheets. */

import { el } from './dom.js';

/**
 * Fetch a part of the desk the first time it is asked for.
 * @template T @param {() => Promise<T>} make @returns {() => Promise<T>}
 */
export function once(make) {
	/** @type {Promise<T>|null} */
	let made = null;
	return () => {
		if (made) return made;
		const now = make();
		made = now;
		// What could not be fetched is asked for anew the next time.
		now.catch(() => (made = null));
		return now;
	};
}

const AGAIN_MS = 3000;

/**
 * Fetch a part, again and again until it comes: the program may be starting anew just then.
 * @template T @param {() => Promise<T>} fetchPart
 * @param {() => void} onFault told each time that it did not come @returns {Promise<T>}
 */
export async function untilFetched(fetchPart, onFault) {
	for (;;) {
		try {
			return await fetchPart();
		} catch {
			onFault();
			await new Promise((done) => setTimeout(done, AGAIN_MS));
		}
	}
}

/**
 * Let each function of a part be called before the part is there: it is fetched then.
 * @template {object} Part @param {() => Promise<Part>} fetchPart
 */
export function eachOnceFetched(fetchPart) {
	/**
	 * @template {keyof Part} K @param {K} name
	 * @returns {Part[K] extends (...given: infer Given) => unknown ? (...given: Given) => Promise<void> : never}
	 */
	return (name) => {
		const call = async (/** @type {unknown[]} */ ...given) => {
			const part = await fetchPart();
			await /** @type {(...given: unknown[]) => unknown} */ (part[name]).apply(part, given);
		};
		return /** @type {any} */ (call);
	};
}

/**
 * Fetch a style sheet that only some of the desk needs, again and again until it comes.
 * @param {string} name @returns {Promise<void>} what it dresses may be shown then
 */
export function dress(name) {
	const href = new URL(`../css/${name}`, import.meta.url).href;
	if (document.head.querySelector(`[href="${href}"]`)) return Promise.resolve();
	return new Promise((done) => {
		const lay = () => {
			const link = el('link', { rel: 'stylesheet', href });
			link.addEventListener('load', () => done());
			link.addEventListener('error', () => {
				link.remove();
				setTimeout(lay, AGAIN_MS);
			});
			document.head.append(link);
		};
		lay();
	});
}
