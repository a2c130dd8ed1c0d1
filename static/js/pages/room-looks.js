/**
 * The parts of the page at the revisions that it has seen, so that undo and redo are shown at
 * once. What the program answers afterwards is shown in their place.
 */

/** @import {Parts} from './room-send.js' */

/** @typedef {'undo'|'redo'} Way */

const KEPT = 40;
const REST_MS = 250;

export class RoomLooks {
	/** @type {Map<string, Parts>} by revision and what was chosen, the oldest first */
	#kept = new Map();
	#timer = 0;

	/** The revision whose parts the page shows; the program may still be on its way there. */
	here = -1;

	/**
	 * @param {object} page
	 * @param {(of: string, at: number) => Promise<Parts>} page.read
	 * @param {() => string} page.of what is chosen
	 * @param {() => boolean} page.busy something is being kept
	 */
	constructor(page) {
		this.page = page;
	}

	/** @param {Parts} parts @param {number} [revision] */
	keep(parts, revision = parts.revision) {
		const key = `${revision} ${parts.of}`;
		this.#kept.delete(key);
		this.#kept.set(key, parts);
		const [oldest = key] = this.#kept.keys();
		if (this.#kept.size > KEPT) this.#kept.delete(oldest);
	}

	/** @param {number} revision @param {string} of @returns {Parts|undefined} */
	at(revision, of) {
		return this.#kept.get(`${revision} ${of}`);
	}

	/** Parts of a revision whatever was chosen then. @param {number} revision */
	#any(revision) {
		return [...this.#kept].findLast(([key]) => key.startsWith(`${revision} `))?.[1];
	}

	/**
	 * Go one step from what the page shows now.
	 * @param {Way} way @param {string} of what is chosen
	 * @returns {{parts: Parts, whole: boolean}|null} the parts there, not `whole` where something
	 *   else was chosen then; null where only the program knows them
	 */
	step(way, of) {
		const now = this.at(this.here, of) ?? this.#any(this.here);
		const to = now?.[`${way}_to`] ?? null;
		if (!now || to === null) return null;
		const same = this.at(to, of);
		const found = same ?? this.#any(to);
		if (!found) return null;
		// the way back from there leads to what the page shows now
		const back =
			way === 'undo'
				? { can_redo: true, redo_to: this.here, redo_says: now.undo_says }
				: { can_undo: true, undo_to: this.here, undo_says: now.redo_says };
		const there = { ...found, ...back };
		this.keep(there, to);
		if (same) this.#kept.set(`${to} ${of}`, there);
		this.here = to;
		return { parts: there, whole: Boolean(same) };
	}

	/** Once the hand rests, ask how the page was a step ago, and what it is. */
	later() {
		clearTimeout(this.#timer);
		this.#timer = setTimeout(() => void this.#learn(), REST_MS);
	}

	async #learn() {
		if (this.page.busy()) return;
		const { here } = this;
		try {
			const of = this.page.of();
			const now = this.at(here, of) ?? (await this.#ask(of, here));
			for (const to of [now.undo_to, now.redo_to]) {
				if (to !== null && !this.at(to, of) && !this.page.busy()) await this.#ask(of, to);
			}
		} catch {
			// Not needed: a step then shows when the program answers.
		}
	}

	/** @param {string} of @param {number} at */
	async #ask(of, at) {
		const parts = await this.page.read(of, at);
		this.keep(parts);
		// what is chosen now need not have been there: what stood in its place is shown for it
		if (parts.of !== of) this.#kept.set(`${at} ${of}`, parts);
		return parts;
	}
}
