/** One snag as a row of the slip: built once, then only what differs is written. */

import { button, el, say } from '../dom.js';
import { STATUS_WORDS, gaugeOf } from '../model/words.js';

/** @import {Remedy, RowActions, Snag} from '../types.js' */

export class Row {
	/** @type {Snag|null} */
	#snag = null;
	#remedy = '';
	#sources = '';

	/** @param {string} key @param {'metric'|'feet'} units @param {RowActions} actions */
	constructor(key, units, actions) {
		this.key = key;
		this.units = units;
		this.mark = button('', 'mark', () => actions.choose(key), '');
		this.who = el('h3');
		this.sentence = el('p', { class: 'sentence' });
		this.gauge = new GaugeView();
		this.remedy = button('remedy', 'remedy', () => actions.remedy(key), '');
		this.why = button('why', 'quiet', () => this.#toggle(this.why, this.sources), 'Why');
		this.settleOpen = button('settle', 'quiet', () => this.#openSettle(), 'Settle');
		this.decline = button('decline', 'quiet', () => actions.decline(key), 'Not wanted');
		this.reopen = button('reopen', 'quiet', () => actions.reopen(key), 'Reopen');
		this.reason = el('p', { class: 'reason' });
		this.sources = el('ul', { class: 'sources', hidden: '' });
		this.why.setAttribute('aria-expanded', 'false');
		this.settleOpen.setAttribute('aria-expanded', 'false');
		this.form = this.#settleForm(actions);
		this.element = el('li', { class: 'snag', 'data-key': key }, [
			this.mark,
			el('div', { class: 'said' }, [
				this.who,
				this.sentence,
				this.gauge.element,
				this.reason,
				this.remedy,
				el('div', { class: 'acts' }, [this.why, this.settleOpen, this.decline, this.reopen]),
				this.sources,
				this.form,
			]),
		]);
		this.element.addEventListener('click', (event) => {
			const target = event.target instanceof Element ? event.target : null;
			if (!target?.closest('button, form, .sources')) actions.choose(key);
		});
	}

	/** @param {RowActions} actions */
	#settleForm(actions) {
		const id = `reason-${Math.random().toString(36).slice(2)}`;
		const input = /** @type {HTMLInputElement} */ (
			el('input', { id, maxlength: '500', autocomplete: 'off', required: '' })
		);
		const send = el('button', { class: 'plain' }, 'Settle it');
		const form = el('form', { class: 'settle-form', hidden: '' }, [
			el('label', { for: id }, 'Why is this all right?'),
			input,
			send,
		]);
		form.addEventListener('submit', (event) => {
			event.preventDefault();
			const reason = input.value.trim();
			if (!reason) return;
			actions.settle(this.key, reason);
			input.value = '';
			this.#toggle(this.settleOpen, form);
		});
		form.addEventListener('keydown', (event) => {
			if (event.key !== 'Escape') return;
			event.stopPropagation();
			this.#toggle(this.settleOpen, form);
			this.settleOpen.focus();
		});
		return form;
	}

	#openSettle() {
		this.#toggle(this.settleOpen, this.form);
		if (!this.form.hidden) this.form.querySelector('input')?.focus();
	}

	/** @param {HTMLElement} opener @param {HTMLElement} part */
	#toggle(opener, part) {
		part.hidden = !part.hidden;
		opener.setAttribute('aria-expanded', String(!part.hidden));
	}

	/** @param {Snag} snag @param {Remedy|null} remedy @param {boolean} chosen */
	update(snag, remedy, chosen) {
		const was = this.#snag;
		if (was !== snag) this.#write(snag, was);
		this.#snag = snag;
		const offered = snag.settled ? '' : (remedy?.sentence ?? '');
		if (offered !== this.#remedy || !was) {
			this.#remedy = offered;
			say(this.remedy, offered);
			this.remedy.hidden = !offered;
		}
		if (this.element.classList.contains('is-chosen') !== chosen) {
			this.element.classList.toggle('is-chosen', chosen);
			this.mark.setAttribute('aria-pressed', String(chosen));
		}
	}

	/** @param {Snag} snag @param {Snag|null} was */
	#write(snag, was) {
		const settled = snag.settled !== null;
		if (was?.severity !== snag.severity || (was.settled !== null) !== settled) {
			const chosen = this.element.classList.contains('is-chosen') ? ' is-chosen' : '';
			this.element.className = `snag ${snag.severity}${settled ? ' is-settled' : ''}${chosen}`;
			this.settleOpen.hidden = settled;
			this.reopen.hidden = !settled;
		}
		if (was?.number !== snag.number || was.severity !== snag.severity) {
			say(this.mark, String(snag.number));
			this.mark.setAttribute('aria-label', `${snag.severity} ${snag.number}: show the place`);
		}
		if (was?.who !== snag.who) say(this.who, snag.who);
		if (was?.sentence !== snag.sentence) say(this.sentence, snag.sentence);
		this.gauge.update(snag, this.units);
		this.decline.hidden = settled || !snag.person || !snag.movement;
		const reason = snag.settled ? `Settled ${snag.settled.on}: ${snag.settled.reason}` : '';
		say(this.reason, reason);
		this.reason.hidden = !reason;
		const sources = snag.sources.map((s) => s.key).join();
		if (sources !== this.#sources || !was) {
			this.#sources = sources;
			this.why.hidden = snag.sources.length === 0;
			/** @type {Map<string, Node>} */
			const lines = new Map();
			for (const source of snag.sources) {
				const title = [source.title, source.clause].filter(Boolean).join(', ');
				const status = STATUS_WORDS[source.status] ?? source.status;
				const parts = [el('em', {}, status)];
				if (title !== status) parts.unshift(el('span', {}, title));
				lines.set(title + status, el('li', {}, parts));
			}
			this.sources.replaceChildren(...lines.values());
		}
	}
}

/** What there is, against a mark for the least and a dotted mark for the need. */
class GaugeView {
	#key = '';

	constructor() {
		this.has = el('i', { class: 'has' });
		this.mark = el('i', { class: 'least' });
		this.need = el('i', { class: 'need' });
		this.left = el('span', { class: 'left' });
		this.right = el('span', { class: 'right' });
		this.bar = el('div', { class: 'gauge-bar' }, [this.has, this.mark, this.need]);
		this.element = el('div', { class: 'gauge' }, [
			this.bar,
			el('div', { class: 'gauge-said' }, [this.left, this.right]),
		]);
	}

	/** @param {Snag} snag @param {'metric'|'feet'} units */
	update(snag, units) {
		const key = `${snag.measured} ${snag.required} ${snag.need} ${snag.unit}`;
		if (key === this.#key) return;
		this.#key = key;
		const gauge = gaugeOf(snag, units);
		this.element.hidden = gauge === null;
		if (!gauge) return;
		this.bar.classList.toggle('is-torn', gauge.torn);
		this.has.style.transform = `scaleX(${gauge.has.toFixed(4)})`;
		place(this.mark, gauge.mark);
		place(this.need, gauge.need);
		say(this.left, gauge.left);
		say(this.right, gauge.right);
	}
}

/** @param {HTMLElement} mark @param {number|null} part */
function place(mark, part) {
	mark.hidden = part === null;
	if (part !== null) mark.style.left = `${(part * 100).toFixed(2)}%`;
}
