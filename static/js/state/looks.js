/**
 * How the plan looked at the revisions that this page has seen, so that undo and redo are shown
 * at once. What the program answers afterwards is shown in its place.
 */

/** @import {Answer, Plan, State, Verdict} from '../types.js' */

/**
 * Where pieces stand is said by the plan: the drawing may be an older one.
 * @typedef {object} Look
 * @property {Plan} plan
 * @property {Verdict} verdict
 * @property {string} drawing
 * @property {boolean} tidy  the drawing is of this very plan, not of one that it was moved from
 * @property {number|null} undoTo  revision that held what undo leads to
 * @property {number|null} redoTo
 * @property {string} undoSays
 * @property {string} redoSays
 */

const KEPT = 60;

/** @param {Answer} answer @param {string} drawing in case it holds none @returns {Look} */
export function lookOf(answer, drawing) {
	return {
		plan: answer.plan,
		verdict: answer.verdict,
		drawing: answer.drawing ?? drawing,
		tidy: answer.drawing !== undefined,
		undoTo: answer.undo_to,
		redoTo: answer.redo_to,
		undoSays: answer.undo_says ?? '',
		redoSays: answer.redo_says ?? '',
	};
}

export class Looks {
	/** @type {Map<number, Look>} */
	#looks = new Map();

	/** Which revision the page shows, or would show once the program has followed. */
	here = -1;

	/** @param {number} revision @param {Look} look */
	keep(revision, look) {
		this.#looks.delete(revision);
		this.#looks.set(revision, look);
		const [oldest = revision] = this.#looks.keys();
		if (this.#looks.size > KEPT) this.#looks.delete(oldest);
	}

	/** @param {number} revision @returns {Look|undefined} */
	at(revision) {
		return this.#looks.get(revision);
	}

	/**
	 * Go one step from how the page stands now.
	 * @param {'undo'|'redo'} way @param {State} now
	 * @returns {Look|null} how it looks there, null where only the program knows
	 */
	step(way, now) {
		const to = way === 'undo' ? now.undoTo : now.redoTo;
		const look = to === null ? undefined : this.#looks.get(to);
		if (to === null || !look) return null;
		// The way back from there leads to where the page stands now.
		const back =
			way === 'undo' ? { redoTo: this.here, redoSays: now.undoSays } : { undoTo: this.here, undoSays: now.redoSays };
		const there = { ...look, ...back };
		this.keep(to, there);
		this.here = to;
		return there;
	}
}
