/** A bar or bench that is moved into a rack belongs to it from then on; moved out, no longer. */

import { movedInto } from '../model/placing.js';
import { nameOf, pieceOf } from '../model/plan.js';

/** @import {Change, Command, Plan, Shared} from '../types.js' */

/**
 * Save where pieces were moved to; one that was moved alone joins or leaves a station by the same
 * command.
 * @param {Shared} desk @param {string[]} ids @param {string} says
 */
export async function keepMoved({ sync, library, tell }, ids, says) {
	let belongsNow = '';
	/** @param {Command} command @param {Plan} plan @returns {Command} */
	const joined = (command, plan) => {
		const [id] = ids;
		const move = command.changes.find(({ path }) => path[1] === id && path[2] === 'pose');
		const piece = pieceOf(plan, id ?? null);
		if (ids.length !== 1 || !move || !piece) return command;
		const pose = /** @type {import('../types.js').Pose} */ (move.after);
		const into = movedInto(plan, piece.id, pose, library);
		if (!into) return command;
		const name = nameOf(piece, library);
		const host = pieceOf(plan, into.carried_by ?? piece.carried_by);
		const other = host ? nameOf(host, library) : 'its station';
		belongsNow = into.carried_by
			? `${name} ${library[piece.type]?.bar ? 'lies' : 'stands'} in ${other} now; it moves with it.`
			: `${name} is out of ${other} now; it moves alone.`;
		/** @type {Change} */
		const belongs = {
			path: ['pieces', piece.id, 'carried_by'],
			before: piece.carried_by,
			after: into.carried_by,
		};
		return {
			...command,
			says: into.carried_by ? `${says} into ${other}` : `${says} out of ${other}`,
			changes: [{ ...move, after: into.pose ?? pose }, belongs],
		};
	};
	if ((await sync.keep(ids, 'move', says, joined)) && belongsNow) tell(belongsNow);
}
