/** The head of the desk: name, whether all is saved, who trains, undo and redo. */

import { OUT_OF_REACH, need, say } from '../dom.js';
import { whoTrains } from '../model/words.js';

/** @import {State} from '../types.js' */

export class Header {
	/** @param {HTMLElement} root @param {(name: string) => void} rename */
	constructor(root, rename) {
		this.name = need(root, '.plan-name', HTMLButtonElement);
		this.form = need(root, '.rename', HTMLFormElement);
		this.input = need(root, '.rename input', HTMLInputElement);
		this.saved = need(root, '.saved', HTMLElement);
		this.who = root.querySelector('.who a') ?? need(root, '.who', HTMLElement);
		this.undo = need(root, '[data-act="undo"]', HTMLButtonElement);
		this.redo = need(root, '[data-act="redo"]', HTMLButtonElement);
		this.name.addEventListener('click', () => this.#edit(true));
		this.form.addEventListener('submit', (event) => {
			event.preventDefault();
			const name = this.input.value.trim();
			this.#edit(false);
			if (name && name !== this.name.textContent) rename(name);
			this.name.focus();
		});
		this.input.addEventListener('keydown', (event) => {
			if (event.key !== 'Escape') return;
			event.stopPropagation();
			this.#edit(false);
			this.name.focus();
		});
		this.input.addEventListener('blur', () => {
			if (!this.form.hidden) this.form.requestSubmit();
		});
	}

	/** @param {boolean} open */
	#edit(open) {
		this.form.hidden = !open;
		this.name.hidden = open;
		if (!open) return;
		this.input.value = this.name.textContent ?? '';
		this.input.focus();
		this.input.select();
	}

	/** @param {State} state */
	update(state) {
		say(this.name, state.plan.name);
		say(this.who, whoTrains(state.plan));
		const words = {
			saved: state.deaf ? OUT_OF_REACH : 'saved',
			away: OUT_OF_REACH,
			saving: 'saving',
			failed: `not saved: ${state.fault}`,
		};
		say(this.saved, words[state.saving]);
		this.saved.classList.toggle('is-failed', !['saved', 'saving'].includes(words[state.saving]));
		const last = state.waiting.at(-1)?.command.says;
		step(this.undo, 'Undo', last !== undefined || state.undo_to !== null, last ?? state.undo_says ?? '', 'Ctrl+Z');
		step(this.redo, 'Redo', state.redo_to !== null, state.redo_says ?? '', 'Ctrl+Shift+Z');
	}
}

/**
 * @param {HTMLButtonElement} button @param {string} word @param {boolean} can @param {string} says
 * @param {string} keys
 */
function step(button, word, can, says, keys) {
	button.disabled = !can;
	const title = `${word}${says ? `: ${says}` : ''} (${keys})`;
	if (button.title !== title) button.title = title;
}
