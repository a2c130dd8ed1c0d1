/** What opens below a snag: its working with the sources, or the form that settles it. */

import { GUEST } from '../api.js';
import { el } from '../dom.js';
import { figure } from '../model/written.js';

/** @import {Snag} from '../types.js' */

const STATUS_WORDS = /** @type {Record<string, string>} */ ({
	read: 'read in the source',
	quoted: 'quoted by others',
	derived: 'computed from other figures',
	practice: 'common practice, no source',
	memory: 'from memory, check it',
});

/** Terms in another unit than the snag's name it at their end. */
const UNIT = /^(.*), (k?[A-Z][A-Za-z/\d]*|kg|m[23]|lux|ppm|%|l\/s)$/;

/**
 * The working: what is added up or compared, and where each number comes from.
 * @param {Snag} snag @param {'metric'|'feet'} units @returns {Node[]}
 */
export function why(snag, units) {
	const parts = [];
	const terms = snag.working ?? [];
	if (terms.length) {
		const sum = terms.reduce((all, term) => all + term.value, 0);
		const bounds = { least: snag.required, need: snag.need, measured: snag.measured };
		const bound = Object.entries(bounds).find(([, value]) => value && Math.abs(value - sum) < 1);
		/** @param {string} label @param {number} value @param {string} [kind] */
		const line = (label, value, kind = '') => [
			el('dt', { class: kind }, label),
			el('dd', { class: kind }, figure(value, snag.unit, units)),
		];
		const lines = terms.flatMap((term) => {
			const other = UNIT.exec(term.label);
			if (!other) return line(term.label, term.value);
			return [el('dt', {}, other[1]), el('dd', {}, figure(term.value, other[2] ?? '', units))];
		});
		if (bound && terms.length > 1) lines.push(...line(`together, the ${bound[0]}`, sum, 'result'));
		parts.push(el('dl', { class: 'working' }, lines));
	}
	/** @type {Map<string, Node>} */
	const sources = new Map();
	for (const source of snag.sources) {
		const title = [source.title, source.clause].filter(Boolean).join(', ');
		const status = STATUS_WORDS[source.status] ?? source.status;
		const cells = title === status ? [linked(source.key, status)] : [linked(source.key, title), el('em', {}, status)];
		sources.set(title + status, el('li', {}, cells));
	}
	if (sources.size) parts.push(el('ul', { class: 'sources' }, [...sources.values()]));
	return parts.length ? parts : [el('p', { class: 'hint' }, 'Measured on the plan; no other number decides.')];
}

/** A source that leads to its figure, where another value may be set; guests only read it. @param {string} key @param {string} words */
function linked(key, words) {
	if (GUEST || /^(kit|own):/.test(key)) return el('span', {}, words);
	return el('a', { href: `${location.pathname.replace(/\/$/, '')}/figures?of=${key}#${key}` }, words);
}

/** The section of a headroom snag, as the server draws it. @param {string} markup */
export function section(markup) {
	const drawn = new DOMParser().parseFromString(markup, 'image/svg+xml').documentElement;
	return drawn.localName === 'svg' ? document.importNode(drawn, true) : null;
}

/**
 * @param {(reason: string) => void} settle @param {() => void} done
 * @returns {HTMLFormElement}
 */
export function settleForm(settle, done) {
	const input = /** @type {HTMLInputElement} */ (el('input', { maxlength: '500', autocomplete: 'off', required: '' }));
	const label = el('label', {}, [new Text('Why is this all right?'), input]);
	const form = /** @type {HTMLFormElement} */ (
		el('form', { class: 'settle-form' }, [label, el('button', { class: 'plain' }, 'Settle it')])
	);
	form.addEventListener('submit', (event) => {
		event.preventDefault();
		const reason = input.value.trim();
		if (!reason) return;
		done();
		settle(reason);
	});
	form.addEventListener('keydown', (event) => {
		if (event.key !== 'Escape') return;
		event.stopPropagation();
		done();
	});
	return form;
}
