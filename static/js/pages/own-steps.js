/** Steps that this very page made: what it sends on an older revision of its own meets no stranger. */

export class OwnSteps {
	/** @type {Set<number>} revisions that came of what this page sent */
	#made = new Set();

	/** What this page sent on one revision became the next. @param {number} seen @param {number} became */
	note(seen, became) {
		if (became === seen + 1) this.#made.add(became);
	}

	/**
	 * The newest revision that differs from one only by what this page did since: who answers two
	 * questions faster than the first is kept has seen what they came to.
	 * @param {number} shown
	 */
	since(shown) {
		let newest = shown;
		while (this.#made.has(newest + 1)) newest += 1;
		return newest;
	}
}
