/** The shelf: finding kit by typing, choosing it by click or Enter. */

import { need, say, takesText } from '../dom.js';
import { nearest, ranks, wordsOf } from '../model/finding.js';
import { short } from '../model/written.js';

/** @import {KitRow} from '../types.js' */

const FOOT_M = 0.3048;

/** A pointer that only passes over the shelf asks for nothing. */
const REST_MS = 250;

export class Shelf {
	/**
	 * @param {HTMLElement} root @param {Record<string, KitRow>} library
	 * @param {number} tallest mm: what can be put up somewhere in the room
	 * @param {'metric'|'feet'} units of its bar @param {() => void} unfold lets it be seen
	 * @param {(type: string) => void} pick @param {(type: string|null) => void} point a type is looked at
	 */
	constructor(root, library, tallest, units, unfold, pick, point) {
		this.root = root;
		this.items = [...root.querySelectorAll('[data-kit]')].map((item) => ({
			element: /** @type {HTMLElement} */ (item),
			name: (item.querySelector('b')?.textContent ?? '').replaceAll('\u00a0', ' '),
			called: item.getAttribute('data-called') ?? '',
			rest: item.getAttribute('data-words') ?? '',
		}));
		const pxPerM = Number(root.dataset['frontPxPerM']);
		need(root, '.metre i', HTMLElement).style.width = `${pxPerM * (units === 'feet' ? 3 * FOOT_M : 1)}px`;
		this.#ceiling(library, units, tallest, pxPerM);
		this.#goesOn();
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
			unfold();
			find.focus();
			find.select();
		});
		this.#looked(root, point);
		this.#oneStop();
		root.addEventListener('click', (event) => {
			const item = event.target instanceof Element ? event.target.closest('[data-kit]') : null;
			if (item) pick(item.getAttribute('data-kit') ?? '');
		});
	}

	/**
	 * Tell which kit type the pointer or the focus rests on.
	 * @param {HTMLElement} root @param {(type: string|null) => void} point
	 */
	#looked(root, point) {
		let waits = 0;
		/** @param {Event} event */
		const rests = (event) => {
			const item = event.target instanceof Element ? event.target.closest('[data-kit]') : null;
			clearTimeout(waits);
			const type = item?.getAttribute('data-kit') ?? null;
			if (!type) point(null);
			else waits = window.setTimeout(() => point(type), REST_MS);
		};
		const leaves = () => {
			clearTimeout(waits);
			point(null);
		};
		root.addEventListener('pointerover', (event) => event.pointerType === 'mouse' && !event.buttons && rests(event));
		root.addEventListener('pointerdown', leaves);
		root.addEventListener('pointerleave', leaves);
		root.addEventListener('focusin', rests);
		root.addEventListener('focusout', leaves);
	}

	/**
	 * Tab comes to the shelf once, to where one was last; arrows go along it, Home and End to its
	 * ends, up and down to the group before and after (ARIA Authoring Practices, roving tabindex).
	 */
	#oneStop() {
		const run = need(this.root, '.shelf-run', HTMLElement);
		for (const { element } of this.items) element.tabIndex = -1;
		this.#stopAt(null);
		run.addEventListener('focusin', (event) => {
			const item = event.target instanceof Element ? event.target.closest('[data-kit]') : null;
			if (item instanceof HTMLElement && !item.closest('.nearest')) this.#stopAt(item);
		});
		run.addEventListener('keydown', (event) => {
			const row = this.#row();
			const at = row.findIndex((element) => element === event.target);
			if (at < 0 || event.ctrlKey || event.metaKey || event.altKey || event.shiftKey) return;
			const group = (/** @type {number} */ i) => row[i]?.closest('.kit-group');
			const heads = row.flatMap((_, i) => (i === 0 || group(i) !== group(i - 1) ? [i] : []));
			/** @type {Record<string, number>} */
			const ways = {
				ArrowRight: at + 1,
				ArrowLeft: at - 1,
				ArrowDown: heads.find((i) => i > at) ?? row.length - 1,
				ArrowUp: heads.filter((i) => i < at).at(-1) ?? 0,
				Home: 0,
				End: row.length - 1,
			};
			const to = ways[event.key];
			if (to === undefined) return;
			event.preventDefault();
			row[Math.min(Math.max(to, 0), row.length - 1)]?.focus();
		});
	}

	/** The kit that is seen, in the order in which it is seen. @returns {HTMLElement[]} */
	#row() {
		const order = (/** @type {Element|null} */ one) => (one instanceof HTMLElement ? Number(one.style.order) : 0);
		return this.items
			.map(({ element }) => element)
			.filter((element) => element.offsetParent)
			.sort((one, other) => {
				const [here, there] = [one.closest('.kit-group'), other.closest('.kit-group')];
				return here === there ? order(one.parentElement) - order(other.parentElement) : order(here) - order(there);
			});
	}

	/**
	 * Let Tab stop at one thing of the shelf.
	 * @param {HTMLElement|null} item null: where it stops now, or at the first that is seen
	 */
	#stopAt(item) {
		const now = this.items.find(({ element }) => element.tabIndex === 0)?.element ?? null;
		const seen = now?.offsetParent ? now : (this.#row()[0] ?? this.items[0]?.element ?? null);
		const next = item ?? seen;
		if (now && now !== next) now.tabIndex = -1;
		if (next) next.tabIndex = 0;
	}

	/**
	 * Draw the clear height along the shelf, and mark what is taller.
	 * @param {Record<string, KitRow>} library @param {'metric'|'feet'} units
	 * @param {number} tallest mm @param {number} pxPerM
	 */
	#ceiling(library, units, tallest, pxPerM) {
		this.root.style.setProperty('--clear', `${(tallest * pxPerM) / 1000}px`);
		say(need(this.root, '.clear-line', HTMLElement), `${short(tallest, units)} clear`);
		for (const { element } of this.items) {
			const over = (library[element.dataset['kit'] ?? '']?.height_mm ?? 0) - tallest;
			if (over <= 0) continue;
			element.classList.add('is-too-tall');
			say(need(element, 'small', HTMLElement), `${short(over, units)}${units === 'metric' ? ' mm' : ''} too tall`);
		}
	}

	/** Say how many more lie to the right of what is seen, and go on to them. */
	#goesOn() {
		const run = need(this.root, '.shelf-run', HTMLElement);
		const more = need(this.root, '.shelf-more', HTMLButtonElement);
		const count = () => {
			const edge = run.getBoundingClientRect().right;
			const hidden = this.items.filter(
				({ element }) => element.offsetParent && element.getBoundingClientRect().right > edge,
			);
			more.hidden = !hidden.length;
			say(need(more, '.more-count', HTMLElement), `${hidden.length} more`);
		};
		run.addEventListener('scroll', count, { passive: true });
		new ResizeObserver(count).observe(run);
		new MutationObserver(count).observe(run, { subtree: true, attributeFilter: ['hidden'] });
		more.addEventListener('click', () => run.scrollBy({ left: run.clientWidth * 0.8, behavior: 'smooth' }));
	}

	/** @param {string} text */
	#find(text) {
		const typed = wordsOf(text).length > 0;
		const by = typed ? ranks(this.items, text) : this.items.map(() => 0);
		const ranked = this.items.map((item, i) => ({ item, by: by[i] ?? null }));
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
		const matches = ranked.filter(({ by }) => by !== null).sort((a, b) => Number(a.by) - Number(b.by));
		this.best = matches[0]?.item ?? null;
		this.none.hidden = matches.length > 0;
		if (!matches.length) this.#offerNearest(text);
		this.#lead(text);
		this.#stopAt(null);
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
