/** The card of the chosen piece: exact place, sizes, station, and what can be done with it. */

import { el, need, put, say } from '../dom.js';
import { units } from '../model/arrange.js';
import { corners, faces, gaps } from '../model/geometry.js';
import { short } from '../model/written.js';
import { isOwned, nameOf, pieceOf, poseOf, rootOf, sizeOf, stationOf } from '../model/plan.js';

/** @import {KitRow, Piece, PieceActions, State} from '../types.js' */
/** @typedef {'left'|'right'|'back'|'front'} Side */

const NUMBERS = new Set(['angle_deg', 'grade_percent']);

export class PieceCard {
	/** @type {State|null} */
	#state = null;
	/** The text that is being read now. @type {string|null} */
	#sent = null;

	/**
	 * @param {HTMLElement} root @param {Record<string, KitRow>} library @param {PieceActions} actions
	 */
	constructor(root, library, actions) {
		this.root = root;
		this.library = library;
		this.actions = actions;
		this.name = need(root, '.piece-name', HTMLElement);
		this.station = need(root, '.piece-station', HTMLElement);
		this.whole = need(root, '[data-act="whole"]', HTMLButtonElement);
		this.yours = need(root, '.is-yours', HTMLElement);
		this.pin = need(root, '[data-act="pin"]', HTMLButtonElement);
		this.later = need(root, '[data-act="later"]', HTMLButtonElement);
		this.state = need(root, '[name="state"]', HTMLSelectElement);
		this.state.addEventListener('change', () => actions.edit({ state: this.state.value || null }));
		this.fault = need(root, '.card-fault', HTMLElement);
		this.belongs = need(root, '[name="belongs"]', HTMLSelectElement);
		/** @type {HTMLInputElement[]} */
		this.inputs = [...root.querySelectorAll('input')];
		for (const input of this.inputs) {
			input.addEventListener('change', () => void this.#apply(input));
			input.addEventListener('keydown', (event) => {
				if (event.key === 'Enter') {
					event.preventDefault();
					void this.#apply(input);
					input.select();
				}
				if (event.key !== 'Escape') return;
				event.stopPropagation();
				this.#fill(input);
				actions.leave();
			});
		}
		this.belongs.addEventListener('change', () => actions.belong(this.belongs.value || null));
		root.addEventListener('submit', (event) => event.preventDefault());
	}

	/** Go to the first figure. */
	focus() {
		this.inputs[0]?.focus();
		this.inputs[0]?.select();
	}

	/** @param {State} now @param {State|null} was */
	update(now, was) {
		this.#state = now;
		const piece = pieceOf(now.plan, now.chosen);
		if (!piece) return;
		const fresh = now.plan !== was?.plan || now.chosen !== was.chosen || now.others !== was.others;
		if (fresh) this.#describe(now, piece);
		if (fresh || now.whole !== was?.whole) {
			this.#describeStation(now, piece);
			this.#orders(now);
		}
		if (!fresh && now.preview === was?.preview) return;
		for (const input of this.inputs) {
			if (!fresh && !['left', 'back', 'angle_deg'].includes(input.name)) continue;
			if (document.activeElement !== input || fresh) this.#fill(input);
		}
	}

	/** @param {State} state @param {Piece} piece */
	#describe(state, piece) {
		const row = this.library[piece.type];
		const several = state.others.length > 0;
		this.root.classList.toggle('is-several', several);
		say(this.name, several ? `${state.others.length + 1} pieces` : nameOf(piece, this.library));
		for (const field of this.root.querySelectorAll('[data-only]')) {
			const only = field.getAttribute('data-only');
			/** @type {HTMLElement} */ (field).hidden = !(only === 'bar' ? row?.bar : row?.runs);
		}
		const price = this.inputs.find((input) => input.name === 'price_minor')?.closest('label');
		if (price) price.hidden = isOwned(state.plan, piece);
		this.yours.hidden = !isOwned(state.plan, piece);
		this.later.setAttribute('aria-pressed', String(piece.later));
		const states = Object.entries(row?.states ?? {});
		/** @type {HTMLElement} */ (this.state.parentElement).hidden = states.length === 0;
		this.state.replaceChildren(
			el('option', { value: '' }, 'in use'),
			...states.map(([key, name]) => el('option', { value: key }, name)),
		);
		this.state.value = piece.state ?? '';
		this.pin.setAttribute('aria-pressed', String(piece.pinned));
		say(need(this.pin, '.word', HTMLElement), piece.pinned ? 'Unpin' : 'Pin down');
		const choices = state.plan.pieces.filter(
			(other) => other.id !== piece.id && rootOf(state.plan, other.id) !== piece.id && !other.stays,
		);
		this.belongs.replaceChildren(
			el('option', { value: '' }, 'nothing: it is on its own'),
			...choices.map((other) => el('option', { value: other.id }, nameOf(other, this.library))),
		);
		this.belongs.value = piece.carried_by ?? '';
	}

	/** @param {State} state @param {Piece} piece */
	#describeStation(state, piece) {
		const all = [piece.id, ...state.others];
		const stations = new Set(all.flatMap((id) => stationOf(state.plan, id)));
		const beside = [...stations].filter((id) => !all.includes(id));
		const names = [...state.others, ...beside].map((id) => {
			const other = pieceOf(state.plan, id);
			return other ? nameOf(other, this.library) : id;
		});
		const rest = names.length > 5 ? names.splice(4).length : 0;
		const together = `with ${names.join(', ')}${rest ? ` and ${rest} more` : ''}`;
		say(this.station, names.length ? together : '');
		this.station.hidden = names.length === 0;
		this.whole.hidden = beside.length === 0;
		say(need(this.whole, '.word', HTMLElement), all.length > 1 ? 'These alone' : 'This piece alone');
		this.whole.setAttribute('aria-pressed', String(!state.whole));
	}

	/** Only what can be done with as many as are in the hand. @param {State} state */
	#orders(state) {
		const count = units(state, this.library).length;
		for (const order of this.root.querySelectorAll('[data-act^="space:"], [data-act^="swap:"]')) {
			const swaps = order.getAttribute('data-act') === 'swap:';
			const fits = swaps ? count === 2 : count > 2;
			/** @type {HTMLButtonElement} */ (order).disabled = !fits;
			const why = swaps ? 'Takes two, no more' : 'Takes three or more';
			/** @type {HTMLButtonElement} */ (order).title = fits ? '' : why;
		}
	}

	/** @returns {[State|null, Piece|null]} */
	#now() {
		const state = this.#state;
		return [state, state && pieceOf(state.plan, state.chosen)];
	}

	/** @param {HTMLInputElement} input */
	#fill(input) {
		const value = this.#value(input.name);
		if (input.value !== value) input.value = value;
		this.#refuse(input, '');
	}

	/** Say on the card what is wrong with a field, or that nothing is any more. @param {HTMLInputElement} input @param {string} sentence */
	#refuse(input, sentence) {
		if (!sentence && !input.hasAttribute('aria-invalid')) return;
		if (sentence) {
			put(input, 'aria-invalid', 'true');
			put(input, 'aria-describedby', this.fault.id);
		} else {
			input.removeAttribute('aria-invalid');
			input.removeAttribute('aria-describedby');
			if (this.root.querySelector('.fields [aria-invalid]')) return;
		}
		say(this.fault, sentence);
		this.fault.hidden = !sentence;
	}

	/** @param {string} name @returns {string} */
	#value(name) {
		const [state, piece] = this.#now();
		if (!state || !piece) return '';
		const row = this.library[piece.type];
		const units = state.plan.units;
		if (name === 'angle_deg') return String((Math.round(poseOf(state, piece.id).angle_deg * 10) / 10) % 360);
		if (name === 'left' || name === 'back') {
			const gap = this.#gap(this.#side(name));
			return gap === null ? '' : short(gap, units);
		}
		if (name === 'price_minor') {
			const price = piece.price_minor ?? row?.price_minor ?? null;
			return price === null ? '' : (price / 10 ** this.#digits).toFixed(this.#digits).replace(/\.0+$/, '');
		}
		if (name === 'grade_percent') return piece.grade_percent === null ? '' : String(piece.grade_percent);
		const own = piece[/** @type {'width_mm'} */ (name)];
		const usual = row?.[/** @type {'width_mm'} */ (name)];
		const value = own ?? usual ?? null;
		return value === null ? '' : short(value, units);
	}

	/** The decimals of the plan's money. */
	get #digits() {
		return Number(this.inputs.find((input) => input.name === 'price_minor')?.dataset['digits'] ?? 2);
	}

	/** On which side of the paper the left or the back of the room lies. @param {string} name @returns {Side} */
	#side(name) {
		return /** @type {Side} */ (this.inputs.find((input) => input.name === name)?.dataset['side'] ?? name);
	}

	/** Move up to a distance from a wall. @param {Side} side @param {number} mm */
	#goTo(side, mm) {
		const by = mm - (this.#gap(side) ?? 0);
		const [x, y] = { left: [1, 0], right: [-1, 0], back: [0, 1], front: [0, -1] }[side];
		this.actions.shift(by * (x ?? 0), by * (y ?? 0));
	}

	/** @param {Side} side */
	#gap(side) {
		const [state, piece] = this.#now();
		if (!state || !piece) return null;
		const points = corners(poseOf(state, piece.id), sizeOf(piece, this.library));
		return gaps(faces(state.plan.room), points).find((gap) => gap.side === side)?.gap ?? null;
	}

	/** @param {HTMLInputElement} input */
	async #apply(input) {
		const { name } = input;
		const typed = input.value.trim();
		const [state] = this.#now();
		if (!state || typed === this.#value(name) || typed === this.#sent) return;
		const placed = ['left', 'back', 'angle_deg'].includes(name);
		/** @type {number|null} */
		let value = null;
		try {
			this.#sent = typed;
			if (typed === '' && placed) throw new Error('A place needs a figure.');
			if (typed !== '' && name === 'price_minor') value = sum(typed, this.#digits);
			else if (typed !== '') value = NUMBERS.has(name) ? number(typed) : await this.actions.length(typed);
		} catch (error) {
			this.#refuse(input, error instanceof Error ? error.message : String(error));
			return;
		} finally {
			this.#sent = null;
		}
		if (this.#state?.chosen !== state.chosen) return;
		this.#refuse(input, '');
		if (name === 'angle_deg') this.actions.face(value ?? 0);
		else if (name === 'left' || name === 'back') this.#goTo(this.#side(name), value ?? 0);
		else {
			this.actions.edit({ [name]: value });
			// left empty, the usual figure holds and is shown again
			if (value === null) this.#fill(input);
		}
	}
}

/** Read a plain number such as an angle. @param {string} text @returns {number} */
function number(text) {
	const typed = text.replace(',', '.').replace('−', '-').replace(/[°%]$/, '');
	if (!/^-?\d+(\.\d+)?$/.test(typed)) throw new Error(`“${text}” is not a number, such as 90.`);
	return Number(typed);
}

/** Read one sum of money; two are never joined. @param {string} text @param {number} digits @returns {number} minor units */
function sum(text, digits) {
	const grouped = /^\d{1,3}(?:[\s'’]\d{3})+(?:[.,]\d+)?$/.test(text);
	const plain = grouped ? text.replace(/[\s'’]/g, '') : text;
	if (!/^\d+(?:[.,]\d+)?$/.test(plain)) throw new Error(`“${text}” is not one sum of money, such as 250.`);
	const decimals = plain.split(/[.,]/)[1]?.length ?? 0;
	if (decimals > digits) {
		throw new Error(`“${text}” has more decimals than this money; write no mark between thousands.`);
	}
	return Math.round(Number(plain.replace(',', '.')) * 10 ** digits);
}
