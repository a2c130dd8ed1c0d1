/**
 * What a page keeps goes out one after the other, and what became of it is told in its head. All
 * pages with forms share this: the queue, the words, and the warning before a page is left too soon.
 */

import { OUT_OF_REACH, need } from '../dom.js';

export class SaveQueue {
	/** @type {Promise<void>} what is under way, and what waits behind it */
	#last = Promise.resolve();
	#words = need(document, '#saved', HTMLElement);

	/** How many requests are under way or wait. */
	waiting = 0;

	constructor() {
		window.addEventListener('beforeunload', (event) => {
			if (this.waiting) event.preventDefault();
		});
		// A page shown again from the browser's memory may be older than the plan.
		window.addEventListener('pageshow', (event) => {
			if (event.persisted) location.reload();
		});
	}

	/** Whether what is told now is that something went wrong. */
	get bad() {
		return this.#words.classList.contains('bad');
	}

	/**
	 * @param {string} words
	 * @param {boolean} [bad]
	 */
	tell(words, bad = false) {
		this.#words.textContent = words;
		this.#words.title = words;
		this.#words.classList.toggle('bad', bad);
	}

	/**
	 * Tell that what others do is not heard of, or no longer so; a refusal is not written over.
	 * @param {boolean} heard
	 */
	follows(heard) {
		const told = this.#words.textContent === OUT_OF_REACH;
		if (heard && told) this.tell('');
		else if (!heard && !this.bad) this.tell(OUT_OF_REACH, true);
	}

	/**
	 * Put one request behind those that are under way. What it throws is told, and does not keep
	 * those behind it from their turn.
	 * @param {() => Promise<void>} work
	 * @returns {Promise<void>}
	 */
	add(work) {
		this.waiting += 1;
		this.#last = this.#last
			.then(work)
			.catch((fault) => this.tell(fault instanceof Error ? fault.message : String(fault), true))
			.finally(() => {
				this.waiting -= 1;
			});
		return this.#last;
	}
}
