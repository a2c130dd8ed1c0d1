/** The shelf: finding kit by typing, choosing it by click or Enter. */

import { need, takesText } from '../dom.js';
import { nearest, rank, wordsOf } from '../model/finding.js';

const FOOT_M = 0.3048;

/** What is longer than the shelf is deep lies sideways on it. */
const DEEPEST_PX = 80;

export class Shelf {
	/**
	 * @param {HTMLElement} root @param {number} pxPerM the one scale of the whole shelf
	 * @param {'metric'|'feet'} units of its bar @param {(type: string) => void} pick
	 */
	constructor(root, pxPerM, units, pick) {
		this.root = root;
		this.items = [...root.querySelectorAll('[data-kit]')].map((item) => ({
			element: /** @type {HTMLElement} */ (item),
			name: item.textContent ?? '',
			called: item.getAttribute('data-called') ?? '',
			rest: item.getAttribute('data-words') ?? '',
		}));
		const given = Number(root.dataset['pxPerM'] ?? pxPerM);
		for (const symbol of root.querySelectorAll('.stands svg')) {
			stand(/** @type {SVGSVGElement} */ (symbol), pxPerM / given);
		}
		need(root, '.metre i', HTMLElement).style.width = `${pxPerM * (units === 'feet' ? 3 * FOOT_M : 1)}px`;
		this.none = need(root, '.none-found', HTMLElement);
		const find = need(root, '[name="find"]', HTMLInputElement);
		find.addEventListener('input', () => this.#find(find.value));
		find.addEventListener('keydown', (event) => {
			if (event.key === 'Enter') {
				event.preventDefault();
				this.best?.element.focus();
			}
			if (event.key === 'Escape' && find.value) {
				event.stopPropagation();
				find.value = '';
				this.#find('');
			}
		});
		// A sign alone counts on the sheet only, as all single keys do.
		document.querySelector('#sheet')?.addEventListener('keydown', (event) => {
			if (!(event instanceof KeyboardEvent) || event.key !== '/') return;
			if (event.target instanceof Element && takesText(event.target)) return;
			event.preventDefault();
			find.focus();
			find.select();
		});
		root.addEventListener('click', (event) => {
			const item = event.target instanceof Element ? event.target.closest('[data-kit]') : null;
			if (item) pick(item.getAttribute('data-kit') ?? '');
		});
	}

	/** @param {string} text */
	#find(text) {
		const typed = wordsOf(text).length > 0;
		const ranked = this.items.map((item) => ({ item, by: typed ? rank(item, text) : 0 }));
		for (const { item, by } of ranked) {
			const cell = item.element.parentElement;
			if (!cell) continue;
			cell.hidden = by === null;
			cell.style.order = String(Math.round((by ?? 0) * 10));
		}
		for (const group of this.root.querySelectorAll('.kit-group')) {
			const cells = /** @type {HTMLElement[]} */ ([...group.querySelectorAll('li')]).filter((cell) => !cell.hidden);
			const place = /** @type {HTMLElement} */ (group);
			place.hidden = !cells.length;
			place.style.order = String(Math.min(...cells.map((cell) => Number(cell.style.order))));
		}
		const found = ranked.filter(({ by }) => by !== null).sort((a, b) => Number(a.by) - Number(b.by));
		this.best = found[0]?.item ?? null;
		this.none.hidden = found.length > 0;
		if (!found.length) this.#offerNearest(text);
		this.#lead(text);
	}

	/**
	 * Offer what comes nearest to a text that finds nothing.
	 * @param {string} text
	 */
	#offerNearest(text) {
		const near = need(this.none, '.nearest', HTMLElement);
		near.replaceChildren(
			...nearest(this.items, text).map((item) => {
				const button = document.createElement('button');
				button.type = 'button';
				button.className = 'plain';
				button.dataset['kit'] = item.element.dataset['kit'] ?? '';
				button.textContent = item.name;
				return button;
			}),
		);
	}

	/**
	 * Lead to where the program tells of what is no kit: damp, neighbours, mice.
	 * @param {string} text
	 */
	#lead(text) {
		const [word] = wordsOf(text);
		for (const link of this.root.querySelectorAll('.topic')) {
			const topic = link.getAttribute('data-topic') ?? '';
			/** @type {HTMLElement} */ (link).hidden = !word || word.length < 3 || !topic.startsWith(word);
		}
	}
}

/** @param {SVGSVGElement} symbol @param {number} factor */
function stand(symbol, factor) {
	const width = Number(symbol.getAttribute('width')) * factor;
	const height = Number(symbol.getAttribute('height')) * factor;
	symbol.setAttribute('width', width.toFixed(1));
	symbol.setAttribute('height', height.toFixed(1));
	const place = symbol.parentElement;
	if (height <= DEEPEST_PX || !place) return;
	place.classList.add('is-laid');
	place.style.width = `${height}px`;
	place.style.height = `${width}px`;
	place.style.setProperty('--long', `${height}px`);
}
