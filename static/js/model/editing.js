/** Commands beside moving: adding, removing, editing, wishes, settling. Pure. */

import { pieceOf } from './plan.js';

/** @import {ChalkLine, Change, Command, Piece, Plan, Pose, Snag} from '../types.js' */

/**
 * @param {{id: string, type: string, pose: Pose} & Partial<Piece>} piece @param {string} says
 * @param {'add'|'copy'} [name] @returns {Command}
 */
export function adds(piece, says, name = 'add') {
	return { name, says, changes: [{ path: ['pieces', piece.id], before: null, after: piece }] };
}

/**
 * Take pieces off the plan; what they carried is set free.
 * @param {Plan} plan @param {string[]} ids @param {string} says @returns {Command}
 */
export function removes(plan, ids, says) {
	/** @type {Change[]} */
	const freed = plan.pieces
		.filter((p) => p.carried_by !== null && ids.includes(p.carried_by) && !ids.includes(p.id))
		.map((p) => ({ path: ['pieces', p.id, 'carried_by'], before: p.carried_by, after: null }));
	const gone = ids.map((id) => ({
		path: ['pieces', id],
		before: pieceOf(plan, id),
		after: null,
	}));
	return { name: 'remove', says, changes: [...freed, ...gone] };
}

/**
 * @param {Piece} piece @param {Partial<Piece>} fields @param {string} says
 * @param {'edit'|'carry'} [name] @returns {Command|null} null where nothing differs
 */
export function edits(piece, fields, says, name = 'edit') {
	/** @type {Change[]} */
	const changes = [];
	for (const [field, after] of Object.entries(fields)) {
		const before = piece[/** @type {keyof Piece} */ (field)] ?? null;
		if (JSON.stringify(before) === JSON.stringify(after)) continue;
		changes.push({ path: ['pieces', piece.id, field], before, after });
	}
	return changes.length ? { name, says, changes } : null;
}

/** Draw a chalk line. @param {ChalkLine} line @returns {Command} */
export function chalks(line) {
	const changes = [{ path: ['chalk', line.id], before: null, after: line }];
	return { name: 'edit', says: 'a chalk line', changes };
}

/** Rub a chalk line out. @param {ChalkLine} line @returns {Command} */
export function rubs(line) {
	const changes = [{ path: ['chalk', line.id], before: line, after: null }];
	return { name: 'edit', says: 'rub a chalk line out', changes };
}

/**
 * @param {Plan} plan @param {string} personId @param {string} movement
 * @param {'want'|'nice'|'no'} word @param {string} says @returns {Command}
 */
export function wishes(plan, personId, movement, word, says) {
	const person = plan.people.find((p) => p.id === personId);
	const before = person?.wishes.find((w) => w.movement === movement) ?? null;
	const path = ['people', personId, 'wishes', movement];
	return { name: 'wish', says, changes: [{ path, before, after: { movement, wish: word } }] };
}

/**
 * @param {Plan} plan @param {Snag} snag @param {string} reason
 * @param {string} on the day, as 2025-03-14 @returns {Command}
 */
export function settles(plan, snag, reason, on) {
	const before = plan.settled.find((s) => s.id === snag.key) ?? null;
	const after = {
		id: snag.key,
		reason,
		on,
		measured: snag.measured,
		required: snag.required,
	};
	const says = `settle: ${snag.who}`.slice(0, 300);
	return { name: 'settle', says, changes: [{ path: ['settled', snag.key], before, after }] };
}

/** @param {Plan} plan @param {Snag} snag @returns {Command|null} */
export function reopens(plan, snag) {
	const before = plan.settled.find((s) => s.id === snag.key);
	if (!before) return null;
	const says = `reopen: ${snag.who}`.slice(0, 300);
	return { name: 'unsettle', says, changes: [{ path: ['settled', snag.key], before, after: null }] };
}
