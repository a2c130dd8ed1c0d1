/** New pieces: their ids, and where a bar lies on its carrier. Pure. */

import { onPlan } from './geometry.js';
import { sizeOf } from './plan.js';

/** @import {KitRow, Piece, Plan, Pose} from '../types.js' */

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
 * What a new piece belongs to where it is set down: a bar or a bench within a rack is used with it.
 * @param {Plan} plan @param {string} type @param {Pose} pose @param {Record<string, KitRow>} library
 * @returns {Partial<Piece>} its carrier and its pose there, nothing where it stands alone
 */
export function setInto(plan, type, pose, library) {
	const row = library[type];
	if (!row || row.rests.length || !(row.bar || row.group === 'Benches')) return {};
	const alike = (/** @type {Piece} */ one) =>
		row.bar ? library[one.type]?.bar : library[one.type]?.group === row.group;
	const host = plan.pieces.find((piece) => {
		if (!library[piece.type]?.rests.length || piece.carried_by) return false;
		if (plan.pieces.some((one) => one.carried_by === piece.id && alike(one))) return false;
		const size = sizeOf(piece, library);
		const angle = (piece.pose.angle_deg * Math.PI) / 180;
		const [x, y] = [pose.x_mm - piece.pose.x_mm, pose.y_mm - piece.pose.y_mm];
		return (
			Math.abs(x * Math.cos(angle) + y * Math.sin(angle)) <= size.width / 2 &&
			Math.abs(y * Math.cos(angle) - x * Math.sin(angle)) <= size.depth / 2
		);
	});
	if (!host) return {};
	const laid = row.bar ? onHooks(host, pose, library) : null;
	return { carried_by: host.id, ...(laid && { pose: laid }) };
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
