/**
 * Shared by all tabs of a browser that show one plan: one stream of news for all of them, open
 * while at least one of them is seen.
 */

import { Stream } from './stream.js';

/** @type {Set<MessagePort>} */
const seen = new Set();
/** What was heard last, null while nothing is heard. @type {unknown} */
let last;
const asked = new URL(location.href).searchParams;
/** @param {unknown} word */
const tell = (word) => {
	last = word;
	for (const port of seen) port.postMessage(word);
};
const stream = new Stream(asked.get('of') ?? '', tell, Number(asked.get('silent')) || undefined);

/** @param {MessagePort} port */
function join(port) {
	port.onmessage = ({ data }) => {
		if (data === 'there') port.postMessage('here');
		else if (data === 'anew') {
			port.postMessage('here');
			stream.anew();
		} else if (data === 'seen') {
			seen.add(port);
			port.postMessage('here');
			stream.open();
			if (last !== undefined) port.postMessage(last);
		} else {
			seen.delete(port);
			if (!seen.size) {
				stream.close();
				last = undefined;
			}
		}
	};
}

addEventListener('connect', (event) => {
	for (const port of /** @type {MessageEvent} */ (event).ports) join(port);
});
