/** New pieces: their ids, and where a bar lies on its carrier. Pure. */

import { onPlan } from './geometry.js';
import { sizeOf } from './plan.js';

/** @import {KitRow, Piece, Plan, Pose} from '../types.js' */

/** The hooks of a rack lie before its posts: a bar on them must not leave by a nudge. */
const LEAVES_MM = 300;

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
		(one, other) => Math.hypot(one.x - bar.x_mm, one.y - bar.y_mm) - Math.hypot(other.x - bar.x_mm, other.y - bar.y_mm),
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
		return within(piece, pose, library, 0);
	});
	if (!host) return {};
	const laid = row.bar ? onHooks(host, pose, library) : null;
	return { carried_by: host.id, ...(laid && { pose: laid }) };
}

/**
 * What changes of a bar or bench that was moved alone: into a rack it joins that, well out of its
 * own it leaves that.
 * @param {Plan} plan @param {string} id @param {Pose} pose @param {Record<string, KitRow>} library
 * @returns {{carried_by: string|null, pose?: Pose}|null} null where it belongs to what it did
 */
export function movedInto(plan, id, pose, library) {
	const piece = plan.pieces.find((one) => one.id === id);
	const row = piece && library[piece.type];
	if (!row || row.rests.length || !(row.bar || row.group === 'Benches')) return null;
	if (plan.pieces.some((one) => one.carried_by === id)) return null;
	const own = plan.pieces.find((one) => one.id === piece.carried_by);
	if (own && within(own, pose, library, LEAVES_MM)) return null;
	const rest = { ...plan, pieces: plan.pieces.filter((one) => one !== piece) };
	const { carried_by, pose: laid } = setInto(rest, piece.type, pose, library);
	if (carried_by) return { carried_by, ...(laid && { pose: laid }) };
	return own ? { carried_by: null } : null;
}

/**
 * Whether the middle of something lies on a piece, or no further off than that.
 * @param {Piece} piece @param {Pose} pose @param {Record<string, KitRow>} library
 * @param {number} off mm
 */
function within(piece, pose, library, off) {
	const size = sizeOf(piece, library);
	const angle = (piece.pose.angle_deg * Math.PI) / 180;
	const [x, y] = [pose.x_mm - piece.pose.x_mm, pose.y_mm - piece.pose.y_mm];
	return (
		Math.abs(x * Math.cos(angle) + y * Math.sin(angle)) <= size.width / 2 + off &&
		Math.abs(y * Math.cos(angle) - x * Math.sin(angle)) <= size.depth / 2 + off
	);
}

/**
 * A place from back to front on a piece: b, m, f and an offset.
 * @param {string} text @param {number} depth
 */
function anchor(text, depth) {
	const match = /^([bmf])?([+-]?\d+(?:\.\d+)?)?$/.exec(text.replaceAll(' ', ''));
	const base = { b: -depth / 2, m: 0, f: depth / 2 }[match?.[1] ?? 'm'] ?? 0;
	return base + Number(match?.[2] ?? 0);
}
