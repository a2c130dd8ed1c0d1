/** Asking for points on the plan: by click, or by a cross that the arrow keys move. */

import { need, put, say, sv } from '../dom.js';
import { corners, faces } from '../model/geometry.js';
import { poseOf, sizeOf } from '../model/plan.js';

/** @import {Desk, Point, Wanted} from '../types.js' */

const CORNER_PX = 12;
const EDGE_PX = 8;
const STEP_MM = 100;
const FINE_MM = 10;

export class Pointing {
	/** @type {Wanted|null} */
	#wanted = null;
	/** @type {Point[]} */
	#points = [];
	/** @type {Point|null} */
	#at = null;
	/** @type {AbortController|null} */
	#listening = null;

	/** @param {Desk} desk */
	constructor(desk) {
		this.desk = desk;
		this.stage = desk.viewport.stage;
		this.line = need(this.stage, '.tool-says', HTMLElement);
		this.cross = sv('path', { class: 'cross' });
		this.ring = sv('circle', { class: 'ring' });
		need(this.stage, '.overlay .pointing', SVGGElement).append(this.cross, this.ring);
		desk.viewport.onChange(() => this.#draw());
	}

	/** @returns {string} what is asked for now, or nothing */
	get name() {
		return this.#wanted?.name ?? '';
	}

	/** @param {Wanted} wanted */
	ask(wanted) {
		this.end();
		this.#wanted = wanted;
		this.#points = [];
		this.#at = null;
		this.stage.classList.add('is-pointing');
		this.#tell();
		this.desk.tool = {
			press: (event, pan) => ({ ...pan, tap: () => this.#put(this.#place(event)) }),
		};
		this.#listening = new AbortController();
		const { signal } = this.#listening;
		this.stage.addEventListener('pointermove', (event) => this.#hover(event), { signal });
		document.addEventListener('keydown', (event) => this.#key(event), { signal, capture: true });
		for (const press of ['pointerdown', 'click']) {
			document.addEventListener(press, (event) => this.#pressed(event), { signal, capture: true });
		}
		this.stage.focus({ preventScroll: true });
	}

	end() {
		const was = this.#wanted;
		this.#wanted = null;
		this.#listening?.abort();
		this.desk.tool = null;
		this.stage.classList.remove('is-pointing');
		this.line.hidden = true;
		this.#at = null;
		this.#draw();
		was?.gone?.();
	}

	/** @param {PointerEvent} event */
	#place(event) {
		const at = this.desk.viewport.toPlan(event.clientX, event.clientY);
		return event.shiftKey || this.#wanted?.free ? at : this.#hold(at);
	}

	/** @param {PointerEvent} event */
	#hover(event) {
		if (event.buttons) return;
		this.#at = this.#place(event);
		this.#draw();
	}

	/** @param {KeyboardEvent} event */
	#key(event) {
		const target = event.target instanceof Element ? event.target : null;
		if (event.isComposing) return;
		if (event.key === 'Escape' && !this.#onPaper(target)) {
			if (!closesItself(target)) this.end();
			return;
		}
		if (!this.#onPaper(target) || target?.closest('a, summary, input, select, button')) return;
		const step = event.shiftKey ? FINE_MM : STEP_MM;
		const ways = /** @type {Record<string, [number, number]>} */ ({
			ArrowLeft: [-step, 0],
			ArrowRight: [step, 0],
			ArrowUp: [0, -step],
			ArrowDown: [0, step],
		});
		const way = ways[event.key];
		const at = this.#at ?? this.desk.viewport.middle;
		if (way) this.#at = { x: at.x + way[0], y: at.y + way[1] };
		else if (event.key === 'Enter' || event.key === ' ') this.#put(at);
		else if (event.key === 'Escape') this.end();
		else return;
		event.preventDefault();
		event.stopPropagation();
		if (way) {
			this.desk.viewport.reveal(this.#at ?? at, 40);
			this.#draw();
		}
	}

	/** Whether keys pressed there are meant for the drawing. @param {Element|null} target */
	#onPaper(target) {
		return target === null || target === document.body || this.stage.contains(target);
	}

	/** Kit taken from the shelf is set down next, no point. @param {Event} event */
	#pressed(event) {
		if (event.target instanceof Element && event.target.closest('#shelf [data-kit]')) this.end();
	}

	/** @param {Point} at */
	#put(at) {
		const wanted = this.#wanted;
		if (!wanted) return;
		if (wanted.take?.(at)) return;
		this.#points.push(at);
		if (this.#points.length < wanted.says.length) {
			this.#tell();
			return;
		}
		const points = this.#points;
		this.#points = [];
		if (wanted.again) this.#tell();
		else this.end();
		wanted.done(points);
	}

	#tell() {
		const says = this.#wanted?.says[this.#points.length] ?? '';
		say(need(this.line, 'span', HTMLElement), says);
		this.line.hidden = false;
	}

	#draw() {
		const { u } = this.desk.viewport;
		const at = this.#at;
		put(this.cross, 'd', at ? `M${at.x - 14 * u} ${at.y}h${28 * u}M${at.x} ${at.y - 14 * u}v${28 * u}` : '');
		put(this.ring, 'r', at ? String(4 * u) : '0');
		if (at) {
			put(this.ring, 'cx', String(at.x));
			put(this.ring, 'cy', String(at.y));
			this.#wanted?.show?.(this.#points, at);
		}
	}

	/** Come to rest on a near corner, else on a near edge, of walls and pieces. @param {Point} at */
	#hold(at) {
		const { store, library, viewport } = this.desk;
		/** @type {[Point, Point][]} */
		const edges = faces(store.state.plan.room).map((face) => [face.a, face.b]);
		for (const piece of store.state.plan.pieces) {
			const points = corners(poseOf(store.state, piece.id), sizeOf(piece, library));
			points.forEach((p, i) => edges.push([p, points[(i + 1) % 4] ?? p]));
		}
		return (
			nearest(at, edges.flat(), CORNER_PX * viewport.u) ??
			nearest(
				at,
				edges.map(([a, b]) => foot(at, a, b)),
				EDGE_PX * viewport.u,
			) ??
			at
		);
	}
}

/**
 * Whether Escape has something nearer to close or to empty than the tool.
 * @param {Element|null} target
 */
function closesItself(target) {
	if (target?.closest('dialog, form:not(.piece-card)')) return true;
	return target instanceof HTMLInputElement && target.name === 'find' && target.value !== '';
}

/** @param {Point} at @param {Point[]} points @param {number} within @returns {Point|null} */
function nearest(at, points, within) {
	let best = null;
	let least = within;
	for (const point of points) {
		const far = Math.hypot(point.x - at.x, point.y - at.y);
		if (far >= least) continue;
		least = far;
		best = point;
	}
	return best;
}

/** The place on a line nearest to a point. @param {Point} at @param {Point} a @param {Point} b */
function foot(at, a, b) {
	const [ex, ey] = [b.x - a.x, b.y - a.y];
	const part = ((at.x - a.x) * ex + (at.y - a.y) * ey) / (ex * ex + ey * ey || 1);
	const k = Math.max(0, Math.min(1, part));
	return { x: a.x + ex * k, y: a.y + ey * k };
}
