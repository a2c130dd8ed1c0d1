/** What waits until the program answers, change by change; each can be let go. */

import { button, el } from '../dom.js';

/** @import {Waiting} from '../types.js' */

export class WaitingPanel {
	/** @type {Waiting[]|null} */
	#shown = null;

	/** @param {HTMLElement} root a details @param {(id: number) => void} drop */
	constructor(root, drop) {
		this.root = root;
		this.drop = drop;
		root.hidden = true;
	}

	/** @param {Waiting[]} waiting */
	show(waiting) {
		if (waiting === this.#shown) return;
		this.#shown = waiting;
		this.root.hidden = waiting.length === 0;
		const rows = waiting.map(({ id, command }) => {
			const says = command.says || command.name;
			const drop = button('', 'quiet', () => this.drop(id), 'Drop');
			drop.setAttribute('aria-label', `Drop: ${says}`);
			return el('li', {}, [el('span', {}, says), drop]);
		});
		const title = `${waiting.length} ${waiting.length === 1 ? 'change' : 'changes'} not kept yet`;
		this.root.replaceChildren(el('summary', {}, title), el('ol', {}, rows));
	}
}
