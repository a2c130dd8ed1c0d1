/** One line that tells of what just happened, read out politely, gone by itself. */

import { say } from '../dom.js';

const SHOWN_MS = 6000;

/** @param {HTMLElement} line @returns {(text: string) => void} */
export function messages(line) {
	let timer = 0;
	return (text) => {
		say(line, text);
		line.classList.toggle('is-shown', text !== '');
		clearTimeout(timer);
		if (text) {
			timer = setTimeout(() => {
				line.classList.remove('is-shown');
				say(line, '');
			}, SHOWN_MS);
		}
	};
}
