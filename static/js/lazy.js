/** What is fetched only when somebody asks for it: parts of the desk, style sheets, a snag's why. */

import { button, el, need } from './dom.js';

/** @import {Desk} from './types.js' */

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

/** Fetch a style sheet that only some of the desk needs. @param {string} name */
export function dress(name) {
	const href = new URL(`../css/${name}`, import.meta.url).href;
	if (document.head.querySelector(`[href="${href}"]`)) return;
	document.head.append(el('link', { rel: 'stylesheet', href }));
}

/**
 * Fill what opens below a snag.
 * @param {Desk} desk @param {(key: string, reason: string) => void} settle
 * @param {'why'|'settle'} what @param {string} key @param {HTMLElement} host
 * @param {() => void} shut
 */
export async function fillBelow(desk, settle, what, key, host, shut) {
	const { why, settleForm } = await import('./panels/below.js');
	const { plan, verdict } = desk.store.state;
	const snag = verdict.snags.find((s) => s.key === key);
	if (!snag) return;
	if (what === 'settle') {
		const form = settleForm((reason) => settle(key, reason), shut);
		host.replaceChildren(form);
		need(form, 'input', HTMLInputElement).focus();
		return;
	}
	host.replaceChildren(...why(snag, plan.units));
	if (!snag.code.startsWith('headroom')) return;
	host.append(button('', 'plain', () => void showSection(desk, key), 'See the section'));
}

/** @param {Desk} desk @param {string} key of a headroom snag */
async function showSection(desk, key) {
	dress('section.css');
	const dialog = need(document, 'dialog.picture', HTMLDialogElement);
	try {
		const { section } = await import('./panels/below.js');
		const drawn = section((await desk.sync.api.section(key)).svg);
		if (drawn) need(dialog, '.drawn', HTMLElement).replaceChildren(drawn);
		dialog.showModal();
	} catch (error) {
		desk.tell(error instanceof Error ? error.message : String(error));
	}
}
