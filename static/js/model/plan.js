/** Reading a plan: pieces, stations, sizes. Pure. */

import { turned, shifted } from './geometry.js';

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
	return [root, ...plan.pieces.filter((p) => p.id !== root && rootOf(plan, p.id) === root).map((p) => p.id)];
}

/**
 * The pieces that move together when this one is moved: its station, or it alone.
 * @param {Plan} plan @param {string} id @param {boolean} whole @returns {string[]}
 */
export function movingWith(plan, id, whole) {
	return whole ? stationOf(plan, id) : [id];
}

/** The pieces that move when the hand moves. @param {State} state @returns {string[]} */
export function inHand({ chosen, others, plan, whole }) {
	if (!chosen) return [];
	return [...new Set([chosen, ...others].flatMap((id) => movingWith(plan, id, whole)))];
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

/**
 * Whether the household has it already: nothing is charged for it. What stays is owned, unless the
 * cost sheet says otherwise.
 * @param {Plan} plan @param {Piece} piece
 */
export function isOwned(plan, piece) {
	const entry = plan.money?.entries?.find(({ id }) => id === `piece.${piece.id}`);
	return entry ? entry.standing === 'owned' : piece.stays;
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
