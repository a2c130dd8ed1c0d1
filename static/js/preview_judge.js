/** Asking the judge what he says of pieces that are in the hand, no more often than he answers. */

/** @import {Pose, Verdict} from './types.js' */
/** @import {PlanApi} from './api.js' */

const MEASURES_KEPT = 5000;

/** @typedef {{moves: Record<string, Pose>, started: number, turn: number}} Question */

export class Trying {
	/** @type {Question|null} */
	#waiting = null;
	#asking = false;
	#turn = 0;
	#shown = 0;
	#measures = 0;

	/** @param {PlanApi} api @param {(verdict: Verdict) => void} show */
	constructor(api, show) {
		this.api = api;
		this.show = show;
	}

	/**
	 * One question is out at a time; of those that come meanwhile only the newest waits.
	 * @param {Record<string, Pose>} moves @param {number} started when the handler of the pointer or
	 * key began
	 */
	ask(moves, started) {
		this.#turn += 1;
		const question = { moves, started, turn: this.#turn };
		if (this.#asking) this.#waiting = question;
		else void this.#ask(question);
	}

	/** Let go of all questions: their answers are not shown any more. */
	forget() {
		this.#shown = this.#turn;
		this.#waiting = null;
	}

	/** @param {Question} question */
	async #ask(question) {
		this.#asking = true;
		try {
			const { verdict } = await this.api.try(question.moves);
			if (question.turn > this.#shown) {
				this.#shown = question.turn;
				this.show(verdict);
				this.#measure(question.started);
			}
		} catch {
			// A preview that cannot be judged is no loss: the command that follows says what is wrong.
		}
		this.#asking = false;
		const next = this.#waiting;
		this.#waiting = null;
		if (next && next.turn > this.#shown) void this.#ask(next);
	}

	/** @param {number} started */
	#measure(started) {
		if (this.#measures >= MEASURES_KEPT) {
			performance.clearMeasures('drag:verdict');
			this.#measures = 0;
		}
		this.#measures += 1;
		performance.measure('drag:verdict', { start: started, end: performance.now() });
	}
}
