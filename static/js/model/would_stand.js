/** Where pieces would stand after commands that are only offered. Pure. */

import { nameOf, pieceOf, rootOf, sizeOf } from './plan.js';

/** @import {Command, KitRow, Plan, Pose, Size} from '../types.js' */

/**
 * What each command would move or bring, where it would then stand: of a station its carrier says
 * its name, what is with it goes without.
 * @param {Command[]} commands @param {Plan} plan @param {Record<string, KitRow>} library
 * @returns {{pose: Pose, size: Size, says: string}[]}
 */
export function wouldStand(commands, plan, library) {
	/** @type {Map<string, {pose: Pose, size: Size, says: string}>} */
	const all = new Map();
	for (const { path, after } of commands.flatMap((command) => command.changes)) {
		const [kind, id = '', field] = path;
		const piece = pieceOf(plan, id);
		if (kind !== 'pieces' || field !== 'pose' || !piece || !after) continue;
		const says = rootOf(plan, id) === id ? nameOf(piece, library) : '';
		all.set(id, { pose: /** @type {Pose} */ (after), size: sizeOf(piece, library), says });
	}
	return [...all.values()];
}
