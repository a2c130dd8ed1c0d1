/** What others do to the plan, as it comes: one stream a browser, closed while nobody looks. */

import { HERE } from './api.js';
import { Stream } from './stream.js';

/** @import {News} from './types.js' */
/** @typedef {{open: () => void, close: () => void, anew: () => void}} Line */

/**
 * A worker that does not answer for so long is none: its script did not come, it broke, or the
 * browser has ended it. It is asked again so long after each word of it.
 */
const SILENT_MS = 5000;

/**
 * Follow a plan while this page is seen.
 * @param {string} plan id @param {(news: News|null) => void} onNews null: the line broke
 * @param {number} [silentMs] after which a line that says nothing is given up
 */
export function follow(plan, onNews, silentMs) {
	const path = `${HERE}/api/plans/${encodeURIComponent(plan)}/stream`;
	const own = () => new Stream(path, (news) => onNews(/** @type {News|null} */ (news)), silentMs);
	/** @type {Line} */
	let line =
		shared(path, silentMs, onNews, () => {
			onNews(null);
			line.close();
			line = own();
			look();
		}) ?? own();
	const look = () => (document.visibilityState === 'visible' ? line.open() : line.close());
	document.addEventListener('visibilitychange', look);
	window.addEventListener('pagehide', () => line.close());
	window.addEventListener('pageshow', look);
	window.addEventListener('online', () => {
		// Whether the line broke cannot be told from here: a new one says how things stand.
		onNews(null);
		if (document.visibilityState === 'visible') line.anew();
	});
	look();
}

/**
 * @param {string} path @param {number|undefined} silentMs @param {(news: News|null) => void} onNews
 * @param {() => void} onDead told once where the worker does not work
 * @returns {Line|null} null where tabs cannot share a worker
 */
function shared(path, silentMs, onNews, onDead) {
	if (typeof SharedWorker === 'undefined') return null;
	const script = new URL('live-worker.js', import.meta.url);
	script.searchParams.set('of', path);
	if (silentMs) script.searchParams.set('silent', String(silentMs));
	const worker = new SharedWorker(script, { type: 'module', name: path });
	let [dead, silent] = [false, 0];
	const die = () => {
		clearTimeout(silent);
		if (!dead) onDead();
		dead = true;
	};
	worker.addEventListener('error', die);
	/** @param {string} word what the worker is to answer */
	const say = (word) => {
		clearTimeout(silent);
		silent = setTimeout(die, SILENT_MS);
		worker.port.postMessage(word);
	};
	let open = false;
	worker.port.addEventListener('message', ({ data }) => {
		if (dead) return;
		clearTimeout(silent);
		if (open) silent = setTimeout(() => say('there'), SILENT_MS);
		if (data !== 'here') onNews(data);
	});
	worker.port.start();
	return {
		open() {
			open = true;
			say('seen');
		},
		close() {
			open = false;
			clearTimeout(silent);
			worker.port.postMessage('hidden');
		},
		anew: () => say('anew'),
	};
}
