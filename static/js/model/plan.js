/** Reading a plan: pieces, stations, sizes. Pure. */

import { onPlan, turned, shifted } from './geometry.js';

/** @import {KitRow, Piece, Plan, Point, Pose, Size, State} from '../types.js' */

/** @param {Plan} plan @param {string|null} id @returns {Piece|null} */
export function pieceOf(plan, id) {
	return plan.pieces.find((piece) => piece.id === id) ?? null;
}

/** @param {Plan} plan @param {string} id @returns {string} the piece that carries the station */
export function rootOf(plan, id) {
	let at = id;
	for (let i = 0; i <= plan.pieces.length; i += 1) {
		const host = pieceOf(plan, at)?.carried_by;
		if (!host) return at;
		at = host;
	}
	return at;
}

/**
 * @param {Plan} plan @param {string} id @returns {string[]} ids of the station, the carrier first
 */
export function stationOf(plan, id) {
	const root = rootOf(plan, id);
	return [
		root,
		...plan.pieces.filter((p) => p.id !== root && rootOf(plan, p.id) === root).map((p) => p.id),
	];
}

/**
 * The pieces that move together when this one is moved: its station, or it and what it carries.
 * @param {Plan} plan @param {string} id @param {boolean} whole @returns {string[]}
 */
export function movingWith(plan, id, whole) {
	return whole ? stationOf(plan, id) : [id];
}

/** @param {Piece} piece @param {Record<string, KitRow>} library @returns {Size} */
export function sizeOf(piece, library) {
	const row = library[piece.type];
	return {
		width: piece.width_mm ?? row?.width_mm ?? 600,
		depth: piece.depth_mm ?? row?.depth_mm ?? 600,
	};
}

/** @param {Piece} piece @param {Record<string, KitRow>} library */
export function nameOf(piece, library) {
	return piece.label || library[piece.type]?.name || piece.type;
}

/** @param {State} state @param {string} id @returns {Pose} */
export function poseOf(state, id) {
	const pose = state.preview[id] ?? pieceOf(state.plan, id)?.pose;
	if (!pose) throw new Error(`no piece ${id}`);
	return pose;
}

/**
 * @param {State} state @param {string[]} ids @param {number} dx @param {number} dy
 * @returns {Record<string, Pose>}
 */
export function shiftedAll(state, ids, dx, dy) {
	return Object.fromEntries(ids.map((id) => [id, shifted(poseOf(state, id), dx, dy)]));
}

/**
 * @param {State} state @param {string[]} ids @param {Point} pivot @param {number} degrees
 * @returns {Record<string, Pose>}
 */
export function turnedAll(state, ids, pivot, degrees) {
	return Object.fromEntries(ids.map((id) => [id, turned(poseOf(state, id), pivot, degrees)]));
}

/**
 * Give an id that is not yet in the plan.
 * @param {Plan} plan @param {string} type @param {string[]} [also] ids taken as well
 */
export function freshId(plan, type, also = []) {
	const taken = new Set([...plan.pieces.map((p) => p.id), ...also]);
	let n = 1;
	while (taken.has(`${type}-${n}`)) n += 1;
	return `${type}-${n}`;
}

/**
 * Where a bar lies on its carrier: the pose of the nearest of the carrier's hooks.
 * @param {Piece} carrier @param {Pose} bar @param {Record<string, KitRow>} library
 * @returns {Pose|null} null where the carrier has no hooks
 */
export function onHooks(carrier, bar, library) {
	const rests = library[carrier.type]?.rests ?? [];
	const depth = sizeOf(carrier, library).depth;
	const places = rests.map((rest) => onPlan(carrier.pose, 0, anchor(rest.y, depth)));
	places.sort(
		(one, other) =>
			Math.hypot(one.x - bar.x_mm, one.y - bar.y_mm) -
			Math.hypot(other.x - bar.x_mm, other.y - bar.y_mm),
	);
	const best = places[0];
	return best ? { x_mm: best.x, y_mm: best.y, angle_deg: carrier.pose.angle_deg } : null;
}

/**
 * A place from back to front on a piece: b, m, f and an offset.
 * @param {string} text @param {number} depth
 */
function anchor(text, depth) {
	const found = /^([bmf])?([+-]?\d+(?:\.\d+)?)?$/.exec(text.replaceAll(' ', ''));
	const base = { b: -depth / 2, m: 0, f: depth / 2 }[found?.[1] ?? 'm'] ?? 0;
	return base + Number(found?.[2] ?? 0);
}
