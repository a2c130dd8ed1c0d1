/** Typing on a tape: the piece moves until the tape has that length. */

import { parseLength } from '../model/lengths.js';

/** @typedef {'left'|'right'|'back'|'front'} Side */

export class TapeField {
	/** @type {Side} */
	#side = 'left';
	#was = '';

	/**
	 * @param {HTMLInputElement} input @param {(side: Side, mm: number) => void} set
	 * @param {(text: string) => void} refuse @param {() => void} done
	 */
	constructor(input, set, refuse, done) {
		this.input = input;
		input.addEventListener('keydown', (event) => {
			if (event.key !== 'Enter' && event.key !== 'Escape') return;
			event.preventDefault();
			event.stopPropagation();
			const mm = event.key === 'Enter' ? parseLength(input.value) : null;
			if (event.key === 'Enter' && (mm === null || mm < 0)) {
				refuse(`“${input.value}” is not a length, such as 1250 or 1.25 m.`);
				return;
			}
			input.hidden = true;
			if (mm !== null && input.value !== this.#was) set(this.#side, mm);
			done();
		});
		input.addEventListener('blur', () => {
			input.hidden = true;
		});
	}

	/**
	 * @param {Side} side @param {string} text what the tape shows @param {number} x
	 * @param {number} y of its lettering, in pixels of the stage
	 */
	open(side, text, x, y) {
		this.#side = side;
		this.#was = text;
		this.input.value = text;
		this.input.hidden = false;
		this.input.style.left = `${x}px`;
		this.input.style.top = `${y}px`;
		this.input.focus();
		this.input.select();
	}
}
