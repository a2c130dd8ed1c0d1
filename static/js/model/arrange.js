/** Several pieces put in order: in line, evenly, one for the other. Pure. */

import { boundsOf, corners } from './geometry.js';
import { movingWith, poseOf, shiftedAll, sizeOf } from './plan.js';

/** @import {Bounds, KitRow, Pose, State} from '../types.js' */
/** @typedef {{ids: string[], box: Bounds}} Unit */

/**
 * What is moved as one: each chosen piece with its station, by the outline of the chosen piece.
 * @param {State} state @param {Record<string, KitRow>} library @returns {Unit[]}
 */
export function units(state, library) {
	/** @type {Set<string>} */
	const taken = new Set();
	return [state.chosen, ...state.others].flatMap((id) => {
		const piece = state.plan.pieces.find((p) => p.id === id);
		if (!piece || taken.has(piece.id)) return [];
		const ids = movingWith(state.plan, piece.id, state.whole);
		for (const one of ids) taken.add(one);
		return [{ ids, box: boundsOf(corners(poseOf(state, piece.id), sizeOf(piece, library))) }];
	});
}

/** @param {Bounds} box */
function middle(box) {
	return { x: (box.x0 + box.x1) / 2, y: (box.y0 + box.y1) / 2 };
}

/**
 * @param {State} state @param {Unit[]} all
 * @param {(unit: Unit, i: number) => {dx?: number, dy?: number}} by
 * @returns {Record<string, Pose>}
 */
function shiftedBy(state, all, by) {
	return Object.assign(
		{},
		...all.map((unit, i) => {
			const { dx = 0, dy = 0 } = by(unit, i);
			return dx || dy ? shiftedAll(state, unit.ids, dx, dy) : {};
		}),
	);
}

/**
 * Bring edges or middles in line with those of the first.
 * @param {State} state @param {Unit[]} all @param {'x0'|'x1'|'y0'|'y1'|'x'|'y'} edge
 */
export function lineUp(state, all, edge) {
	/** @param {Unit} unit */
	const at = ({ box }) => (edge === 'x' || edge === 'y' ? middle(box)[edge] : box[edge]);
	const [first] = all;
	if (!first) return {};
	return shiftedBy(state, all, (unit) => ({ [`d${edge[0]}`]: at(first) - at(unit) }));
}

/**
 * Leave the same gap between all, from the outermost to the outermost.
 * @param {State} state @param {Unit[]} all @param {'x'|'y'} way
 */
export function spaceEvenly(state, all, way) {
	const start = way === 'x' ? 'x0' : 'y0';
	const end = way === 'x' ? 'x1' : 'y1';
	const row = [...all].sort((one, other) => middle(one.box)[way] - middle(other.box)[way]);
	const long = row.reduce((sum, { box }) => sum + box[end] - box[start], 0);
	const [first] = row;
	const last = row.at(-1);
	if (!first || !last || row.length < 3) return {};
	const gap = (last.box[end] - first.box[start] - long) / (row.length - 1);
	let at = first.box[start];
	return shiftedBy(state, row, ({ box }) => {
		const by = at - box[start];
		at += box[end] - box[start] + gap;
		return { [`d${way}`]: by };
	});
}

/** Put two where the other was, each as it is turned. @param {State} state @param {Unit[]} all */
export function swap(state, all) {
	const [one, other] = all;
	if (!one || !other || all.length !== 2) return {};
	const a = middle(one.box);
	const b = middle(other.box);
	return shiftedBy(state, all, (_, i) => {
		const sign = i === 0 ? 1 : -1;
		return { dx: sign * (b.x - a.x), dy: sign * (b.y - a.y) };
	});
}
