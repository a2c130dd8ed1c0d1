/** The margin of the sheet: numbered key of the pieces, and the title block. */

import { el, need, say } from '../dom.js';
import { short } from '../model/written.js';
import { nameOf, sizeOf } from '../model/plan.js';

/** @import {KitRow, State} from '../types.js' */

export class Key {
	/**
	 * @param {HTMLElement} root @param {Record<string, KitRow>} library
	 * @param {(id: string, more: boolean) => void} choose `more`: beside what is chosen
	 */
	constructor(root, library, choose) {
		this.list = need(root, '.key-list', HTMLElement);
		this.revision = need(root, '.block-revision', HTMLElement);
		this.drawnFor = need(root, '.block-for', HTMLElement);
		this.library = library;
		this.list.addEventListener('click', (event) => {
			const item = event.target instanceof Element ? event.target.closest('[data-id]') : null;
			if (item) choose(item.getAttribute('data-id') ?? '', event.shiftKey || event.ctrlKey);
		});
	}

	/** @param {State} now @param {State|null} was */
	update(now, was) {
		if (now.plan === was?.plan) return;
		say(this.revision, String(now.revision));
		say(this.drawnFor, now.plan.drawn_for || 'the household');
		const rows = now.plan.pieces.map((piece, i) => {
			const size = sizeOf(piece, this.library);
			const sides = [size.width, size.depth].map((mm) => short(mm, now.plan.units)).join(' × ');
			return el('li', {}, [
				el('button', { type: 'button', 'data-id': piece.id }, [
					el('span', { class: 'key-number' }, String(i + 1)),
					el('span', { class: 'key-name' }, nameOf(piece, this.library) + (piece.later ? ', later' : '')),
					el('span', { class: 'key-size' }, sides),
				]),
			]);
		});
		this.list.replaceChildren(...rows);
	}
}
