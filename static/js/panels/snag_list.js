/** The slip on the right: every snag as a row, patched by key while things move. */

import { makeLayoutsReady } from '../api.js';
import { need, say } from '../dom.js';
import { countWords, openCount } from '../model/words.js';

/** @import {State} from '../types.js' */
/** @import {Row} from './row.js' */

export class SnagList {
	/** @type {Map<string, Row>} */
	#rows = new Map();
	/** @type {State|null} */
	#state = null;

	/** @param {HTMLElement} root @param {(key: string) => Row} makeRow for a snag that is new in the list */
	constructor(root, makeRow) {
		this.root = root;
		this.makeRow = makeRow;
		this.list = need(root, '.snag-list', HTMLElement);
		this.counts = need(root, '.counts', HTMLElement);
		this.first = need(root, '.first-steps', HTMLElement);
		this.clear = need(root, '.all-clear', HTMLElement);
		this.mend = need(root, '[data-act="mend"]', HTMLButtonElement);
		const arrange = root.querySelector('.arrange-open');
		if (!(arrange instanceof HTMLFormElement)) return;
		for (const near of ['pointerenter', 'focusin']) arrange.addEventListener(near, () => makeLayoutsReady(arrange));
	}

	/** @param {State} state */
	update(state) {
		const was = this.#state;
		this.#state = state;
		if (was?.previewed !== state.previewed) this.list.classList.toggle('is-trying', state.previewed);
		this.list.classList.toggle('is-seeking', state.remediesOf !== state.revision);
		const same = was?.verdict === state.verdict && was.remedies === state.remedies;
		if (same && was.snag === state.snag) return;
		const snags = state.verdict.snags;
		const ordered = [...snags.filter((s) => !s.settled), ...snags.filter((s) => s.settled)];
		const keys = new Set(ordered.map((s) => s.key));
		for (const [key, row] of this.#rows) {
			if (keys.has(key)) continue;
			row.element.remove();
			this.#rows.delete(key);
		}
		let at = this.list.firstElementChild;
		for (const snag of ordered) {
			let row = this.#rows.get(snag.key);
			if (!row) {
				row = this.makeRow(snag.key);
				this.#rows.set(snag.key, row);
			}
			const remedy = snag.remedy ?? state.remedies[snag.key] ?? null;
			const tried = snag.tried ?? state.tried?.[snag.key] ?? '';
			row.update(snag, remedy, tried, snag.key === state.snag);
			if (row.element === at) at = at.nextElementSibling;
			else this.list.insertBefore(row.element, at);
		}
		const open = openCount(state.verdict.counts);
		say(this.counts, countWords(state.verdict.counts));
		const empty = state.plan.pieces.every((piece) => piece.stays);
		this.first.hidden = !empty;
		this.clear.hidden = empty || open > 0;
		const who = this.first.querySelector('.first-who');
		if (who instanceof HTMLElement) who.hidden = state.plan.people.length > 0;
		this.mend.hidden = state.verdict.counts.stop + state.verdict.counts.care === 0;
		this.list.hidden = ordered.length === 0;
		this.root.classList.toggle('is-clear', open === 0);
	}

	/** Bring a row into view. @param {string} key */
	reveal(key) {
		const row = this.#rows.get(key)?.element;
		row?.scrollIntoView({ block: 'nearest' });
	}
}
