/**
 * Commands that the program could not be told: kept in this tab, a reload outlived, and sent in
 * their order once it answers again.
 */

import { ApiError } from './api.js';
import { folded, without } from './model/apply.js';

/** @import {Answer, Both, Command, Waiting} from './types.js' */
/** @import {PlanApi} from './api.js' */

const AWAY = ['offline', 'crowded', 'ending'];

/** @param {unknown} error @returns {boolean} whether the program is not there for anybody to ask */
export function isAway(error) {
	return error instanceof ApiError && AWAY.includes(error.code);
}

/**
 * @param {unknown} error
 * @returns {boolean} whether the same may be kept later: what hinders is no fault of the change
 */
export function mayBeLater(error) {
	return isAway(error) || (error instanceof ApiError && error.code === 'store');
}

export class Outbox {
	/** As they were made, so that each can be let go by itself. @type {Waiting[]} */
	#waiting = [];
	/** Why it was not kept, in the program's words; '' where the program does not answer. */
	#hindered = '';

	/** @param {PlanApi} api */
	constructor(api) {
		this.api = api;
		this.key = `waiting ${api.root}`;
		try {
			this.#waiting = JSON.parse(sessionStorage.getItem(this.key) ?? '[]');
		} catch {
			// A browser that keeps nothing for the tab still has the page's own memory.
		}
		window.addEventListener('beforeunload', (event) => {
			if (this.#waiting.length) event.preventDefault();
		});
	}

	get count() {
		return this.#waiting.length;
	}

	/** What waits, in its order. @returns {readonly Waiting[]} */
	get all() {
		return this.#waiting;
	}

	/** What waits and for what, '' where nothing does. */
	get words() {
		const { count } = this;
		if (!count) return '';
		const until = this.#hindered ? `: ${this.#hindered}` : ' until the program answers';
		return `${count} ${count === 1 ? 'change waits' : 'changes wait'}${until}`;
	}

	/** Note why what waits was not kept. @param {unknown} error */
	hinder(error) {
		this.#hindered = error instanceof Error && !isAway(error) ? error.message : '';
	}

	/**
	 * @param {Command} command @param {number} seen the revision that it was made on
	 * @param {boolean} asFound a search found it in that
	 */
	add(command, seen, asFound) {
		const id = Math.max(0, ...this.#waiting.map((one) => one.id ?? 0)) + 1;
		this.#waiting.push({ id, command: structuredClone(command), seen, asFound });
		this.#keep();
	}

	/** Let one go; what was made on it is let go with it. @param {number} id */
	drop(id) {
		const at = this.#waiting.findIndex((one) => one.id === id);
		if (at < 0) return;
		const rest = without(
			this.#waiting.map((one) => one.command),
			at,
		);
		this.#waiting = this.#waiting.flatMap((one, i) => {
			const command = rest[i];
			return command ? [{ ...one, command }] : [];
		});
		this.#keep();
	}

	/** What waits as it is sent: each place once. @returns {Waiting[]} */
	#folded() {
		/** @type {Waiting[]} */
		const less = [];
		for (const one of structuredClone(this.#waiting)) {
			const rest = folded(
				less.map((other) => other.command),
				one.command,
			);
			if (rest) less.push({ ...one, command: rest });
		}
		return less;
	}

	/**
	 * Send what waits. Stops and throws where the program does not answer or cannot keep anything
	 * now; what it refuses for good is told and dropped.
	 * @param {(both: Both) => void} onBoth @param {(sentence: string) => void} onRefused
	 * @param {(answer: Answer) => void} onTaken told of each as the plan stands with it
	 * @returns {Promise<Answer|null>} how the plan stands when all is sent, null if nothing waited
	 */
	async send(onBoth, onRefused, onTaken) {
		/** @type {Answer|null} */
		let answer = null;
		const rest = this.#folded();
		for (let first = rest[0]; first; first = rest[0]) {
			try {
				answer = await this.api.command(first.command, first.seen, first.asFound);
			} catch (error) {
				if (mayBeLater(error)) throw error;
				answer = await this.api.read();
				if (error instanceof ApiError && error.both) onBoth(error.both);
				else onRefused(error instanceof Error ? error.message : String(error));
			}
			rest.shift();
			// Those behind it were made on what it led to, but for what was found before.
			for (const one of rest) if (!one.asFound) one.seen = answer.revision;
			// Only now that the program has taken one is what waits another.
			this.#waiting = structuredClone(rest);
			this.#keep();
			onTaken(answer);
		}
		return answer;
	}

	#keep() {
		try {
			if (this.#waiting.length) sessionStorage.setItem(this.key, JSON.stringify(this.#waiting));
			else sessionStorage.removeItem(this.key);
		} catch {
			// Then they wait in the page's own memory only.
		}
	}
}
