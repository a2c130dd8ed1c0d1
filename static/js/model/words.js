/** Sentences and figures about pieces and snags. Pure. */

import { faces, gaps, corners } from './geometry.js';
import { figure, long } from './written.js';
import { nameOf, poseOf, sizeOf } from './plan.js';

/** @import {Counts, Gauge, KitRow, Piece, Plan, Snag, State} from '../types.js' */

/** @param {Counts} counts */
export function countWords(counts) {
	const parts = /** @type {const} */ (['stop', 'care', 'note'])
		.filter((word) => counts[word])
		.map((word) => `${counts[word]} ${word}${counts[word] === 1 ? '' : 's'}`);
	return parts.join(', ') || 'no snags';
}

/** @param {Counts} counts */
export function openCount(counts) {
	return counts.stop + counts.care + counts.note;
}

/**
 * The sentence a screen reader says of a piece.
 * @param {State} state @param {Piece} piece @param {Record<string, KitRow>} library
 * @param {string} left the side of the paper on which the left of the room lies
 */
export function pieceSentence(state, piece, library, left = 'left') {
	const near = gaps(faces(state.plan.room), corners(poseOf(state, piece.id), sizeOf(piece, library)));
	const units = state.plan.units;
	const wall = near.find((gap) => gap.side === left);
	const snags = state.verdict.snags.filter((s) => !s.settled && s.pieces.includes(piece.id)).length;
	const parts = [nameOf(piece, library)];
	if (wall && wall.gap < -1) parts.push(`${long(-wall.gap, units)} into the left wall`);
	else if (wall) parts.push(`${long(Math.max(0, wall.gap), units)} from the left wall`);
	if (piece.pinned) parts.push('pinned down');
	if (piece.later) parts.push('for later');
	parts.push(snags === 0 ? 'no snags' : snags === 1 ? '1 snag' : `${snags} snags`);
	return parts.join(', ');
}

/** @param {Plan} plan */
export function whoTrains(plan) {
	const people = plan.people.map((p) => p.label || long(p.stature_mm, plan.units));
	if (people.length === 0) return 'nobody trains here yet';
	if (people.length > 3) return `${people.length} people train here`;
	const last = people.pop();
	return people.length ? `${people.join(', ')} and ${last} train here` : `${last} trains here`;
}

/**
 * @param {Snag} snag @param {'metric'|'feet'} units
 * @returns {Gauge|null} null where nothing was measured
 */
export function gaugeOf(snag, units) {
	const { measured, required, need } = snag;
	if (measured === null || (required === null && need === null)) return null;
	if (Math.max(required ?? 0, need ?? 0) <= 0) return null;
	const all = [measured, required, need].filter((v) => v !== null);
	const high = Math.max(...all);
	const low = Math.min(...all);
	// Where the figures differ by little against their size the gauge starts above nothing,
	// and is drawn torn off to say so.
	const torn = low > 0 && high - low < low / 2;
	const from = torn ? low - (high - low) * 1.5 - 1 : 0;
	const span = (high - from) * 1.03 || 1;
	/** @param {number} value */
	const part = (value) => Math.max(0, Math.min(1, (value - from) / span));
	/** @param {number} value */
	const write = (value) => figure(value, snag.unit, units);
	const plain = units === 'metric' && (snag.unit === null || snag.unit === 'mm');
	const wanted = need !== null && need !== required;
	const bound = required ?? need ?? 0;
	// More than it may be, such as a bar too far from its hooks.
	const most = measured > bound && !wanted;
	const right =
		required !== null && wanted
			? `least ${write(required)}, need ${write(need)}`
			: `${most ? 'at most' : 'needs'} ${write(bound)}`;
	return {
		has: part(measured),
		mark: required === null ? null : part(required),
		need: wanted ? part(need) : null,
		torn,
		left: plain ? `${write(measured)} mm` : write(measured),
		right,
	};
}
