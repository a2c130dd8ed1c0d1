/** "Will this one fit?": three sizes of an offer, and where it would stand. */

import { el, need, say } from '../dom.js';
import { short } from '../model/written.js';

/** @import {KitRow, Offer, Pose, Reply} from '../types.js' */

export class OfferForm {
	/** @type {{offer: Offer, place: Pose}|null} */
	#offered = null;

	/** Where the hand was before. @type {Element|null} */
	#back = null;

	/**
	 * @param {HTMLDialogElement} root @param {Record<string, KitRow>} library
	 * @param {'metric'|'feet'} units @param {(text: string) => Promise<number>} read
	 * @param {object} hand @param {(offer: Offer) => Promise<Reply>} hand.ask
	 * @param {(offer: Offer, place: Pose) => void} hand.put
	 * @param {(list: HTMLElement, offer: Offer, take: (pose: Pose) => void) => Promise<boolean>} hand.places
	 *   shows where it could stand, in a list and on the plan, and whether there are such places
	 * @param {() => void} hand.clear takes that off the plan
	 */
	constructor(root, library, units, read, { ask, put, places, clear }) {
		this.root = root;
		this.units = units;
		this.read = read;
		this.ask = ask;
		this.places = places;
		this.clear = clear;
		this.take = (/** @type {Offer} */ offer, /** @type {Pose} */ place) => {
			this.#shut();
			put(offer, place);
		};
		this.list = need(root, '.offer-places', HTMLElement);
		this.form = need(root, 'form', HTMLFormElement);
		this.answer = need(root, '.offer-answer', HTMLElement);
		this.put = need(root, '[data-act="put-there"]', HTMLButtonElement);
		this.type = need(root, '[name="type"]', HTMLSelectElement);
		const kinds = Object.entries(library).sort(([, one], [, other]) => one.name.localeCompare(other.name));
		this.type.append(...kinds.map(([key, row]) => el('option', { value: key }, row.name)));
		this.type.addEventListener('change', () => this.#suggest(library[this.type.value]));
		this.form.addEventListener('submit', (event) => {
			event.preventDefault();
			void this.#ask();
		});
		this.form.addEventListener('input', () => this.#clear());
		need(root, '[data-act="close-offer"]', HTMLButtonElement).addEventListener('click', () => this.#shut());
		root.addEventListener('keydown', (event) => {
			if (event.key === 'Escape') this.#shut();
		});
		this.put.addEventListener('click', () => {
			if (this.#offered) this.take(this.#offered.offer, this.#offered.place);
		});
	}

	open() {
		this.#back = document.activeElement;
		// not modal: the places that it shows on the plan take presses
		this.root.show();
		need(this.root, '[name="width_mm"]', HTMLInputElement).focus();
	}

	#shut() {
		this.#clear();
		this.root.close();
		if (this.#back instanceof HTMLElement) this.#back.focus();
	}

	/** @param {KitRow|undefined} row */
	#suggest(row) {
		for (const side of /** @type {const} */ (['width_mm', 'depth_mm', 'height_mm'])) {
			const input = need(this.form, `[name="${side}"]`, HTMLInputElement);
			input.placeholder = row ? short(row[side], this.units) : '';
		}
	}

	#clear() {
		this.#offered = null;
		this.put.hidden = true;
		this.list.hidden = true;
		this.clear();
		say(this.answer, '');
	}

	async #ask() {
		this.#clear();
		/** @type {Record<string, number>} */
		const sizes = {};
		/** @type {string[]} */
		const faults = [];
		for (const side of ['width_mm', 'depth_mm', 'height_mm']) {
			const input = need(this.form, `[name="${side}"]`, HTMLInputElement);
			input.removeAttribute('aria-invalid');
			try {
				sizes[side] = await this.read(input.value || input.placeholder);
			} catch (error) {
				input.setAttribute('aria-invalid', 'true');
				if (!faults.length) input.focus();
				const label = input.closest('label')?.firstChild?.textContent?.trim() ?? '';
				faults.push(`${label}: ${error instanceof Error ? error.message : String(error)}.`);
			}
		}
		this.answer.classList.toggle('is-fault', faults.length > 0);
		if (faults.length) {
			say(this.answer, faults.join('\n'));
			return;
		}
		const offer = /** @type {Offer} */ (/** @type {unknown} */ ({ ...sizes }));
		if (this.type.value) offer.type = this.type.value;
		try {
			say(this.answer, 'Looking for a place.');
			this.answer.classList.add('is-looking');
			const reply = await this.ask(offer);
			say(this.answer, reply.sentence);
			if (reply.place) this.#offered = { offer, place: reply.place };
			if (!reply.place) return;
			// where there are none to choose from, the one that was found is taken by its own button
			this.put.hidden = await this.places(this.list, offer, (place) => this.take(offer, place));
		} catch (error) {
			say(this.answer, error instanceof Error ? error.message : String(error));
		} finally {
			this.answer.classList.remove('is-looking');
		}
	}
}
