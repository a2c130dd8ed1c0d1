/** One state value, replaced as a whole; views and panels are told the new and the old one. */

/** @import {State} from '../types.js' */

/** Nothing waits to be kept. @type {Pick<State, 'saving'|'fault'|'waiting'|'deaf'>} */
export const ALL_KEPT = { saving: 'saved', fault: '', waiting: [], deaf: false };

/** @typedef {(now: State, was: State) => void} Listener */

export class Store {
	/** @type {Set<Listener>} */
	#listeners = new Set();

	/** @param {State} first */
	constructor(first) {
		this.state = first;
	}

	/** @param {Partial<State>} parts */
	set(parts) {
		const was = this.state;
		this.state = { ...was, ...parts };
		for (const listener of this.#listeners) listener(this.state, was);
	}

	/** Take a piece into the hand, alone. @param {string|null} id */
	choose(id) {
		this.set({ chosen: id, others: [] });
	}

	/** Take one more piece into the hand, or let it go. @param {string} id */
	toggle(id) {
		const { chosen, others } = this.state;
		const held = chosen ? [chosen, ...others] : [];
		const [first = null, ...rest] = held.includes(id) ? held.filter((h) => h !== id) : [...held, id];
		this.set({ chosen: first, others: rest });
	}

	/** @param {Listener} listener @returns {() => void} ends the telling */
	subscribe(listener) {
		this.#listeners.add(listener);
		return () => this.#listeners.delete(listener);
	}
}
