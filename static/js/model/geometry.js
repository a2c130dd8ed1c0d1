/** Plane geometry of turned rectangles and walls. Pure. */

/** @import {Bounds, Face, Point, Pose, Room, Size} from '../types.js' */

const DEGREE = Math.PI / 180;

/**
 * Give a point of a piece's own frame on the plan.
 * @param {Pose} pose @param {number} x @param {number} y @returns {Point}
 */
export function onPlan(pose, x, y) {
	const c = Math.cos(pose.angle_deg * DEGREE);
	const s = Math.sin(pose.angle_deg * DEGREE);
	return { x: pose.x_mm + x * c - y * s, y: pose.y_mm + x * s + y * c };
}

/**
 * @param {Pose} pose @param {Size} size
 * @returns {Point[]} the four corners: back left, back right, front right, front left
 */
export function corners(pose, size) {
	const w = size.width / 2;
	const d = size.depth / 2;
	return [onPlan(pose, -w, -d), onPlan(pose, w, -d), onPlan(pose, w, d), onPlan(pose, -w, d)];
}

/** @param {Point[]} points @returns {Bounds} */
export function boundsOf(points) {
	const xs = points.map((p) => p.x);
	const ys = points.map((p) => p.y);
	return { x0: Math.min(...xs), y0: Math.min(...ys), x1: Math.max(...xs), y1: Math.max(...ys) };
}

/**
 * @param {Pose} pose @param {Size} size @param {Point} point
 * @param {number} margin the least half width that can be hit, in mm
 */
export function covers(pose, size, point, margin) {
	const c = Math.cos(pose.angle_deg * DEGREE);
	const s = Math.sin(pose.angle_deg * DEGREE);
	const dx = point.x - pose.x_mm;
	const dy = point.y - pose.y_mm;
	return (
		Math.abs(dx * c + dy * s) <= Math.max(size.width / 2, margin) &&
		Math.abs(dy * c - dx * s) <= Math.max(size.depth / 2, margin)
	);
}

/** @param {Pose} pose @param {number} dx @param {number} dy @returns {Pose} */
export function shifted(pose, dx, dy) {
	return { ...pose, x_mm: hundredth(pose.x_mm + dx), y_mm: hundredth(pose.y_mm + dy) };
}

/**
 * Turn a pose about a point.
 * @param {Pose} pose @param {Point} pivot @param {number} degrees @returns {Pose}
 */
export function turned(pose, pivot, degrees) {
	const at = onPlan({ x_mm: pivot.x, y_mm: pivot.y, angle_deg: degrees }, pose.x_mm - pivot.x, pose.y_mm - pivot.y);
	const angle = (((pose.angle_deg + degrees) % 360) + 360) % 360;
	return { x_mm: hundredth(at.x), y_mm: hundredth(at.y), angle_deg: Math.round(angle * 1000) / 1000 };
}

/** @param {number} value */
function hundredth(value) {
	return Math.round(value * 100) / 100;
}

/** @param {Room} room @returns {Face[]} */
export function faces(room) {
	const walls = room.walls;
	let area = 0;
	walls.forEach((wall, i) => {
		const next = walls[(i + 1) % walls.length] ?? wall;
		area += wall.x_mm * next.y_mm - next.x_mm * wall.y_mm;
	});
	const side = area > 0 ? 1 : -1;
	return walls.map((wall, i) => {
		const next = walls[(i + 1) % walls.length] ?? wall;
		const long = Math.hypot(next.x_mm - wall.x_mm, next.y_mm - wall.y_mm) || 1;
		const nx = (-(next.y_mm - wall.y_mm) / long) * side;
		const ny = ((next.x_mm - wall.x_mm) / long) * side;
		const off = wall.lining_mm;
		return {
			a: { x: wall.x_mm + nx * off, y: wall.y_mm + ny * off },
			b: { x: next.x_mm + nx * off, y: next.y_mm + ny * off },
			nx,
			ny,
		};
	});
}

/**
 * Measure from a point straight to the nearest wall face.
 * @param {Face[]} walls @param {Point} from @param {number} dx @param {number} dy a unit vector
 * @returns {number|null} null where no wall lies that way
 */
export function reach(walls, from, dx, dy) {
	let best = null;
	for (const { a, b } of walls) {
		const ex = b.x - a.x;
		const ey = b.y - a.y;
		const cross = dx * ey - dy * ex;
		if (Math.abs(cross) < 1e-9) continue;
		const t = ((a.x - from.x) * ey - (a.y - from.y) * ex) / cross;
		const k = ((a.x - from.x) * dy - (a.y - from.y) * dx) / cross;
		if (k < -1e-6 || k > 1 + 1e-6 || t < -0.5) continue;
		if (best === null || t < best) best = t;
	}
	return best === null ? null : Math.max(0, best);
}

/**
 * The four gaps between what is held and the walls, and where each tape starts. A gap is below
 * nought where a piece whose middle is in the room reaches into the wall.
 * @param {Face[]} walls @param {Point[]} points corners of what is held
 * @returns {{side: 'left'|'right'|'back'|'front', from: Point, dx: number, dy: number, gap:
 *   number}[]}
 */
export function gaps(walls, points) {
	/** @type {{side: 'left'|'right'|'back'|'front', dx: number, dy: number}[]} */
	const ways = [
		{ side: 'left', dx: -1, dy: 0 },
		{ side: 'right', dx: 1, dy: 0 },
		{ side: 'back', dx: 0, dy: -1 },
		{ side: 'front', dx: 0, dy: 1 },
	];
	const openWays = [];
	for (const way of ways) {
		const far = Math.max(...points.map((p) => p.x * way.dx + p.y * way.dy));
		const ends = points.filter((p) => p.x * way.dx + p.y * way.dy > far - 1);
		const from = {
			x: ends.reduce((sum, p) => sum + p.x, 0) / ends.length,
			y: ends.reduce((sum, p) => sum + p.y, 0) / ends.length,
		};
		const near = Math.min(...points.map((p) => p.x * way.dx + p.y * way.dy));
		const half = (far - near) / 2;
		// Measured from the middle: what reaches into the wall has less than no gap.
		const middle = { x: from.x - way.dx * half, y: from.y - way.dy * half };
		const free = reach(walls, middle, way.dx, way.dy);
		if (free !== null) openWays.push({ ...way, from, gap: free - half });
	}
	return openWays;
}
