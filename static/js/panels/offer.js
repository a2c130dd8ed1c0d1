/** "Will this one fit?": three sizes of an offer, and where it would stand. */

import { el, need, say } from '../dom.js';
import { short } from '../model/written.js';

/** @import {KitRow, Offer, Pose, Reply} from '../types.js' */

export class OfferForm {
	/** @type {{offer: Offer, place: Pose}|null} */
	#offered = null;

	/**
	 * @param {HTMLDialogElement} root @param {Record<string, KitRow>} library
	 * @param {'metric'|'feet'} units @param {(text: string) => Promise<number>} read
	 * @param {(offer: Offer) => Promise<Reply>} ask @param {(offer: Offer, place: Pose) => void} put
	 */
	constructor(root, library, units, read, ask, put) {
		this.root = root;
		this.units = units;
		this.read = read;
		this.ask = ask;
		this.form = need(root, 'form', HTMLFormElement);
		this.answer = need(root, '.offer-answer', HTMLElement);
		this.put = need(root, '[data-act="put-there"]', HTMLButtonElement);
		this.type = need(root, '[name="type"]', HTMLSelectElement);
		this.type.append(...Object.entries(library).map(([key, row]) => el('option', { value: key }, row.name)));
		this.type.addEventListener('change', () => this.#suggest(library[this.type.value]));
		this.form.addEventListener('submit', (event) => {
			event.preventDefault();
			void this.#ask();
		});
		this.form.addEventListener('input', () => this.#clear());
		need(root, '[data-act="close-offer"]', HTMLButtonElement).addEventListener('click', () => root.close());
		this.put.addEventListener('click', () => {
			if (!this.#offered) return;
			put(this.#offered.offer, this.#offered.place);
			root.close();
		});
	}

	open() {
		this.root.showModal();
		need(this.root, '[name="width_mm"]', HTMLInputElement).focus();
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
		say(this.answer, '');
	}

	async #ask() {
		this.#clear();
		/** @type {Record<string, number>} */
		const sizes = {};
		for (const side of ['width_mm', 'depth_mm', 'height_mm']) {
			const input = need(this.form, `[name="${side}"]`, HTMLInputElement);
			input.removeAttribute('aria-invalid');
			try {
				sizes[side] = await this.read(input.value || input.placeholder);
			} catch (error) {
				input.setAttribute('aria-invalid', 'true');
				say(this.answer, error instanceof Error ? error.message : String(error));
				input.focus();
				return;
			}
		}
		const offer = /** @type {Offer} */ (/** @type {unknown} */ ({ ...sizes }));
		if (this.type.value) offer.type = this.type.value;
		try {
			say(this.answer, 'Looking for a place.');
			this.answer.classList.add('is-looking');
			const reply = await this.ask(offer);
			say(this.answer, reply.sentence);
			if (reply.place) this.#offered = { offer, place: reply.place };
			this.put.hidden = !reply.place;
		} catch (error) {
			say(this.answer, error instanceof Error ? error.message : String(error));
		} finally {
			this.answer.classList.remove('is-looking');
		}
	}
}
