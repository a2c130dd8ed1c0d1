/** The shelf: finding kit by typing, choosing it by click or Enter. */

import { need, takesText } from '../dom.js';

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
			words: `${item.getAttribute('data-words') ?? ''} ${item.textContent}`.toLowerCase(),
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
				this.items.find((item) => !item.element.closest('[hidden]'))?.element.focus();
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
		const wanted = text.toLowerCase().split(/\s+/).filter(Boolean);
		let shown = 0;
		for (const { element, words } of this.items) {
			const fits = wanted.every((word) => words.includes(word));
			const cell = element.parentElement;
			if (cell) cell.hidden = !fits;
			if (fits) shown += 1;
		}
		for (const group of this.root.querySelectorAll('.kit-group')) {
			const empty = [...group.querySelectorAll('li')].every((cell) => cell.hidden);
			/** @type {HTMLElement} */ (group).hidden = empty;
		}
		this.none.hidden = shown > 0;
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
