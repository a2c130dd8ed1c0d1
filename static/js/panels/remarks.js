/** What is said of the plan: remarks keyed to their letters, replies, settled ones, votes. */

import { ask } from '../api.js';
import { button, el, say } from '../dom.js';

/** @import {Remark, Talk} from '../types.js' */

export class RemarksPanel {
	/** @type {Talk} */
	talk = { remarks: [], votes: [], own_vote: null };
	/** @type {number|null} */
	chosen = null;
	/** @type {{x: number, y: number}|null} */
	#at = null;

	/**
	 * @param {HTMLElement} root
	 * @param {{plan: string, may: boolean, revision: () => number,
	 *   draw: (remarks: Remark[], chosen: number|null) => void,
	 *   point: (on: boolean) => void, mark: (at: {x: number, y: number}|null) => void,
	 *   reveal: (remark: Remark) => void}} desk  `may`: remarks are taken from here
	 */
	constructor(root, desk) {
		this.root = root;
		this.desk = desk;
		this.path = `/api/plans/${encodeURIComponent(desk.plan)}`;
		this.count = el('span', { class: 'counts' });
		this.list = el('ol', { class: 'remark-list' });
		this.none = el('p', { class: 'hint' });
		this.votes = el('p', { class: 'votes', role: 'status' });
		this.fault = el('p', { class: 'fault', role: 'alert', hidden: '' });
		const write = button('', 'plain write', () => this.#ask(), 'Write a remark');
		this.form = this.#composer();
		const head = root instanceof HTMLDetailsElement ? 'summary' : 'header';
		root.append(el(head, {}, [el('h2', {}, 'Remarks'), this.count]), this.none, this.list);
		if (desk.may) root.append(write, this.form, this.#ballot());
		root.append(this.votes, this.fault);
	}

	async read() {
		await this.#do(() => ask(`${this.path}/remarks`));
	}

	/** @param {Talk} talk */
	show(talk) {
		this.talk = talk;
		const open = talk.remarks.filter((remark) => !remark.settled).length;
		say(this.none, talk.remarks.length ? '' : 'Nothing has been said yet.');
		// What somebody is typing outlives the news of others.
		const typed = new Map([...this.list.querySelectorAll('input')].map((input) => [input.name, input.value]));
		const focus = document.activeElement instanceof HTMLInputElement ? document.activeElement.name : '';
		this.list.replaceChildren(...talk.remarks.map((remark) => this.#row(remark)));
		for (const input of this.list.querySelectorAll('input')) {
			input.value = typed.get(input.name) ?? '';
			if (focus && input.name === focus) input.focus();
		}
		const counts = [open ? `${open} open` : ''];
		const sides = /** @type {const} */ (['for', 'against']).map((side) => {
			const some = talk.votes.filter((vote) => vote.choice === side);
			const word = side === 'for' ? 'for' : 'not yet';
			if (some.length) counts.push(`${some.length} ${word}`);
			const names = some.map(({ who, revision }) =>
				revision < this.desk.revision() ? `${who} (on revision ${revision})` : who,
			);
			return some.length ? `${some.length} ${word}: ${names.join(', ')}` : '';
		});
		say(this.count, counts.filter(Boolean).join(', '));
		say(this.votes, sides.filter(Boolean).join('; ') || 'Nobody has voted yet.');
		for (const choice of this.root.querySelectorAll('[data-choice]')) {
			choice.setAttribute('aria-pressed', String(choice.getAttribute('data-choice') === talk.own_vote));
		}
		this.desk.draw(talk.remarks, this.chosen);
	}

	/** @param {number|null} id */
	choose(id) {
		this.chosen = id;
		if (this.root instanceof HTMLDetailsElement) this.root.open = true;
		this.show(this.talk);
		const row = this.list.querySelector(`[data-remark="${id}"]`);
		row?.scrollIntoView({ block: 'nearest' });
	}

	/** Take the place of the remark that is being written. @param {{x: number, y: number}} at */
	put(at) {
		// the click that comes of a tap takes the cursor to what was tapped: the field has it after that
		addEventListener('click', () => this.#writeAt(at), { once: true, capture: true });
	}

	/** @param {{x: number, y: number}} at */
	#writeAt(at) {
		this.#at = at;
		this.desk.mark(at);
		this.form.hidden = false;
		say(this.none, '');
		const field = this.form.querySelector('textarea');
		field?.focus({ preventScroll: true });
		this.form.scrollIntoView({ block: 'center' });
	}

	#ask() {
		this.#at = null;
		this.desk.point(true);
		say(this.none, 'Tap the place on the plan that it is about.');
	}

	#composer() {
		const text = /** @type {HTMLTextAreaElement} */ (
			el('textarea', { name: 'remark', rows: '3', maxlength: '1000', required: '', 'aria-label': 'Remark' })
		);
		const form = el('form', { class: 'composer', hidden: '' }, [
			text,
			el('button', { class: 'plain strong', type: 'submit' }, 'Pencil it on'),
			button('', 'plain', () => end(), 'Throw it away'),
		]);
		const end = () => {
			form.hidden = true;
			text.value = '';
			this.desk.mark(null);
			this.desk.point(false);
			this.show(this.talk);
		};
		form.addEventListener('submit', async (event) => {
			event.preventDefault();
			if (!this.#at) return;
			const { x, y } = this.#at;
			const body = { x_mm: x, y_mm: y, text: text.value };
			if (await this.#do(() => ask(`${this.path}/remarks`, body))) end();
		});
		return form;
	}

	#ballot() {
		const press = (/** @type {string} */ choice) => () => void this.#do(() => ask(`${this.path}/vote`, { choice }));
		const made = [
			button('', 'plain', press('for'), 'For this layout'),
			button('', 'plain', press('against'), 'Not yet'),
		];
		made[0]?.setAttribute('data-choice', 'for');
		made[1]?.setAttribute('data-choice', 'against');
		const asks = el('span', { class: 'hint' }, 'Your vote:');
		return el('div', { class: 'ballot', role: 'group', 'aria-label': 'Vote' }, [asks, ...made]);
	}

	/** @param {Remark} remark */
	#row(remark) {
		const { id, letter } = remark;
		const mark = button(
			'',
			'letter',
			() => {
				this.choose(id);
				this.desk.reveal(remark);
			},
			letter,
		);
		mark.setAttribute('aria-label', `Show remark ${letter} on the plan`);
		const lines = remark.lines.map(({ who, text }) =>
			el('p', { class: 'remark-line' }, [el('b', {}, who), document.createTextNode(` ${text}`)]),
		);
		const body = el('div', { class: 'body' }, lines);
		if (remark.settled) body.append(el('p', { class: 'hint' }, `settled by ${remark.settled}`));
		if (this.desk.may) body.append(this.#acts(remark));
		const look = `remark${remark.settled ? ' is-settled' : ''}${id === this.chosen ? ' is-chosen' : ''}`;
		return el('li', { class: look, 'data-remark': String(id) }, [mark, body]);
	}

	/** @param {Remark} remark */
	#acts({ id, letter, settled }) {
		const root = `${this.path}/remarks/${id}`;
		const word = settled ? 'Open again' : 'Settle';
		const turn = button('', 'quiet', () => void this.#do(() => ask(`${root}/settled`, { settled: !settled })), word);
		turn.setAttribute('aria-label', `${word}: remark ${letter}`);
		if (settled) return turn;
		const input = /** @type {HTMLInputElement} */ (
			el('input', { name: `reply-${id}`, maxlength: '1000', autocomplete: 'off', 'aria-label': `Reply to ${letter}` })
		);
		const form = el('form', { class: 'reply' }, [input, el('button', { class: 'plain' }, 'Reply'), turn]);
		form.addEventListener('submit', async (event) => {
			event.preventDefault();
			const text = input.value;
			if (!text.trim()) return;
			input.value = '';
			if (!(await this.#do(() => ask(`${root}/replies`, { text })))) input.value = text;
		});
		return form;
	}

	/** @param {() => Promise<Talk>} request @returns {Promise<boolean>} whether it was kept */
	async #do(request) {
		try {
			this.show(await request());
			this.fault.hidden = true;
			return true;
		} catch (error) {
			say(this.fault, error instanceof Error ? error.message : String(error));
			this.fault.hidden = false;
			return false;
		}
	}
}
