/** Holding: what is moved comes to rest flush with walls and neighbours. Pure. */

import { boundsOf } from './geometry.js';

/** @import {Bounds, Face, Point} from '../types.js' */

const EDGES = /** @type {const} */ ({
	x: ['x0', 'x1', 'y0', 'y1'],
	y: ['y0', 'y1', 'x0', 'x1'],
});

/**
 * Find the small shift that brings a held outline flush with a wall or neighbour.
 * @param {Point[]} points corners of what is held, where the pointer wants them
 * @param {Face[]} walls @param {Bounds[]} others outlines of what stands near
 * @param {number} within how near, in mm, something must be to hold
 * @returns {{dx: number, dy: number}}
 */
export function hold(points, walls, others, within) {
	const wall = toWalls(points, walls, within);
	const after = boundsOf(points.map((p) => ({ x: p.x + wall.dx, y: p.y + wall.dy })));
	const dx = wall.heldX ? 0 : nearest(shifts(after, others, 'x', within), within);
	const dy = wall.heldY ? 0 : nearest(shifts(after, others, 'y', within), within);
	return { dx: wall.dx + dx, dy: wall.dy + dy };
}

/** @param {Point[]} points @param {Face[]} walls @param {number} within */
function toWalls(points, walls, within) {
	let dx = 0;
	let dy = 0;
	let heldX = false;
	let heldY = false;
	const near = walls
		.map((wall) => ({ wall, gap: gapTo(points, wall) }))
		.filter((one) => one.gap !== null && Math.abs(one.gap) <= within)
		.sort((one, other) => Math.abs(one.gap ?? 0) - Math.abs(other.gap ?? 0));
	/** @type {Face[]} */
	const held = [];
	for (const { wall } of near) {
		if (held.length === 2) break;
		if (held.some((h) => Math.abs(h.nx * wall.nx + h.ny * wall.ny) > 0.5)) continue;
		const gap = gapTo(
			points.map((p) => ({ x: p.x + dx, y: p.y + dy })),
			wall,
		);
		if (gap === null) continue;
		dx -= gap * wall.nx;
		dy -= gap * wall.ny;
		held.push(wall);
		heldX ||= Math.abs(wall.nx) > 0.5;
		heldY ||= Math.abs(wall.ny) > 0.5;
	}
	return { dx, dy, heldX, heldY };
}

/**
 * How far the nearest corner is from a wall's face (negative: beyond it); null if it is not
 * beside this wall.
 * @param {Point[]} points @param {Face} wall
 */
function gapTo(points, wall) {
	const tx = wall.b.x - wall.a.x;
	const ty = wall.b.y - wall.a.y;
	const long = Math.hypot(tx, ty) || 1;
	const along = points.map((p) => ((p.x - wall.a.x) * tx + (p.y - wall.a.y) * ty) / long);
	if (Math.max(...along) < 0 || Math.min(...along) > long) return null;
	return Math.min(...points.map((p) => (p.x - wall.a.x) * wall.nx + (p.y - wall.a.y) * wall.ny));
}

/**
 * Shifts along one way that bring two outlines flush, edge to edge or side by side, of those that
 * are near across it.
 * @param {Bounds} own @param {Bounds[]} others @param {'x'|'y'} way @param {number} within
 */
function shifts(own, others, way, within) {
	const [a0, a1, b0, b1] = EDGES[way];
	const near = 8 * within;
	return others
		.filter((o) => o[b0] <= own[b1] + near && o[b1] >= own[b0] - near)
		.flatMap((o) => [o[a0] - own[a1], o[a1] - own[a0], o[a0] - own[a0], o[a1] - own[a1]]);
}

/** @param {number[]} shifts @param {number} within */
function nearest(shifts, within) {
	let best = 0;
	let least = within;
	for (const shift of shifts) {
		if (Math.abs(shift) < least) {
			least = Math.abs(shift);
			best = shift;
		}
	}
	return best;
}
