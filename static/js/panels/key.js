/** The key of the pieces, and the title block: folded while nobody asks for them. */

import { el, need, say } from '../dom.js';
import { short } from '../model/written.js';
import { nameOf, sizeOf } from '../model/plan.js';

/** @import {KitRow, State} from '../types.js' */

export class Key {
	/**
	 * @param {HTMLElement} root @param {Record<string, KitRow>} library
	 * @param {(id: string, beside: boolean) => void} choose `beside`: with what is chosen already
	 * @param {(id: string|null) => void} point shows which piece a row is of
	 */
	constructor(root, library, choose, point) {
		this.list = need(root, '.key-list', HTMLElement);
		this.count = need(root, '.key-count', HTMLElement);
		this.revision = need(root, '.block-revision', HTMLElement);
		this.drawnFor = need(root, '.block-for', HTMLElement);
		this.library = library;
		this.list.addEventListener('click', (event) => {
			const item = event.target instanceof Element ? event.target.closest('[data-id]') : null;
			if (item) choose(item.getAttribute('data-id') ?? '', event.shiftKey || event.ctrlKey);
		});
		for (const [comes, goes] of [
			['pointerover', 'pointerleave'],
			['focusin', 'focusout'],
		]) {
			this.list.addEventListener(comes ?? '', ({ target }) => {
				const item = target instanceof Element ? target.closest('[data-id]') : null;
				point(item?.getAttribute('data-id') ?? null);
			});
			this.list.addEventListener(goes ?? '', () => point(null));
		}
	}

	/** @param {State} now @param {State|null} was */
	update(now, was) {
		if (now.plan === was?.plan) return;
		say(this.count, String(now.plan.pieces.length));
		say(this.revision, String(now.revision));
		say(this.drawnFor, now.plan.drawn_for || 'the household');
		const rows = now.plan.pieces.map((piece) => {
			const size = sizeOf(piece, this.library);
			const sides = [size.width, size.depth].map((mm) => short(mm, now.plan.units)).join(' × ');
			return el('li', {}, [
				el('button', { type: 'button', 'data-id': piece.id }, [
					el('span', { class: 'key-name' }, nameOf(piece, this.library) + (piece.later ? ', later' : '')),
					el('span', { class: 'key-size' }, sides),
				]),
			]);
		});
		this.list.replaceChildren(...rows);
	}
}
