/**
 * What is asked for once the hand rests: a drawing with its lettering in order, how the plan was
 * a step ago, and ways out, which take the judge a while.
 */

/** @import {Answer} from './types.js' */
/** @import {PlanApi} from './api.js' */
/** @import {Store} from './state/store.js' */

const REST_MS = 250;

export class IdleWork {
	#timer = 0;
	#seeking = false;

	/** Whether pieces stand elsewhere than where the program drew them. */
	untidy = false;

	/**
	 * @param {PlanApi} api @param {Store} store @param {object} desk
	 * @param {() => boolean} desk.busy  something is in the hand or waits to be saved
	 * @param {(drawing: string) => void} desk.draw
	 * @param {(revision: number) => boolean} desk.knows  how the plan looked then
	 * @param {(revision: number, answer: Answer) => void} desk.learn
	 */
	constructor(api, store, desk) {
		this.api = api;
		this.store = store;
		this.desk = desk;
	}

	/** Begin once the hand has rested for a moment. */
	later() {
		clearTimeout(this.#timer);
		this.#timer = setTimeout(() => void this.#begin(), REST_MS);
	}

	async #begin() {
		if (this.desk.busy() || this.#seeking) {
			this.later();
			return;
		}
		this.#seeking = true;
		try {
			await this.#tidy();
			await this.#before();
		} catch {
			// Neither is needed: an undo then shows when the program answers.
		}
		this.#seeking = false;
		await this.waysOut();
	}

	async #tidy() {
		if (!this.untidy) return;
		const { revision, drawing } = await this.api.drawing();
		if (revision !== this.store.state.revision || this.desk.busy()) return;
		this.untidy = false;
		this.desk.draw(drawing);
	}

	async #before() {
		const { undo_to: earlier } = this.store.state;
		if (earlier === null || this.desk.knows(earlier) || this.desk.busy()) return;
		this.desk.learn(earlier, await this.api.at(earlier));
	}

	async waysOut() {
		if (this.#seeking) {
			this.later();
			return;
		}
		this.#seeking = true;
		try {
			// what one change mends comes sooner, and is shown meanwhile
			if (await this.#ways(true)) await this.#ways(false);
		} catch {
			// Without ways out the list still says what is wrong.
		}
		this.#seeking = false;
	}

	/** Show the ways out of the newest revision; false where a change came in between. @param {boolean} first */
	async #ways(first) {
		const { remedies, tried, revision } = await this.api.remedies(this.store.state.revision, first);
		if (revision !== this.store.state.revision) return false;
		this.store.set({ remedies, tried, remediesOf: revision });
		return true;
	}
}
