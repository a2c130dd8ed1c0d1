/** What part of the plan is seen, and how large: the frame that all drawings on the sheet share. */

import { letterAt } from './lettering.js';

/** @import {Bounds, Point} from '../types.js' */

const FINEST_MM_PER_PX = 0.4;
const COARSEST = 2.5;
/** Room that fit leaves for what lies on the stage: scale bar and zoom buttons stand at its foot. */
const INSET = { side: 4, top: 2 };
/** What it leaves at the foot by how wide the stage is: bar and buttons stand beside the room on a wide one. */
const FEET = [
	{ from: 880, px: 18 },
	{ from: 600, px: 32 },
	{ from: 0, px: 56 },
];

export class Viewport {
	/** @type {Set<() => void>} */
	#listeners = new Set();
	#fitted = true;
	#covered = 0;
	/** Where the stage is in the window; read anew before each gesture, not while one goes on. */
	#box = new DOMRect();

	x = 0;
	y = 0;
	/** mm of the room to one CSS pixel */
	u = 10;
	width = 1;
	height = 1;

	/**
	 * @param {HTMLElement} stage @param {SVGSVGElement[]} drawings that share this frame
	 * @param {Bounds} whole what fit shows
	 */
	constructor(stage, drawings, whole) {
		this.stage = stage;
		this.drawings = drawings;
		this.whole = whole;
		new ResizeObserver(() => this.#resized()).observe(stage);
		this.#resized();
	}

	/** @param {() => void} listener */
	onChange(listener) {
		this.#listeners.add(listener);
	}

	/** Look where the stage is, before a gesture begins. */
	look() {
		this.#box = this.stage.getBoundingClientRect();
		return this.#box;
	}

	/** @param {number} clientX @param {number} clientY @returns {Point} on the plan */
	toPlan(clientX, clientY) {
		const box = this.#box;
		return { x: this.x + (clientX - box.left) * this.u, y: this.y + (clientY - box.top) * this.u };
	}

	/**
	 * @param {Point} point on the plan @returns {Point} in pixels from the stage's top left corner
	 */
	toStage(point) {
		return { x: (point.x - this.x) / this.u, y: (point.y - this.y) / this.u };
	}

	fit() {
		this.#fitted = true;
		this.u = this.#fitting();
		this.x = (this.whole.x0 + this.whole.x1 - this.width * this.u) / 2;
		const free = this.height - this.#covered + INSET.top - this.#foot;
		this.y = (this.whole.y0 + this.whole.y1 - free * this.u) / 2;
		this.#apply();
	}

	/** @param {number} dx @param {number} dy pixels that the drawing moves by */
	pan(dx, dy) {
		this.#fitted = false;
		this.x -= dx * this.u;
		this.y -= dy * this.u;
		this.#apply();
	}

	/**
	 * @param {number} factor above 1 draws larger @param {number} [clientX]
	 * @param {number} [clientY] the place that stays where it is, else the middle
	 */
	zoom(factor, clientX, clientY) {
		const box = this.look();
		const px = clientX === undefined ? this.width / 2 : clientX - box.left;
		const py = clientY === undefined ? this.height / 2 : clientY - box.top;
		const coarsest = this.#fitting() * COARSEST;
		const next = Math.min(coarsest, Math.max(FINEST_MM_PER_PX, this.u / factor));
		this.x += px * (this.u - next);
		this.y += py * (this.u - next);
		this.u = next;
		this.#fitted = false;
		this.#apply();
	}

	/**
	 * Move as little as needed for a place to be well inside the sheet.
	 *
	 * While all of the drawing is seen, what is seen stays: else its other end were cut off.
	 * @param {Point} point @param {number} margin px
	 */
	reveal(point, margin) {
		const at = this.toStage(point);
		const high = this.height - this.#covered;
		if (this.#fitted && at.x >= 0 && at.x <= this.width && at.y >= 0 && at.y <= high) return;
		const dx = inside(at.x, margin, this.width - margin) - at.x;
		const dy = inside(at.y, margin, high - margin) - at.y;
		if (dx || dy) this.pan(dx, dy);
	}

	/** Tell how much of the stage's foot is covered: fit keeps clear of it. @param {number} px */
	cover(px) {
		if (px === this.#covered) return;
		this.#covered = px;
		if (this.#fitted) this.fit();
	}

	/** @returns {Point} */
	get middle() {
		return { x: this.x + (this.width * this.u) / 2, y: this.y + (this.height * this.u) / 2 };
	}

	/** @returns {number} px */
	get #foot() {
		// bar and buttons lie behind an open drawer
		return this.#covered ? INSET.top : (FEET.find(({ from }) => this.width >= from)?.px ?? 0);
	}

	#fitting() {
		return Math.max(
			(this.whole.x1 - this.whole.x0) / Math.max(1, this.width - 2 * INSET.side),
			(this.whole.y1 - this.whole.y0) / Math.max(1, this.height - this.#covered - INSET.top - this.#foot),
		);
	}

	#resized() {
		const middle = this.middle;
		this.look();
		this.width = Math.max(1, this.stage.clientWidth);
		this.height = Math.max(1, this.stage.clientHeight);
		if (this.#fitted) {
			this.fit();
			return;
		}
		this.x = middle.x - (this.width * this.u) / 2;
		this.y = middle.y - (this.height * this.u) / 2;
		this.#apply();
	}

	/** @returns {boolean} whether the drawing is too small for the names in it */
	get namesAway() {
		return this.stage.classList.contains('is-farther');
	}

	#apply() {
		const box = `${this.x} ${this.y} ${this.width * this.u} ${this.height * this.u}`;
		for (const drawing of this.drawings) {
			drawing.setAttribute('viewBox', box);
			const u = String(this.u);
			if (drawing.style.getPropertyValue('--u') !== u) drawing.style.setProperty('--u', u);
		}
		if (this.drawings[0]) letterAt(this.stage, this.drawings[0], this.u);
		for (const listener of this.#listeners) listener();
	}
}

/** @param {number} value @param {number} low @param {number} high */
function inside(value, low, high) {
	return low > high ? (low + high) / 2 : Math.min(high, Math.max(low, value));
}
