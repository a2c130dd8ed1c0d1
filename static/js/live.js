/** What others do to the plan, as it comes: one stream a browser, closed while nobody looks. */

import { HERE } from './api.js';
import { Stream } from './stream.js';

/** @import {News} from './types.js' */

/**
 * Follow a plan while this page is seen.
 * @param {string} plan id @param {(news: News|null) => void} onNews null: the line broke
 */
export function follow(plan, onNews) {
	const path = `${HERE}/api/plans/${encodeURIComponent(plan)}/stream`;
	const line = shared(path, onNews) ?? new Stream(path, (news) => onNews(/** @type {News|null} */ (news)));
	const look = () => (document.visibilityState === 'visible' ? line.open() : line.close());
	document.addEventListener('visibilitychange', look);
	window.addEventListener('pagehide', () => line.close());
	window.addEventListener('pageshow', look);
	window.addEventListener('online', () => onNews(null));
	look();
}

/**
 * @param {string} path @param {(news: News|null) => void} onNews
 * @returns {{open: () => void, close: () => void}|null} null where tabs cannot share a worker
 */
function shared(path, onNews) {
	if (typeof SharedWorker === 'undefined') return null;
	const script = new URL('live-worker.js', import.meta.url);
	script.searchParams.set('of', path);
	const worker = new SharedWorker(script, { type: 'module', name: path });
	worker.port.addEventListener('message', ({ data }) => onNews(data));
	worker.port.start();
	return {
		open: () => worker.port.postMessage('seen'),
		close: () => worker.port.postMessage('hidden'),
	};
}
