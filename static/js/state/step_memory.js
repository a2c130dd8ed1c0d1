/**
 * What a page showed at the revisions that it has seen, so that undo and redo are shown at once.
 * What the program answers afterwards is shown in its place.
 */

/** @typedef {'undo'|'redo'} Way */

/**
 * Where undo and redo lead from a revision, and in words what they would take back or do again.
 * @typedef {object} Steps
 * @property {number|null} undo_to  revision that held what undo leads to
 * @property {number|null} redo_to
 * @property {string|null} undo_says
 * @property {string|null} redo_says
 */

/** @template {Steps} Look */
export class StepMemory {
	/** @type {Map<string, Look>} by revision and what was chosen, the oldest first */
	#looks = new Map();

	/** The revision that the page shows, or would show once the program has followed. */
	here = -1;

	/** @param {number} most how many looks are remembered */
	constructor(most) {
		this.most = most;
	}

	/** @param {number} revision @param {Look} look @param {string} [of] what was chosen then */
	keep(revision, look, of = '') {
		this.#put(`${revision} ${of}`, look);
	}

	/** @param {string} key @param {Look} look */
	#put(key, look) {
		this.#looks.delete(key);
		this.#looks.set(key, look);
		const [oldest = key] = this.#looks.keys();
		if (this.#looks.size > this.most) this.#looks.delete(oldest);
	}

	/** @param {number} revision @param {string} [of] @returns {Look|undefined} */
	at(revision, of = '') {
		return this.#looks.get(`${revision} ${of}`);
	}

	/** The look of a revision with the same chosen, else with whatever was. @param {number} revision @param {string} of */
	#nearest(revision, of) {
		const same = this.at(revision, of);
		if (same) return { key: `${revision} ${of}`, look: same, whole: true };
		const other = [...this.#looks].findLast(([key]) => key.startsWith(`${revision} `));
		return other ? { key: other[0], look: other[1], whole: false } : null;
	}

	/**
	 * Go one step from what the page shows now.
	 * @param {Way} way @param {string} [of] what is chosen
	 * @returns {{look: Look, whole: boolean}|null} how the page was there, not `whole` where something
	 *   else was chosen then; null where only the program knows
	 */
	step(way, of = '') {
		const now = this.#nearest(this.here, of)?.look;
		const to = now?.[`${way}_to`] ?? null;
		const step = to === null ? null : this.#nearest(to, of);
		if (!now || to === null || !step) return null;
		// the way back from there leads to what the page shows now
		const back =
			way === 'undo'
				? { can_redo: true, redo_to: this.here, redo_says: now.undo_says }
				: { can_undo: true, undo_to: this.here, undo_says: now.redo_says };
		const look = { ...step.look, ...back };
		this.#put(step.key, look);
		this.here = to;
		return { look, whole: step.whole };
	}
}
