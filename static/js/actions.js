/** What the hand does at once: undo, nudge, put pieces down. What is rarely wanted is in piece_actions.js. */

import { keepMoved } from './input/joining.js';
import { inHand, nameOf, pieceOf, shiftedAll } from './model/plan.js';

/** @import {Pose, Shared} from './types.js' */

const NUDGE_REST_MS = 450;

/** @param {Shared} desk */
export function actions(desk) {
	const { store, sync, library, tell } = desk;
	let nudging = 0;
	/** @type {string[]} */
	let nudged = [];

	/** @param {string|undefined} id */
	const named = (id) => {
		const piece = pieceOf(store.state.plan, id ?? null);
		return piece ? nameOf(piece, library) : '';
	};

	/** Save nudges that still wait, so that what follows comes after them. */
	const settleNudges = () => {
		if (nudged.length === 0) return;
		clearTimeout(nudging);
		const ids = nudged;
		nudged = [];
		void keepMoved(desk, ids, `move ${named(ids[0])}`);
	};

	/** @returns {string[]} ids that move with what is chosen; none if one of them is pinned */
	const movable = () => {
		const ids = inHand(store.state);
		const pinned = ids.find((id) => pieceOf(store.state.plan, id)?.pinned);
		if (pinned) tell(`${named(pinned)} is pinned down. Unpin it to move it.`);
		return pinned ? [] : ids;
	};

	return {
		named,
		settleNudges,
		movable,

		/** @param {'undo'|'redo'} way */
		step(way) {
			settleNudges();
			const { waiting, undo_says, redo_says } = store.state;
			const says = way === 'undo' ? (waiting.at(-1)?.command.says ?? undo_says) : redo_says;
			void sync.step(way);
			// what was done last may be elsewhere, by somebody else: a tick of the works, a word of the diary
			if (says) tell(`${way === 'undo' ? 'Undone' : 'Done again'}: ${says.replace(/\.$/, '')}.`);
		},

		/**
		 * Show pieces at new poses and save that as one command.
		 * @param {Record<string, Pose>} poses @param {'move'|'turn'} name @param {string} [says]
		 */
		put(poses, name, says) {
			const ids = Object.keys(poses);
			if (ids.length === 0) return;
			settleNudges();
			sync.try(poses, performance.now());
			const words = says ?? `${name} ${named(ids[0])}`;
			void (name === 'move' ? keepMoved(desk, ids, words) : sync.keep(ids, name, words));
		},

		/**
		 * @param {number} dx @param {number} dy @param {number} started
		 * @returns {boolean} whether something was in the hand
		 */
		nudge(dx, dy, started) {
			if (!store.state.chosen) return false;
			const ids = movable();
			if (ids.length === 0) return true;
			if (nudged.length && nudged.join() !== ids.join()) settleNudges();
			nudged = ids;
			for (const id of ids) sync.holding.add(id);
			sync.try(shiftedAll(store.state, ids, dx, dy), started);
			clearTimeout(nudging);
			nudging = setTimeout(settleNudges, NUDGE_REST_MS);
			return true;
		},
	};
}
