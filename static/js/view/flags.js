/** Numbered flags planted at the places of the snags, spread so that none covers another. */

import { put, sv, say } from '../dom.js';

/** @import {Flag, Point, Snag, Verdict} from '../types.js' */
/** @import {Viewport} from './viewport.js' */

const WIDE = 28;
const HIGH = 22;

/** What a px of a pole across lettering costs, beside a px² of it under a flag's head. */
const POLE_WIDE = 8;
/** What a box of lettering holds above and below the letters, in px. */
const AIR = 3;

/** Ways to go further off, where all is taken near by. */
const ROUND = [...Array(12).keys()].map((i) => [Math.sin((i * Math.PI) / 6), -Math.cos((i * Math.PI) / 6)]);

/** Where the foot of a flag's head may be, seen from its place, and to which side it flies. */
// prettier-ignore
const POLES = /** @type {[number, number, 1|-1][]} */ ([
	[0, -14, 1], [0, -14, -1], [0, -38, 1], [0, -38, -1],
	[20, -8, 1], [-20, -8, -1], [0, 36, 1], [0, 36, -1],
	[34, 18, 1], [-34, 18, -1], [0, -62, 1], [0, -62, -1],
	[50, -30, 1], [-50, -30, -1], [0, 62, 1], [0, 62, -1],
	...[46, 70, 96, 124].flatMap((far) => ROUND.map(([x = 0, y = 0]) => [Math.round(x * far), Math.round(y * far), x < 0 ? -1 : 1])),
]);

export class Flags {
	/** @type {Map<string, Flag>} */
	#flags = new Map();
	/** @type {Snag[]} */
	#snags = [];
	/** @type {string|null} */
	#chosen = null;

	/**
	 * @param {SVGElement} layer @param {Viewport} viewport
	 * @param {() => number[][]} lettered boxes on the stage that flags should not hide
	 */
	constructor(layer, viewport, lettered) {
		this.layer = layer;
		this.lettered = lettered;
		this.viewport = viewport;
		viewport.onChange(() => this.#lay());
	}

	/** @param {Verdict} verdict @param {string|null} chosen */
	show(verdict, chosen) {
		this.#snags = verdict.snags.filter((snag) => snag.where && !snag.settled);
		this.#chosen = chosen;
		const keys = new Set(this.#snags.map((snag) => snag.key));
		for (const [key, flag] of this.#flags) {
			if (keys.has(key)) continue;
			flag.group.remove();
			this.#flags.delete(key);
		}
		for (const snag of this.#snags) {
			const flag = this.#flags.get(snag.key) ?? this.#plant(snag);
			if (flag.severity !== snag.severity) {
				flag.head.replaceWith((flag.head = head(snag.severity)));
				flag.severity = snag.severity;
			}
			const look = `flag ${snag.severity}${snag.key === chosen ? ' is-chosen' : ''}`;
			put(flag.group, 'class', look);
			say(flag.number, String(snag.number));
		}
		this.#lay();
	}

	/** @param {Snag} snag */
	#plant(snag) {
		const flag = {
			group: sv('g', { 'data-snag': snag.key }),
			pole: sv('path', { class: 'pole' }),
			head: head(snag.severity),
			number: sv('text', { class: 'number' }),
			severity: snag.severity,
			choice: 0,
		};
		flag.group.append(sv('circle', { class: 'place', r: 7 }), flag.pole, flag.head, flag.number);
		this.layer.append(flag.group);
		this.#flags.set(snag.key, flag);
		return flag;
	}

	/** Lay every flag anew: in pixels, first come first served, the chosen one before all. */
	#lay() {
		const view = this.viewport;
		put(this.layer, 'transform', `translate(${view.x} ${view.y}) scale(${view.u})`);
		/** @type {number[][]} */
		const taken = [...this.lettered()];
		const order = [...this.#snags].sort(
			(one, other) =>
				Number(other.key === this.#chosen) - Number(one.key === this.#chosen) || one.number - other.number,
		);
		for (const snag of order) {
			const flag = this.#flags.get(snag.key);
			if (!flag || !snag.where) continue;
			const at = view.toStage(snag.where);
			flag.choice = this.#choose(at, flag.choice, taken);
			const [dx, dy, side] = POLES[flag.choice] ?? [0, 0, 1];
			taken.push(box(at, flag.choice));
			put(flag.group, 'transform', `translate(${round(at.x)} ${round(at.y)})`);
			put(flag.pole, 'd', `M0 0L${dx} ${dy}V${dy - HIGH}`);
			put(flag.head, 'transform', `translate(${dx} ${dy - HIGH}) scale(${side} 1)`);
			const middle = { stop: 13, care: 10, note: 12 }[snag.severity];
			put(flag.number, 'x', String(dx + side * middle));
			put(flag.number, 'y', String(dy - HIGH / 2 + 5));
		}
	}

	/**
	 * @param {Point} at @param {number} last the choice it had: kept while it is free
	 * @param {number[][]} taken
	 */
	#choose(at, last, taken) {
		let best = last;
		let least = Infinity;
		for (const [turn, choice] of [last, ...POLES.keys()].entries()) {
			const [x0 = 0, y0 = 0, x1 = 0, y1 = 0] = box(at, choice);
			const [dx, dy] = POLES[choice] ?? [0, 0];
			// rather a corner of a letter is hidden than a flag planted among other things
			let cost = turn ? Math.hypot(dx, dy) : 0;
			if (cost >= least) continue;
			if (x0 < 0 || y0 < 0 || x1 > this.viewport.width || y1 > this.viewport.height) cost += 60;
			for (const [a0 = 0, b0 = 0, a1 = 0, b1 = 0] of taken) {
				const w = Math.min(x1, a1) - Math.max(x0, a0);
				const h = Math.min(y1, b1) - Math.max(y0, b0);
				if (w > 0 && h > 0) cost += w * h;
				cost += POLE_WIDE * within(at, choice, [a0, a1], [b0 + AIR, b1 - AIR]);
			}
			if (cost < least) {
				least = cost;
				best = choice;
			}
			if (cost === 0) break;
		}
		return best;
	}
}

/** @param {Point} at @param {number} choice */
function box(at, choice) {
	const [dx, dy, side] = POLES[choice] ?? [0, 0, 1];
	const x = at.x + dx;
	const y = at.y + dy;
	return [side > 0 ? x - 2 : x - WIDE - 2, y - HIGH - 2, side > 0 ? x + WIDE + 2 : x + 2, y + 2];
}

/**
 * How long a pole runs within a box, in px: from its place to the foot of its head.
 * @param {Point} at @param {number} choice @param {number[]} across @param {number[]} down
 */
function within(at, choice, across, down) {
	const [dx, dy] = POLES[choice] ?? [0, 0];
	let [from, to] = [0, 1];
	for (const [start, by, [low = 0, high = 0]] of /** @type {[number, number, number[]][]} */ ([
		[at.x, dx, across],
		[at.y, dy, down],
	])) {
		if (by === 0) {
			if (start <= low || start >= high) return 0;
			continue;
		}
		const ends = [(low - start) / by, (high - start) / by];
		from = Math.max(from, Math.min(...ends));
		to = Math.min(to, Math.max(...ends));
	}
	return Math.max(0, to - from) * Math.hypot(dx, dy);
}

/** @param {string} severity */
function head(severity) {
	const shape = {
		stop: 'M0 0H26V22H0Z',
		care: 'M0 -1L30 11L0 23Z',
		note: 'M12 0A11 11 0 1 1 11.99 0Z',
	}[severity];
	return sv('path', { class: 'head', d: shape ?? '' });
}

/** @param {number} value */
function round(value) {
	return Math.round(value * 10) / 10;
}
