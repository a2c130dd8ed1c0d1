/**
 * What the hand holds: chalk ticks at the corners, one turning grip, paper tapes to the walls, and
 * its name where the drawing is too small for names.
 */

import { put, sv, say } from '../dom.js';
import { corners, faces, gaps, onPlan } from '../model/geometry.js';
import { short } from '../model/written.js';
import { inHand, nameOf, pieceOf, poseOf, sizeOf } from '../model/plan.js';

/** @import {KitRow, Point, State, Tape} from '../types.js' */
/** @import {Viewport} from './viewport.js' */

const TICK = 9;
const GRIP_FAR = 26;
const TAPE = 10;
const STRIP = 4;
const LETTER = 7.4;
const NAME = { high: 16, off: 10 };
const SIDES = /** @type {const} */ (['left', 'right', 'back', 'front']);

export class Grips {
	/** @type {State|null} */
	#state = null;
	#empty = true;

	/** Boxes of the grip and of the lettering on the tapes, in pixels of the stage. @type {number[][]} */
	lettered = [];

	/**
	 * @param {SVGElement} layer @param {Viewport} viewport @param {Record<string, KitRow>} library
	 */
	constructor(layer, viewport, library) {
		this.layer = layer;
		this.viewport = viewport;
		this.library = library;
		this.members = sv('path', { class: 'member' });
		this.ticks = sv('path', { class: 'chalk' });
		this.arc = sv('path', { class: 'chalk' });
		this.grip = sv('g', { class: 'grip', 'data-grip': 'turn' }, [
			sv('circle', { class: 'reach', r: 16 }),
			sv('circle', { class: 'knob', r: 6.5 }),
		]);
		this.tapes = SIDES.map((side) => tape(side));
		this.name = { plate: sv('rect', { height: NAME.high, rx: 2 }), text: sv('text') };
		this.named = sv('g', { class: 'hand-name is-off' }, Object.values(this.name));
		this.layer.append(this.members, ...this.tapes.map((one) => one.group), this.ticks, this.arc, this.grip, this.named);
		viewport.onChange(() => this.#draw());
	}

	/** @param {State} state */
	show(state) {
		this.#state = state;
		this.#draw();
	}

	/**
	 * The tape that Tab leads to: the nearest of the other way first, then those further off.
	 * @param {Element} tape @returns {Element}
	 */
	after(tape) {
		const long = (/** @type {Tape} */ one) => Number(one.strip.getAttribute('width'));
		const shown = this.tapes.filter((one) => !one.group.classList.contains('is-off'));
		const across = (/** @type {Tape} */ one) => this.tapes.indexOf(one) < 2;
		const ways = [shown.filter(across), shown.filter((one) => !across(one))];
		for (const way of ways) way.sort((one, other) => long(one) - long(other));
		ways.sort(([one], [other]) => (one ? long(one) : Infinity) - (other ? long(other) : Infinity));
		const order = [0, 1].flatMap((i) => ways.flatMap((way) => way[i]?.group ?? []));
		return order[(order.indexOf(/** @type {SVGElement} */ (tape)) + 1) % order.length] ?? tape;
	}

	#draw() {
		const state = this.#state;
		const piece = state && pieceOf(state.plan, state.chosen);
		if (this.#empty !== !piece) {
			this.#empty = !piece;
			this.layer.classList.toggle('is-empty', this.#empty);
		}
		if (!state || !piece) {
			this.lettered = [];
			return;
		}
		const view = this.viewport;
		put(this.layer, 'transform', `translate(${view.x} ${view.y}) scale(${view.u})`);
		const pose = poseOf(state, piece.id);
		const size = sizeOf(piece, this.library);
		const points = corners(pose, size).map((p) => view.toStage(p));
		put(this.ticks, 'd', ticksAt(points, pose.angle_deg));
		const a = (pose.angle_deg * Math.PI) / 180;
		const back = view.toStage(onPlan(pose, 0, -size.depth / 2));
		const up = { x: Math.sin(a), y: -Math.cos(a) };
		const grip = { x: back.x + up.x * GRIP_FAR, y: back.y + up.y * GRIP_FAR };
		put(this.grip, 'transform', `translate(${fix(grip.x)} ${fix(grip.y)})`);
		this.arc.setAttribute(
			'd',
			`M${fix(back.x)} ${fix(back.y)}L${fix(grip.x - up.x * 7)} ${fix(grip.y - up.y * 7)}` +
				arcAt(grip, pose.angle_deg),
		);
		this.lettered = [[grip.x - 12, grip.y - 12, grip.x + 12, grip.y + 12]];
		this.#members(state);
		this.#tapes(state, corners(pose, size));
		this.#name(state, nameOf(piece, this.library), points);
	}

	/** @param {State} state @param {string} name @param {Point[]} points corners on the stage */
	#name(state, name, points) {
		const shown = this.viewport.namesAway && !state.others.length;
		this.named.classList.toggle('is-off', !shown);
		if (!shown) return;
		const { plate, text } = this.name;
		if (text.textContent !== name) {
			say(text, name);
			const wide = /** @type {SVGTextElement} */ (text).getComputedTextLength() + 8;
			put(plate, 'width', fix(wide));
		}
		const wide = Number(plate.getAttribute('width'));
		const box = nameBox(points, wide, this.viewport, this.lettered);
		const [x = 0, y = 0] = box;
		put(this.named, 'transform', `translate(${fix(x)} ${fix(y)})`);
		this.lettered.push(box);
	}

	/** @param {State} state */
	#members(state) {
		const parts = inHand(state)
			.filter((id) => id !== state.chosen)
			.map((id) => {
				const piece = pieceOf(state.plan, id);
				if (!piece) return '';
				const points = corners(poseOf(state, id), sizeOf(piece, this.library));
				return `M${points.map((p) => pair(this.viewport.toStage(p))).join('L')}Z`;
			});
		put(this.members, 'd', parts.join(''));
	}

	/** @param {State} state @param {Point[]} points */
	#tapes(state, points) {
		const distances = gaps(faces(state.plan.room), points);
		this.tapes.forEach((one, i) => {
			const gap = distances.find((g) => g.side === SIDES[i]);
			const long = gap ? gap.gap / this.viewport.u : 0;
			one.group.classList.toggle('is-off', !gap || gap.gap < 1);
			if (!gap || gap.gap < 1) return;
			const from = this.viewport.toStage(gap.from);
			const angle = (Math.atan2(gap.dy, gap.dx) * 180) / Math.PI;
			put(one.group, 'transform', `translate(${fix(from.x)} ${fix(from.y)})`);
			const turn = `rotate(${angle})`;
			for (const part of [one.reach, one.strip]) {
				put(part, 'transform', turn);
				put(part, 'width', fix(long));
			}
			put(one.hook, 'transform', turn);
			put(one.hook, 'd', `M${fix(long - 1.5)} ${-TAPE / 2 - 3}V${TAPE / 2 + 3}`);
			const text = short(gap.gap, state.plan.units);
			say(one.text, text);
			const [x, y, half] = label(one, text, long, gap);
			this.lettered.push([from.x + x - half, from.y + y - 8, from.x + x + half, from.y + y + 8]);
		});
	}
}

/** @param {string} side @returns {Tape} */
function tape(side) {
	const parts = {
		reach: sv('rect', { class: 'reach', x: 0, y: -TAPE, height: 2 * TAPE, width: 0 }),
		strip: sv('rect', { class: 'tape', x: 0, y: -STRIP / 2, height: STRIP, width: 0 }),
		hook: sv('path', { class: 'hook' }),
		plate: sv('rect', { class: 'plate', height: 16, y: -8, rx: 2 }),
		text: sv('text', { class: 'tape-figure', y: 4.3 }),
	};
	const group = sv('g', { class: 'tape-line', 'data-tape': side }, Object.values(parts));
	return { group, ...parts };
}

/**
 * Print the length on its tape, or beside it where the tape is too short.
 * @param {Tape} one @param {string} text @param {number} long @param {{dx: number, dy: number}} gap
 * @returns {[number, number, number]} the middle of the label, and half its width
 */
function label(one, text, long, gap) {
	const wide = text.length * LETTER + 8;
	const upright = gap.dx === 0;
	const room = long > (upright ? 24 : wide + 6);
	const off = room ? 0 : upright ? wide / 2 + 9 : 17;
	const x = upright ? off : (gap.dx * long) / 2;
	const y = upright ? (gap.dy * long) / 2 : -off;
	put(one.plate, 'x', fix(-wide / 2));
	put(one.plate, 'width', fix(wide));
	const place = `translate(${fix(x)} ${fix(y)})`;
	put(one.plate, 'transform', place);
	put(one.text, 'transform', place);
	return [x, y, wide / 2];
}

/**
 * Find a place for a name beside a piece and its tapes: where it hides least of what is lettered.
 * @param {Point[]} points corners of the piece @param {number} wide
 * @param {{width: number, height: number}} stage @param {number[][]} taken
 * @returns {number[]} left, top, right, bottom
 */
function nameBox(points, wide, stage, taken) {
	const xs = points.map((p) => p.x);
	const ys = points.map((p) => p.y);
	const [left, right, top, foot] = [
		Math.min(...xs),
		Math.max(...xs),
		Math.min(...ys) - NAME.off - NAME.high,
		Math.max(...ys) + NAME.off,
	];
	const [cx, off] = [(left + right) / 2, NAME.off];
	const beside = [cx + off, cx - off - wide];
	const places = [top, foot, top - 2 * NAME.high, foot + 2 * NAME.high].flatMap((y) =>
		[...beside, right + off, left - off - wide].map((x) => {
			const x0 = Math.max(2, Math.min(stage.width - wide - 2, x));
			const y0 = Math.max(2, Math.min(stage.height - NAME.high - 2, y));
			return [x0, y0, x0 + wide, y0 + NAME.high];
		}),
	);
	// the tape that goes up and down is hidden by what lies across the middle
	const all = [...taken, [cx - STRIP, 0, cx + STRIP, stage.height]];
	all.push([left, Math.min(...ys), right, Math.max(...ys)]);
	const hidden = places.map((place) => all.reduce((sum, one) => sum + shared(place, one), 0));
	return places[hidden.indexOf(Math.min(...hidden))] ?? [];
}

/** @param {number[]} one @param {number[]} other @returns {number} the area that two boxes share */
function shared([a = 0, b = 0, c = 0, d = 0], [p = 0, q = 0, r = 0, s = 0]) {
	return Math.max(0, Math.min(c, r) - Math.max(a, p)) * Math.max(0, Math.min(d, s) - Math.max(b, q));
}

/** @param {Point[]} points @param {number} angle */
function ticksAt(points, angle) {
	const a = (angle * Math.PI) / 180;
	const u = { x: Math.cos(a), y: Math.sin(a) };
	const v = { x: -u.y, y: u.x };
	const signs = [
		[1, 1],
		[-1, 1],
		[-1, -1],
		[1, -1],
	];
	return points
		.map((p, i) => {
			const [sx = 1, sy = 1] = signs[i] ?? [];
			return [line(p, u, -7 * sx, TICK * sx), line(p, v, -7 * sy, TICK * sy)].join('');
		})
		.join('');
}

/** @param {Point} p @param {Point} way @param {number} from @param {number} to */
function line(p, way, from, to) {
	const a = { x: p.x + way.x * from, y: p.y + way.y * from };
	const b = { x: p.x + way.x * to, y: p.y + way.y * to };
	return `M${pair(a)}L${pair(b)}`;
}

/** @param {Point} grip @param {number} angle */
function arcAt(grip, angle) {
	const a = (angle * Math.PI) / 180;
	/** @param {number} side */
	const end = (side) => ({
		x: grip.x + Math.cos(a) * 19 * side - Math.sin(a) * 5,
		y: grip.y + Math.sin(a) * 19 * side + Math.cos(a) * 5,
	});
	return `M${pair(end(-1))}A24 24 0 0 1 ${pair(end(1))}`;
}

/** @param {Point} p */
function pair(p) {
	return `${fix(p.x)} ${fix(p.y)}`;
}

/** @param {number} value */
function fix(value) {
	return value.toFixed(1);
}
