/** One snag as a row of the slip: built once, then only what differs is written. */

import { button, el, say } from '../dom.js';
import { gaugeOf } from '../model/words.js';
import { unbroken } from '../model/written.js';

/** @import {Remedy, RowActions, Snag} from '../types.js' */

/** The note in which all open questions stand. */
const QUESTIONS = 'find-out';

export class Row {
	/** @type {Snag|null} */
	#snag = null;
	#remedy = '';
	#tried = '';
	/** What is open below the row. @type {'why'|'settle'|null} */
	#open = null;

	/** @param {string} key @param {'metric'|'feet'} units @param {RowActions} actions */
	constructor(key, units, actions) {
		this.key = key;
		this.units = units;
		this.mark = button('', 'mark', () => actions.choose(key), '');
		this.who = el('h3');
		this.sentence = el('p', { class: 'sentence' });
		this.lines = el('ul', { class: 'said-lines', hidden: '' });
		this.gauge = new GaugeView();
		this.remedy = button('remedy', 'remedy', () => actions.remedy(key), '');
		for (const [event, shows] of /** @type {[string, boolean][]} */ ([
			['pointerenter', true],
			['focus', true],
			['pointerleave', false],
			['blur', false],
		])) {
			this.remedy.addEventListener(event, () => actions.wouldStand(shows ? key : null));
		}
		this.tried = el('p', { class: 'tried', hidden: '' });
		this.why = button('why', 'quiet', () => this.#toggle('why'), 'Why');
		this.settleOpen = button('settle', 'quiet', () => this.#toggle('settle'), 'Settle');
		this.decline = button('decline', 'quiet', () => actions.decline(key), 'Not wanted');
		this.reopen = button('reopen', 'quiet', () => actions.reopen(key), 'Reopen');
		// what is missing of a room stands on its page, each line with a way to where it is said
		this.answer = el('a', { class: 'quiet', href: `${location.pathname}/room?of=known`, hidden: '' }, 'Answer them');
		this.reason = el('p', { class: 'reason' });
		this.below = el('div', { class: 'below', hidden: '' });
		this.actions = actions;
		this.#toggle(null);
		this.element = el('li', { class: 'snag', 'data-key': key }, [
			this.mark,
			el('div', { class: 'said' }, [
				this.who,
				this.sentence,
				this.lines,
				this.gauge.element,
				this.reason,
				this.remedy,
				this.tried,
				el('div', { class: 'acts' }, [this.answer, this.why, this.settleOpen, this.decline, this.reopen]),
				this.below,
			]),
		]);
		this.element.addEventListener('click', (event) => {
			const target = event.target instanceof Element ? event.target : null;
			if (!target?.closest('a, button, .below')) actions.choose(key);
		});
	}

	/** Open one thing below the row, or shut it again. @param {'why'|'settle'|null} what */
	#toggle(what) {
		this.#open = what === this.#open ? null : what;
		this.#fill();
		if (this.#open) this.below.scrollIntoView({ block: 'nearest' });
	}

	#fill() {
		this.why.setAttribute('aria-expanded', String(this.#open === 'why'));
		this.settleOpen.setAttribute('aria-expanded', String(this.#open === 'settle'));
		this.below.hidden = this.#open === null;
		if (this.#open === null) return;
		const opener = this.#open === 'why' ? this.why : this.settleOpen;
		this.actions.below(this.#open, this.key, this.below, () => {
			this.#toggle(null);
			opener.focus();
		});
	}

	/** @param {Snag} snag @param {Remedy|null} remedy @param {string} tried @param {boolean} chosen */
	update(snag, remedy, tried, chosen) {
		const was = this.#snag;
		if (was !== snag) this.#write(snag, was);
		this.#snag = snag;
		const offered = snag.settled ? '' : unbroken(remedy?.sentence ?? '');
		if (offered !== this.#remedy || !was) {
			this.#remedy = offered;
			say(this.remedy, offered);
			this.remedy.hidden = !offered;
		}
		const words = snag.settled || offered ? '' : tried;
		if (words !== this.#tried) {
			this.#tried = words;
			say(this.tried, words);
			this.tried.hidden = !words;
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
		if (was?.sentence !== snag.sentence) {
			const lines = snag.lines ?? [];
			say(this.sentence, lines.length ? '' : unbroken(snag.sentence));
			this.sentence.hidden = lines.length > 0;
			this.lines.hidden = !lines.length;
			this.lines.replaceChildren(...lines.map((line) => el('li', {}, unbroken(line))));
		}
		this.gauge.update(snag, this.units);
		this.answer.hidden = settled || snag.code !== QUESTIONS;
		this.decline.hidden = settled || !snag.person || !snag.movement;
		const reason = snag.settled ? `Settled ${snag.settled.on}: ${snag.settled.reason}` : '';
		say(this.reason, reason);
		this.reason.hidden = !reason;
		if (this.#open === 'why') this.#fill();
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
