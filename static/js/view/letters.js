/** Remarks as pencilled letters at their places on the plan, constant in size. */

import { put, sv } from '../dom.js';

/** @import {Remark} from '../types.js' */
/** @import {Viewport} from './viewport.js' */

export class Letters {
	/** @type {Map<number, SVGElement>} */
	#groups = new Map();
	/** @type {Remark[]} */
	#remarks = [];
	/** @type {{x: number, y: number}|null} */
	#new = null;

	/**
	 * @param {SVGElement} overlay @param {Viewport} viewport
	 * @param {(id: number) => void} choose
	 */
	constructor(overlay, viewport, choose) {
		this.viewport = viewport;
		this.choose = choose;
		this.layer = sv('g', { class: 'letters' });
		this.mark = sv('path', { class: 'pencil', d: 'M-7 -7L7 7M-7 7L7 -7' });
		overlay.append(this.layer);
		viewport.onChange(() => this.#lay());
	}

	/** @param {Remark[]} remarks @param {number|null} chosen id */
	show(remarks, chosen) {
		this.#remarks = remarks.filter((remark) => !remark.settled || remark.id === chosen);
		const ids = new Set(this.#remarks.map((remark) => remark.id));
		for (const [id, group] of this.#groups) {
			if (ids.has(id)) continue;
			group.remove();
			this.#groups.delete(id);
		}
		for (const remark of this.#remarks) {
			const group = this.#groups.get(remark.id) ?? this.#write(remark);
			put(group, 'class', `letter-mark${remark.id === chosen ? ' is-chosen' : ''}`);
		}
		this.#lay();
	}

	/** Mark the place of a remark that is being written. @param {{x: number, y: number}|null} at */
	place(at) {
		this.#new = at;
		if (at) this.layer.append(this.mark);
		else this.mark.remove();
		this.#lay();
	}

	/** @param {Remark} remark */
	#write(remark) {
		const group = sv('g', { 'data-remark': remark.id }, [
			sv('circle', { class: 'reach', r: 18 }),
			sv('circle', { class: 'ring', r: 12 }),
			sv('text', { y: 5 }, remark.letter),
		]);
		// The letter lies over the plan: what is under it is not meant.
		group.addEventListener('pointerdown', (event) => event.stopPropagation());
		group.addEventListener('click', () => this.choose(remark.id));
		this.layer.append(group);
		this.#groups.set(remark.id, group);
		return group;
	}

	#lay() {
		const view = this.viewport;
		put(this.layer, 'transform', `translate(${view.x} ${view.y}) scale(${view.u})`);
		for (const remark of this.#remarks) {
			const group = this.#groups.get(remark.id);
			if (group) move(group, view.toStage(remark));
		}
		if (this.#new) move(this.mark, view.toStage(this.#new));
	}
}

/** @param {SVGElement} element @param {{x: number, y: number}} at */
function move(element, at) {
	put(element, 'transform', `translate(${at.x.toFixed(1)} ${at.y.toFixed(1)})`);
}
