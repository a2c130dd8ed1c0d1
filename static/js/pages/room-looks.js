/** The parts of the room's page at the revisions that it has seen, and of what is one step away. */

import { StepMemory } from '../state/step_memory.js';

/** @import {Parts} from './room-send.js' */

/** Parts hold a drawing of some 100 kB. */
const MOST = 40;
const REST_MS = 250;

/** @extends {StepMemory<Parts>} */
export class RoomLooks extends StepMemory {
	#timer = 0;

	/**
	 * @param {object} page
	 * @param {(of: string, at: number) => Promise<Parts>} page.read
	 * @param {() => string} page.of what is chosen
	 * @param {() => boolean} page.busy something is being kept
	 */
	constructor(page) {
		super(MOST);
		this.page = page;
	}

	/** @param {'undo'|'redo'} way @param {string} of @override */
	step(way, of) {
		const taken = super.step(way, of);
		// what stood in the place of what was chosen is what is chosen now
		if (taken) this.keep(this.here, taken.look, taken.look.of);
		return taken;
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
		this.keep(at, parts, parts.of);
		// what is chosen now need not have been there: what stood in its place is shown for it
		if (parts.of !== of) this.keep(at, parts, of);
		return parts;
	}
}
