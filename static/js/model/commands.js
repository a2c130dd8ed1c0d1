/** Commands: the only way the plan changes. Each change holds what was and what will be. Pure. */

import { pieceOf } from './plan.js';

/** @import {Change, Command, Plan, Pose} from '../types.js' */

/**
 * @param {Plan} plan @param {Record<string, Pose>} poses @param {'move'|'turn'} name
 * @param {string} says @returns {Command|null} null where nothing moves
 */
export function moves(plan, poses, name, says) {
	/** @type {Change[]} */
	const changes = [];
	for (const [id, after] of Object.entries(poses)) {
		const before = pieceOf(plan, id)?.pose;
		if (!before || same(before, after)) continue;
		changes.push({ path: ['pieces', id, 'pose'], before, after });
	}
	return changes.length ? { name, says, changes } : null;
}

/** @param {Pose} one @param {Pose} other */
export function same(one, other) {
	return (
		Math.abs(one.x_mm - other.x_mm) < 0.005 &&
		Math.abs(one.y_mm - other.y_mm) < 0.005 &&
		Math.abs(one.angle_deg - other.angle_deg) < 0.0005
	);
}
