/**
 * Commands that the program could not be told: kept in this tab, a reload outlived, and sent in
 * their order once it answers again.
 */

import { ApiError } from './api.js';
import { folded } from './model/apply.js';

/** @import {Answer, Both, Command} from './types.js' */
/** @import {PlanApi} from './api.js' */

/** @param {unknown} error @returns {boolean} whether asking again later may help */
export function isAway(error) {
	return error instanceof ApiError && (error.code === 'offline' || error.code === 'crowded');
}

export class Outbox {
	/** @type {{command: Command, seen: number}[]} */
	#waiting = [];

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

	/** @param {Command} command @param {number} seen the revision that it was made on */
	add(command, seen) {
		const rest = folded(
			this.#waiting.map((one) => one.command),
			structuredClone(command),
		);
		if (rest) this.#waiting.push({ command: rest, seen });
		this.#keep();
	}

	/**
	 * Send what waits. Stops and throws where the program does not answer; what it refuses is
	 * told and dropped.
	 * @param {(both: Both) => void} onBoth @param {(sentence: string) => void} onRefused
	 * @returns {Promise<Answer|null>} how the plan stands when all is sent, null if nothing waited
	 */
	async send(onBoth, onRefused) {
		/** @type {Answer|null} */
		let answer = null;
		for (let first = this.#waiting[0]; first; first = this.#waiting[0]) {
			try {
				answer = await this.api.command(first.command, first.seen);
			} catch (error) {
				if (isAway(error)) throw error;
				answer = await this.api.read();
				if (error instanceof ApiError && error.both) onBoth(error.both);
				else onRefused(error instanceof Error ? error.message : String(error));
			}
			this.#waiting.shift();
			// Those behind it were made on what it led to.
			for (const one of this.#waiting) one.seen = answer.revision;
			this.#keep();
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
