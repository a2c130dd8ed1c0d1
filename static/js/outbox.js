/**
 * Commands that the program could not be told: kept in this tab, a reload outlived, and sent in
 * their order once it answers again.
 */

import { ApiError } from './api.js';
import { folded, without } from './model/apply.js';

/** @import {Answer, Both, Command, Waiting} from './types.js' */
/** @import {PlanApi} from './api.js' */

/** @param {unknown} error @returns {boolean} whether asking again later may help */
export function isAway(error) {
	return error instanceof ApiError && (error.code === 'offline' || error.code === 'crowded');
}

export class Outbox {
	/** As they were made, so that each can be let go by itself. @type {Waiting[]} */
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

	/** What waits, in its order. @returns {readonly Waiting[]} */
	get all() {
		return this.#waiting;
	}

	/** @param {Command} command @param {number} seen the revision that it was made on */
	add(command, seen) {
		const id = Math.max(0, ...this.#waiting.map((one) => one.id ?? 0)) + 1;
		this.#waiting.push({ id, command: structuredClone(command), seen });
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
	 * Send what waits. Stops and throws where the program does not answer; what it refuses is
	 * told and dropped.
	 * @param {(both: Both) => void} onBoth @param {(sentence: string) => void} onRefused
	 * @returns {Promise<Answer|null>} how the plan stands when all is sent, null if nothing waited
	 */
	async send(onBoth, onRefused) {
		/** @type {Answer|null} */
		let answer = null;
		const rest = this.#folded();
		for (let first = rest[0]; first; first = rest[0]) {
			try {
				answer = await this.api.command(first.command, first.seen);
			} catch (error) {
				if (isAway(error)) throw error;
				answer = await this.api.read();
				if (error instanceof ApiError && error.both) onBoth(error.both);
				else onRefused(error instanceof Error ? error.message : String(error));
			}
			rest.shift();
			// Those behind it were made on what it led to.
			for (const one of rest) one.seen = answer.revision;
			// Only now that the program has taken one is what waits another.
			this.#waiting = structuredClone(rest);
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
