/** The server's own drawing of the plan: moved about, never redrawn here. */

import { put, sv } from '../dom.js';
import { covers } from '../model/geometry.js';
import { inHand, poseOf, sizeOf } from '../model/plan.js';
import { pieceSentence } from '../model/words.js';
import { lettered } from './lettering.js';

/** @import {KitRow, Piece, Point, Pose, State} from '../types.js' */

const PARSED_KEPT = 40;

export class Figure {
	/** @type {Map<string, SVGGElement[]>} */
	#groups = new Map();
	/** @type {Map<string, Pose>} */
	#drawn = new Map();
	/** Drawings by their markup, so that undo need not read one again. @type {Map<string, SVGSVGElement>} */
	#parsed = new Map();
	/** Whether something is shown that the program has not drawn. */
	#ahead = false;

	/** @param {SVGSVGElement} svg @param {Record<string, KitRow>} library */
	constructor(svg, library) {
		this.svg = svg;
		this.library = library;
		/** The side of the paper on which the left of the room lies. */
		this.left = document.querySelector('#piece [name="left"]')?.getAttribute('data-side') ?? 'left';
		this.pristine = /** @type {SVGSVGElement} */ (svg.cloneNode(true));
		this.#parsed.set('', this.pristine);
		svg.setAttribute('role', 'group');
		svg.setAttribute('aria-label', 'Plan of the room');
		this.#gather();
	}

	/**
	 * Take over a drawing: only what differs from the last one is exchanged. Its pieces are then
	 * put where the plan has them, for the drawing may be older.
	 * @param {string} markup '' for the one that the page came with @param {State} state
	 */
	replace(markup, state) {
		const parsed = this.#read(markup);
		const focused = document.activeElement?.closest('[data-piece]')?.getAttribute('data-piece');
		if (parsed !== this.pristine) exchange(this.svg, this.pristine, parsed);
		this.pristine = parsed;
		lettered(this.svg);
		this.#gather();
		for (const { id, pose } of state.plan.pieces) {
			for (const group of this.#groups.get(id) ?? []) settle(group, pose);
		}
		this.ahead(state);
		this.decorate(state);
		if (focused && !this.svg.contains(document.activeElement)) this.focus(focused);
	}

	/** @param {string} markup @returns {SVGSVGElement} */
	#read(markup) {
		const known = this.#parsed.get(markup);
		if (known) return known;
		const parsed = new DOMParser().parseFromString(markup, 'image/svg+xml').documentElement;
		if (!(parsed instanceof SVGSVGElement)) throw new Error('the drawing cannot be read');
		this.#parsed.set(markup, parsed);
		const [, oldest] = this.#parsed.keys();
		if (this.#parsed.size > PARSED_KEPT && oldest) this.#parsed.delete(oldest);
		return parsed;
	}

	#gather() {
		this.#groups.clear();
		this.#drawn.clear();
		for (const group of this.svg.querySelectorAll('g[data-piece]')) {
			const id = group.getAttribute('data-piece') ?? '';
			const groups = this.#groups.get(id) ?? [];
			groups.push(/** @type {SVGGElement} */ (group));
			this.#groups.set(id, groups);
		}
	}

	/**
	 * Show what the program has not drawn yet: what is gone is hidden, what has come is an outline.
	 * @param {State} state
	 */
	ahead(state) {
		if (!state.waiting.length && !this.#ahead) return;
		this.#ahead = state.waiting.length > 0;
		const standing = new Map(state.plan.pieces.map((piece) => [piece.id, piece]));
		for (const [id, groups] of this.#groups) {
			for (const group of groups) {
				if (group.classList.contains('is-ahead') && !standing.has(id)) group.remove();
				else put(group, 'visibility', standing.has(id) ? 'visible' : 'hidden');
			}
		}
		for (const piece of this.#ahead ? standing.values() : []) {
			if (!this.#groups.has(piece.id)) this.svg.querySelector('.layer-kit')?.append(this.#outline(piece));
		}
		this.#gather();
		this.decorate(state);
	}

	/** @param {Piece} piece */
	#outline(piece) {
		const { width, depth } = sizeOf(piece, this.library);
		const [x, y] = [-width / 2, -depth / 2];
		const look = { x, y, width, height: depth, fill: '#ffffff', stroke: 'currentColor', 'stroke-dasharray': '60 30' };
		const group = sv('g', { class: 'piece is-ahead', 'data-piece': piece.id }, [
			sv('rect', { ...look, 'stroke-width': 10 }),
		]);
		group.setAttribute('transform', transformOf(piece.pose));
		return group;
	}

	/** @param {string} id @returns {SVGGElement|null} the drawn piece, without its working spaces */
	piece(id) {
		return this.#groups.get(id)?.find((g) => g.classList.contains('piece')) ?? null;
	}

	/** @param {string} id */
	focus(id) {
		this.piece(id)?.focus({ preventScroll: true });
	}

	/** Mark the piece that a row of the key is of. @param {string|null} id */
	point(id) {
		for (const one of this.svg.querySelectorAll('.is-pointed')) one.classList.remove('is-pointed');
		if (id) this.piece(id)?.classList.add('is-pointed');
	}

	/** Bring roles, names and places up to date with the state. @param {State} state */
	decorate(state) {
		this.place(state);
		const moving = inHand(state);
		const named = state.verdict.snags.find((s) => s.key === state.snag)?.pieces ?? [];
		for (const piece of state.plan.pieces) {
			const group = this.piece(piece.id);
			if (!group) continue;
			put(group, 'role', 'button');
			put(group, 'tabindex', '0');
			put(group, 'aria-label', pieceSentence(state, piece, this.library, this.left));
			const chosen = state.chosen === piece.id || state.others.includes(piece.id);
			put(group, 'aria-pressed', String(chosen));
			group.classList.toggle('is-chosen', chosen);
			group.classList.toggle('is-moving', moving.includes(piece.id));
			group.classList.toggle('is-later', piece.later);
			group.classList.toggle('is-named', named.includes(piece.id));
		}
	}

	/**
	 * Move what the preview shows elsewhere, and put back what it no longer shows.
	 * @param {State} state
	 */
	place(state) {
		for (const [id] of this.#drawn) {
			if (!(id in state.preview)) this.#put(id, null);
		}
		for (const [id, pose] of Object.entries(state.preview)) {
			if (this.#drawn.get(id) !== pose) this.#put(id, pose);
		}
	}

	/** @param {string} id @param {Pose|null} pose null: where the server drew it */
	#put(id, pose) {
		for (const group of this.#groups.get(id) ?? []) {
			if (pose === null) {
				const own = group.dataset['own'];
				if (own !== undefined) group.setAttribute('transform', own);
			} else {
				group.dataset['own'] ??= group.getAttribute('transform') ?? '';
				group.setAttribute('transform', transformOf(pose));
			}
			upright(group, pose);
		}
		if (pose === null) this.#drawn.delete(id);
		else this.#drawn.set(id, pose);
	}

	/**
	 * Find the piece at a place: the smallest of those that cover it.
	 * @param {State} state @param {Point} point @param {number} margin mm @returns {string|null}
	 */
	pick(state, point, margin) {
		let best = null;
		let least = Infinity;
		for (const piece of state.plan.pieces) {
			const size = sizeOf(piece, this.library);
			const area = size.width * size.depth;
			if (area < least && covers(poseOf(state, piece.id), size, point, margin)) {
				best = piece.id;
				least = area;
			}
		}
		return best;
	}
}

/** @param {Pose} pose @returns {string} as the program writes it */
function transformOf({ x_mm, y_mm, angle_deg }) {
	const [x, y, angle] = [x_mm, y_mm, angle_deg].map((n) => Math.round(n * 100) / 100);
	return `translate(${x} ${y})${angle ? ` rotate(${angle})` : ''}`;
}

/**
 * Move a group for good.
 * @param {SVGGElement} group @param {Pose} pose
 */
function settle(group, pose) {
	const own = group.dataset['own'] ?? group.getAttribute('transform') ?? '';
	const [x = 0, y = 0, angle = 0] = (own.match(/-?[\d.]+/g) ?? []).map(Number);
	const near = Math.abs(x - pose.x_mm) < 0.01 && Math.abs(y - pose.y_mm) < 0.01;
	if (near && Math.abs(angle - pose.angle_deg) < 0.01) return;
	group.dataset['own'] ??= own;
	upright(group, pose);
	for (const name of group.children) {
		if (name instanceof SVGGElement && name.dataset['own'] !== undefined) {
			name.dataset['own'] = name.getAttribute('transform') ?? '';
		}
	}
	const there = transformOf(pose);
	group.dataset['own'] = there;
	group.setAttribute('transform', there);
}

/**
 * Keep a name upright while its piece is turned.
 * @param {SVGGElement} group @param {Pose|null} pose
 */
function upright(group, pose) {
	for (const name of group.children) {
		if (!(name instanceof SVGGElement) || !name.classList.contains('name')) continue;
		if (pose === null) {
			name.setAttribute('transform', name.dataset['own'] ?? name.getAttribute('transform') ?? '');
			continue;
		}
		name.dataset['own'] ??= name.getAttribute('transform') ?? '';
		const drawn = /rotate\(([-\d.]+)/.exec(group.dataset['own'] ?? '');
		const more = pose.angle_deg - Number(drawn?.[1] ?? 0);
		name.setAttribute('transform', more ? `rotate(${-more}) ${name.dataset['own']}` : name.dataset['own']);
	}
}

/**
 * Exchange in `live` what differs between the drawing it was made from and a new one.
 * @param {Element} live @param {Element} was @param {Element} now
 */
function exchange(live, was, now) {
	const keys = [...now.children].map(keyOf);
	const lived = new Map([...live.children].map((child) => [keyOf(child), child]));
	const before = new Map([...was.children].map((child) => [keyOf(child), child]));
	if (keys.includes('') || new Set(keys).size < keys.length) {
		live.replaceChildren(...[...now.children].map((child) => document.importNode(child, true)));
		return;
	}
	for (const [key, child] of lived) if (!keys.includes(key)) child.remove();
	let at = live.firstElementChild;
	[...now.children].forEach((child, i) => {
		const key = keys[i] ?? '';
		const old = lived.get(key);
		const source = before.get(key);
		/** @type {Element} */
		let node;
		if (old && source?.isEqualNode(child)) {
			node = old;
			if (old instanceof SVGGElement && old.dataset['own'] !== undefined) asDrawn(old, source);
		} else if (old && source && /^layer-(kit|spaces)$/.test(key)) {
			exchange(old, source, child);
			node = old;
		} else {
			node = document.importNode(child, true);
			if (old) {
				if (at === old) at = old.nextElementSibling;
				old.remove();
			}
		}
		if (node === at) at = at.nextElementSibling;
		else live.insertBefore(node, at);
	});
}

/**
 * Put a group, and the name in it, back to where it was drawn.
 * @param {SVGGElement} group @param {Element} source its drawing
 */
function asDrawn(group, source) {
	group.setAttribute('transform', source.getAttribute('transform') ?? '');
	delete group.dataset['own'];
	[...source.children].forEach((child, i) => {
		const name = group.children[i];
		if (!(name instanceof SVGGElement) || name.dataset['own'] === undefined) return;
		name.setAttribute('transform', child.getAttribute('transform') ?? '');
		delete name.dataset['own'];
	});
}

/** @param {Element} element @returns {string} what names it among its brothers, or nothing */
function keyOf(element) {
	const id = element.getAttribute('data-piece');
	if (id) return id;
	return element.localName === 'defs' ? 'defs' : (element.getAttribute('class') ?? '');
}
