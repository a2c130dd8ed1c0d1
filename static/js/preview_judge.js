/** Asking the judge what he says of pieces that are in the hand, no more often than he answers. */

import { changedTo } from './model/changed.js';

/** @import {Pose, Verdict} from './types.js' */
/** @import {PlanApi} from './api.js' */

const MEASURES_KEPT = 5000;

/**
 * A verdict that is at hand, and of which revision it is: of a step of a drag, only what differs
 * from it need be sent. Null where the page shows a step that the program has not made yet.
 * @typedef {{verdict: Verdict, revision: number|null}} Known
 *
 * @typedef {{moves: Record<string, Pose>, started: number, turn: number, known: Known}} Question
 */

export class PreviewJudge {
	/** @type {Question|null} */
	#waiting = null;
	#asking = false;
	#turn = 0;
	#shown = 0;
	#measures = 0;

	/** @param {PlanApi} api @param {(verdict: Verdict, money: string[]) => void} show */
	constructor(api, show) {
		this.api = api;
		this.show = show;
	}

	/**
	 * One question is out at a time; of those that come meanwhile only the newest waits.
	 * @param {Record<string, Pose>} moves @param {number} started when the handler of the pointer or
	 * key began @param {Known} known
	 */
	ask(moves, started, known) {
		this.#turn += 1;
		const question = { moves, started, turn: this.#turn, known };
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
			const { known, moves } = question;
			const { verdict, changed, money = [] } = await this.api.try(moves, known.revision);
			if (question.turn > this.#shown) {
				this.#shown = question.turn;
				this.show(verdict ?? (changed ? changedTo(known.verdict, changed) : known.verdict), money);
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
