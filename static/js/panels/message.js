/** One line that tells of what just happened, read out politely, gone by itself. */

import { say } from '../dom.js';

const SHOWN_MS = 6000;

/**
 * @param {HTMLElement} line
 * @returns {(text: string, busy?: boolean) => void} `busy`: it stays till the next one, and shows that work goes on
 */
export function messages(line) {
	let timer = 0;
	return (text, busy = false) => {
		line.classList.toggle('is-looking', busy);
		say(line, text);
		line.classList.toggle('is-shown', text !== '');
		clearTimeout(timer);
		if (text && !busy) {
			timer = setTimeout(() => {
				line.classList.remove('is-shown');
				say(line, '');
			}, SHOWN_MS);
		}
	};
}
