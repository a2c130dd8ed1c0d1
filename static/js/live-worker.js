/**
 * Shared by all tabs of a browser that show one plan: one stream of news for all of them, open
 * while at least one of them is seen.
 */

import { Stream } from './stream.js';

/** @type {Set<MessagePort>} */
const seen = new Set();
/** @type {unknown} */
let last = null;
const asked = new URL(location.href).searchParams;
/** @param {unknown} word */
const tell = (word) => {
	if (word !== null) last = word;
	for (const port of seen) port.postMessage(word);
};
const stream = new Stream(asked.get('of') ?? '', tell, Number(asked.get('silent')) || undefined);

/** @param {MessagePort} port */
function join(port) {
	port.onmessage = ({ data }) => {
		if (data === 'seen') {
			seen.add(port);
			port.postMessage('here');
			stream.open();
			if (last) port.postMessage(last);
		} else {
			seen.delete(port);
			if (!seen.size) {
				stream.close();
				last = null;
			}
		}
	};
}

addEventListener('connect', (event) => {
	for (const port of /** @type {MessageEvent} */ (event).ports) join(port);
});
