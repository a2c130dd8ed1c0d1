/** Going up to a wall: to the first touch, wherever the wall runs; wall kit with its back. Pure. */

import { corners, faces, reach } from './geometry.js';
import { pieceOf, poseOf, sizeOf, turnedAll } from './plan.js';

/** @import {Face, KitRow, Point, Pose, State} from '../types.js' */
/** @import {Unit} from './arrange.js' */
/** @typedef {Record<string, Pose>} Poses */

const SLACK_MM = 0.5;
const WAYS = { left: [-1, 0], right: [1, 0], back: [0, -1], front: [0, 1] };

/**
 * Move each unit one way until a corner of it first touches a wall. What is made for a wall turns
 * its back to the wall that lies that way, and touches along it.
 * @param {State} state @param {Unit[]} all @param {Record<string, KitRow>} library
 * @param {'left'|'right'|'back'|'front'} side @returns {Poses} of what does not stand so already
 */
export function toWall(state, all, library, side) {
	const walls = faces(state.plan.room);
	const [dx = 0, dy = 0] = WAYS[side];
	return Object.assign(
		{},
		...all.map(({ ids }) => {
			/** @param {Poses} poses */
			const outlines = (poses) =>
				ids.flatMap((id) => {
					const piece = pieceOf(state.plan, id);
					const pose = poses[id];
					return piece && pose ? [corners(pose, sizeOf(piece, library))] : [];
				});
			const [first = ''] = ids;
			const was = /** @type {Poses} */ (Object.fromEntries(ids.map((id) => [id, poseOf(state, id)])));
			const at = was[first];
			if (!at) return {};
			const backed = library[pieceOf(state.plan, first)?.type ?? '']?.for_wall;
			const ahead = backed ? wallAhead(walls, { x: at.x_mm, y: at.y_mm }, dx, dy) : null;
			const now = ahead ? against(state, ids, at, ahead, walls, outlines) : was;
			const way = ahead ? { x: -ahead.nx, y: -ahead.ny } : { x: dx, y: dy };
			const free = Math.min(...outlines(now).map((points) => freeWay(walls, points, way)));
			const put = Number.isFinite(free) ? moved(now, way.x * free, way.y * free) : now;
			return ids.some((id) => !same(put[id], was[id])) ? put : {};
		}),
	);
}

/**
 * Turn a unit's back to a wall, and along the wall out of others that it would reach into there.
 * @param {State} state @param {string[]} ids @param {Pose} at @param {Face} wall
 * @param {Face[]} walls @param {(poses: Poses) => Point[][]} outlines @returns {Poses}
 */
function against(state, ids, at, wall, walls, outlines) {
	const angle = (Math.atan2(-wall.nx, wall.ny) * 180) / Math.PI;
	const turned = turnedAll(state, ids, { x: at.x_mm, y: at.y_mm }, angle - at.angle_deg);
	const back = Math.min(
		...outlines(turned)
			.flat()
			.map((p) => off(wall, p)),
	);
	let poses = moved(turned, -wall.nx * back, -wall.ny * back);
	const [tx, ty] = [-wall.ny, wall.nx];
	for (const other of walls) {
		const along = tx * other.nx + ty * other.ny;
		if (Math.abs(along) < 0.5) continue;
		const sign = Math.sign(along);
		const in_way = Math.max(
			0,
			...outlines(poses).map((points) => {
				const free = freeWay([other], points, { x: -sign * tx, y: -sign * ty });
				return free < 0 ? -free : 0;
			}),
		);
		poses = moved(poses, sign * tx * in_way, sign * ty * in_way);
	}
	return poses;
}

/** The wall that a line from a point meets first. @param {Face[]} walls @param {Point} from @param {number} dx @param {number} dy */
function wallAhead(walls, from, dx, dy) {
	/** @type {Face|null} */
	let best = null;
	let least = Infinity;
	for (const wall of walls) {
		if (wall.nx * dx + wall.ny * dy >= 0) continue;
		const far = reach([wall], from, dx, dy);
		if (far === null || far >= least) continue;
		least = far;
		best = wall;
	}
	return best;
}

/**
 * How far an outline can go one way to its first touch; less than nothing where it is within a
 * wall, infinite where no wall lies that way.
 * @param {Face[]} walls @param {Point[]} points of a convex outline @param {Point} way of length 1
 */
function freeWay(walls, points, way) {
	const own = points.map((p) => across(p, way));
	const long = Math.max(...own.map((p) => p.far)) - Math.min(...own.map((p) => p.far));
	const [left, right] = [Math.min(...own.map((p) => p.aside)), Math.max(...own.map((p) => p.aside))];
	let free = Infinity;
	for (const wall of walls) {
		if (wall.nx * way.x + wall.ny * way.y > -1e-6) continue;
		const [a, b] = [across(wall.a, way), across(wall.b, way)];
		const from = Math.max(left, Math.min(a.aside, b.aside));
		const to = Math.min(right, Math.max(a.aside, b.aside));
		if (to - from < SLACK_MM) continue;
		const places = [from, to, ...own.map((p) => p.aside).filter((s) => s > from && s < to)];
		// both are straight between these places, so the least is at one of them
		const least = Math.min(...places.map((s) => between(a, b, s) - front(own, s)));
		if (least > -long && least < free) free = least;
	}
	return free;
}

/** @typedef {{far: number, aside: number}} Across how far ahead a point lies, and how far aside */

/** @param {Point} p @param {Point} way @returns {Across} */
function across(p, way) {
	return { far: p.x * way.x + p.y * way.y, aside: p.y * way.x - p.x * way.y };
}

/** @param {Across} a @param {Across} b @param {number} aside */
function between(a, b, aside) {
	const part = (aside - a.aside) / (b.aside - a.aside);
	return a.far + (b.far - a.far) * part;
}

/** The foremost of an outline so far aside. @param {Across[]} own @param {number} aside */
function front(own, aside) {
	const shifts = own.flatMap((a, i) => {
		const b = own[(i + 1) % own.length] ?? a;
		const within = Math.min(a.aside, b.aside) - 1e-6 <= aside && aside <= Math.max(a.aside, b.aside) + 1e-6;
		if (!within) return [];
		return Math.abs(a.aside - b.aside) < 1e-6 ? [a.far, b.far] : [between(a, b, aside)];
	});
	return Math.max(...shifts);
}

/** @param {Face} wall @param {Point} p @returns {number} how far a point is off the line of a wall */
function off(wall, p) {
	return (p.x - wall.a.x) * wall.nx + (p.y - wall.a.y) * wall.ny;
}

/** @param {Poses} poses @param {number} dx @param {number} dy @returns {Poses} */
function moved(poses, dx, dy) {
	/** @param {number} value */
	const hundredth = (value) => Math.round(value * 100) / 100;
	return Object.fromEntries(
		Object.entries(poses).map(([id, pose]) => [
			id,
			{ ...pose, x_mm: hundredth(pose.x_mm + dx), y_mm: hundredth(pose.y_mm + dy) },
		]),
	);
}

/** @param {Pose|undefined} one @param {Pose|undefined} other */
function same(one, other) {
	if (!one || !other) return one === other;
	return (
		Math.abs(one.x_mm - other.x_mm) < 0.02 &&
		Math.abs(one.y_mm - other.y_mm) < 0.02 &&
		one.angle_deg === other.angle_deg
	);
}
