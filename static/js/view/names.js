/** Where the drawing's own lettering is on the screen, so that flags keep off it and no name hides another. */

/** @import {Point} from '../types.js' */
/** @import {Viewport} from './viewport.js' */

/** A name, a note or a figure: its middle on the plan, and half its sides in px. */
/** @typedef {{at: Point, half: Point, text: SVGTextElement, shown: boolean}} Lettered */

const LETTERING = '.layer-dims text, .layer-notes text, .layer-kit .name text';
/** Names may nearly touch: their boxes hold room above and below the letters. */
const SLACK_PX = 2;

export class Names {
	/** @type {Lettered[]} */
	#all = [];
	#scale = 0;
	#fresh = false;

	/** @param {SVGSVGElement} svg the drawing @param {Viewport} viewport */
	constructor(svg, viewport) {
		this.svg = svg;
		this.viewport = viewport;
	}

	/** The drawing is another one: its lettering is read anew when it is next asked for. */
	stale() {
		this.#fresh = false;
	}

	/** @returns {number[][]} left, top, right, bottom on the stage, in px, of what can be read */
	boxes() {
		if (!this.#fresh || this.#scale !== this.viewport.u) this.#read();
		return this.#all
			.filter((one) => one.shown)
			.map(({ at, half }) => {
				const { x, y } = this.viewport.toStage(at);
				return [x - half.x, y - half.y, x + half.x, y + half.y];
			});
	}

	/** Read where everything is lettered, and leave away what would cover what comes before it. */
	#read() {
		const view = this.viewport;
		this.#scale = view.u;
		this.#fresh = true;
		const corner = view.stage.getBoundingClientRect();
		const texts = /** @type {SVGTextElement[]} */ ([...this.svg.querySelectorAll(LETTERING)]);
		for (const text of texts) text.classList.remove('is-crowded');
		this.#all = texts.flatMap((text) => {
			const box = text.getBoundingClientRect();
			if (!box.width || text.closest('[visibility="hidden"]')) return [];
			const middle = { x: box.left + box.width / 2 - corner.left, y: box.top + box.height / 2 - corner.top };
			const at = { x: view.x + middle.x * view.u, y: view.y + middle.y * view.u };
			return [{ at, half: { x: box.width / 2, y: box.height / 2 }, text, shown: true }];
		});
		// names of kit before notes and figures of the room; among names the larger piece drawn first
		const order = [...this.#all].sort((one, other) => rank(one.text) - rank(other.text));
		/** @type {Lettered[]} */
		const taken = [];
		for (const one of order) {
			one.shown = !taken.some((other) => meet(one, other, view.u));
			if (one.shown) taken.push(one);
			else one.text.classList.add('is-crowded');
		}
	}
}

/** @param {Element} text */
function rank(text) {
	return text.closest('.layer-dims') ? 0 : text.closest('.layer-kit') ? 1 : 2;
}

/** @param {Lettered} one @param {Lettered} other @param {number} u mm to a px */
function meet(one, other, u) {
	const dx = Math.abs(one.at.x - other.at.x) / u;
	const dy = Math.abs(one.at.y - other.at.y) / u;
	return dx < one.half.x + other.half.x - SLACK_PX && dy < one.half.y + other.half.y - 2 * SLACK_PX;
}
