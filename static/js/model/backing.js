/** Which way a piece stands at a wall: its back to it, the side one works at away from it. Pure. */

import { corners } from './geometry.js';

/** @import {Face, KitRow, Point, Pose, Size} from '../types.js' */

/** So near, in mm, a thing is meant for a wall. */
const NEAR_MM = 450;
/** A front that looks no more away from a wall than this is said to face it: the cosine of 45 degrees. */
const FACING = 0.7;

/**
 * Turn what is set down near a wall with its back to that wall. Wall kit goes up to the nearest wall
 * wherever it is let go; other kit keeps its distance. Nothing is left reaching into a wall.
 * @param {Pose} pose where the hand wants its middle @param {Size} size @param {Face[]} walls
 * @param {KitRow|undefined} row
 * @param {boolean} [fresh] it has no way round yet, so it is turned also where none would be wrong
 * @returns {Pose}
 */
export function backed(pose, size, walls, row, fresh = true) {
	const wall = nearestWall({ x: pose.x_mm, y: pose.y_mm }, walls);
	if (!wall || !row) return pose;
	const off = offWall(wall, { x: pose.x_mm, y: pose.y_mm });
	const angle = (Math.atan2(-wall.nx, wall.ny) * 180) / Math.PI;
	if (row.for_wall) return insideAll(against(pose, size, wall, angle, 0), size, walls, wall);
	const near = Math.min(...corners(pose, size).map((p) => offWall(wall, p)));
	if (near > NEAR_MM || row.bar || row.front_mm <= row.back_mm) return pose;
	if (!row.front_alone && !fresh && !faces(pose, wall)) return pose;
	const gap = Math.max(off - size.depth / 2, row.back_mm);
	return insideAll(against(pose, size, wall, angle, gap), size, walls, wall);
}

/** Whether the front of a piece looks at a wall. @param {Pose} pose @param {Face} wall */
function faces(pose, wall) {
	const a = (pose.angle_deg * Math.PI) / 180;
	return -Math.sin(a) * wall.nx + Math.cos(a) * wall.ny < -FACING;
}

/** @param {Pose} pose @param {Size} size @param {Face} wall @param {number} angle @param {number} gap behind it */
function against(pose, size, wall, angle, gap) {
	const by = size.depth / 2 + gap - offWall(wall, { x: pose.x_mm, y: pose.y_mm });
	const turned = Math.round(((angle % 360) + 360) * 1000) / 1000;
	return placed(pose.x_mm + wall.nx * by, pose.y_mm + wall.ny * by, turned % 360);
}

/**
 * Push a piece along its wall out of the walls beside it.
 * @param {Pose} pose @param {Size} size @param {Face[]} walls @param {Face} own @returns {Pose}
 */
function insideAll(pose, size, walls, own) {
	let now = pose;
	const [tx, ty] = [-own.ny, own.nx];
	for (const wall of walls) {
		const along = tx * wall.nx + ty * wall.ny;
		if (Math.abs(along) < 0.5) continue;
		const points = corners(now, size);
		if (!beside(wall, points)) continue;
		const into = Math.min(...points.map((p) => offWall(wall, p)));
		// what is through a wall altogether stands in another part of the room
		if (into >= 0 || into < -Math.max(size.width, size.depth)) continue;
		const by = -into / along;
		now = placed(now.x_mm + tx * by, now.y_mm + ty * by, now.angle_deg);
	}
	return now;
}

/** @param {number} x @param {number} y @param {number} angle_deg @returns {Pose} */
function placed(x, y, angle_deg) {
	return { x_mm: Math.round(x * 100) / 100, y_mm: Math.round(y * 100) / 100, angle_deg };
}

/** The wall beside which a point in the room lies nearest. @param {Point} point @param {Face[]} walls */
function nearestWall(point, walls) {
	/** @type {Face|null} */
	let best = null;
	let least = Infinity;
	for (const wall of walls) {
		const off = offWall(wall, point);
		if (off < 0 || off >= least || !beside(wall, [point])) continue;
		least = off;
		best = wall;
	}
	return best;
}

/** Whether any of the points lies beside the run of a wall. @param {Face} wall @param {Point[]} points */
function beside(wall, points) {
	const [ex, ey] = [wall.b.x - wall.a.x, wall.b.y - wall.a.y];
	const long = Math.hypot(ex, ey) || 1;
	const along = points.map((p) => ((p.x - wall.a.x) * ex + (p.y - wall.a.y) * ey) / long);
	return Math.max(...along) >= 0 && Math.min(...along) <= long;
}

/** @param {Face} wall @param {Point} p @returns {number} how far a point is off the line of a wall */
function offWall(wall, p) {
	return (p.x - wall.a.x) * wall.nx + (p.y - wall.a.y) * wall.ny;
}
