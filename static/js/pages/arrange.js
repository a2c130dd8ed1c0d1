/** Layouts while they are looked for: the one that is pointed at lies over the plan in chalk. */

import { askPage, bodyOf, makeLayoutsReady } from '../api.js';
import { need } from '../dom.js';
import { letterAt } from '../view/lettering.js';
import { patch } from './patch.js';

const AGAIN_MS = 900;
/** While there is nothing to choose from yet. */
const SOON_MS = 300;
/** Arrows for what is heavy or large alone: more than these are a tangle. */
const ARROWS_AT_MOST = 6;
const SVG = 'http://www.w3.org/2000/svg';

/** The layout that was chosen last, by its key; the first one until somebody chooses. */
let chosen = '';
/** What strip and table were pushed to: a hand that pushes them elsewhere has its way. */
let inSight = '';
let bestInSight = '';

/** @returns {HTMLElement[]} */
function cards() {
	return [...document.querySelectorAll('.arrange-card[data-key]')].filter((one) => one instanceof HTMLElement);
}

/** @param {string} name @param {Record<string, string>} attributes */
function draw(name, attributes) {
	const made = document.createElementNS(SVG, name);
	for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
	return made;
}

/** Lay a layout over the large plan. @param {HTMLElement|undefined} card */
function lay(card) {
	const large = document.querySelector('.arrange-large');
	const under = large?.querySelector('.drawn.large > svg.figure');
	const over = large?.querySelector('svg.laid-over');
	if (!large || !(under instanceof SVGSVGElement) || !(over instanceof SVGSVGElement)) return;
	large.classList.toggle('has-layout', Boolean(card));
	const moved = new Set((card?.dataset['moved'] ?? '').split(' ').filter(Boolean));
	for (const piece of under.querySelectorAll('[data-piece]')) {
		const goes = moved.has(piece.getAttribute('data-piece') ?? '');
		piece.classList.toggle('moves', goes);
		// what stays is drawn with the layout: its name keeps off those of what came beside it
		piece.classList.toggle('drawn-over', Boolean(card) && !goes);
	}
	over.setAttribute('viewBox', under.getAttribute('viewBox') ?? '');
	over.setAttribute('preserveAspectRatio', 'xMidYMid meet');
	const ghost = need(over, '.then', SVGGElement);
	ghost.replaceChildren();
	const arrows = need(over, '.arrows', SVGGElement);
	arrows.replaceChildren();
	need(over, '.open-floor', SVGPolygonElement).setAttribute('points', card?.dataset['floor'] ?? '');
	if (!card) return;
	for (const piece of card.querySelectorAll('svg.figure .layer-kit [data-piece]')) {
		const there = piece.cloneNode(true);
		if (!(there instanceof Element)) continue;
		there.classList.toggle('goes', moved.has(piece.getAttribute('data-piece') ?? ''));
		ghost.append(there);
	}
	const lines = (card.dataset['arrows'] ?? '').split(';').filter(Boolean).slice(0, ARROWS_AT_MOST);
	for (const line of lines) {
		const [x0 = 0, y0 = 0, x1 = 0, y1 = 0] = line.split(' ').map(Number);
		const long = Math.hypot(x1 - x0, y1 - y0);
		if (long < 300) continue;
		const [mx, my] = [(x0 + x1) / 2 - (y1 - y0) * 0.12, (y0 + y1) / 2 + (x1 - x0) * 0.12];
		arrows.append(draw('circle', { cx: `${x0}`, cy: `${y0}`, r: '50' }));
		arrows.append(draw('path', { d: `M${x0} ${y0}Q${mx} ${my} ${x1} ${y1}` }));
	}
	need(large, '.large-name', HTMLElement).textContent = `Layout ${card.dataset['number']}: ${card.dataset['name']}`;
	const count = card.dataset['moves'];
	need(large, '.large-moves', HTMLElement).textContent = count === '1' ? '1 piece moves' : `${count} pieces move`;
	const of = large.querySelector('input[name="of"]');
	if (of instanceof HTMLInputElement) of.value = card.dataset['key'] ?? '';
}

/** Show which layout is chosen, and lay it over the plan. */
function show() {
	const all = cards();
	const card = all.find((one) => one.dataset['key'] === chosen) ?? all[0];
	for (const one of all) {
		one.classList.toggle('is-chosen', one === card);
		one.querySelector('.look-at')?.setAttribute('aria-pressed', String(one === card));
	}
	const keys = all.map((one) => one.dataset['key']);
	const column = 2 + keys.indexOf(card?.dataset['key']);
	for (const row of document.querySelectorAll('.arrange-table.compared tr')) {
		[...row.children].forEach((cell, i) => cell.classList.toggle('is-chosen', Boolean(card) && i === column));
	}
	lay(card);
	if (card && card.dataset['key'] !== inSight) {
		inSight = card.dataset['key'] ?? '';
		alongTo(card);
	}
	const [best] = [...document.querySelectorAll('.worth th.best')].slice(-1);
	if (best instanceof HTMLElement && best.textContent !== bestInSight) {
		bestInSight = best.textContent ?? '';
		alongTo(best);
	}
}

/**
 * Push the strip or table that a part lies in sideways until the part is seen, and nothing else.
 * @param {HTMLElement} part
 */
function alongTo(part) {
	const strip = part.closest('.arrange-cards, .table-scroll');
	if (!strip) return;
	const [own, its] = [part.getBoundingClientRect(), strip.getBoundingClientRect()];
	if (own.left < its.left) strip.scrollLeft += own.left - its.left;
	else if (own.right > its.right) strip.scrollLeft += own.right - its.right;
}

/** Tell each drawing how many mm of the room one pixel shows. */
function letter() {
	for (const svg of document.querySelectorAll('.arrange .drawn > svg')) {
		if (!(svg instanceof SVGSVGElement)) continue;
		const { width, height } = svg.getBoundingClientRect();
		const view = svg.viewBox.baseVal;
		if (!width || !height || !view?.width) continue;
		const unit = Math.max(view.width / width, view.height / height);
		svg.style.setProperty('--u', unit.toFixed(3));
		if (svg.classList.contains('figure')) letterAt(svg.parentElement ?? svg, svg, unit);
	}
}

function fit() {
	show();
	letter();
}

/** Lay the page from the server over this one. @param {Document} fresh */
function renew(fresh) {
	patch(need(document, '#arrange', HTMLElement), need(fresh, '#arrange', HTMLElement));
	fit();
	askAgain();
}

/** Ask again while it is looked on: sooner while there is nothing to choose from. */
function askAgain() {
	if (!document.querySelector('#arrange[data-running]')) return;
	window.setTimeout(again, cards().length ? AGAIN_MS : SOON_MS);
}

async function again() {
	try {
		const { fresh } = await askPage(location.href, '#arrange');
		renew(fresh);
	} catch {
		// the program may be starting anew: the page as it is is still true
		window.setTimeout(again, AGAIN_MS * 4);
	}
}

/** Lead who asked to see a layout to it: the picture into sight, the keys onto its card. */
function toChosen() {
	const look = document.querySelector('.arrange-card.is-chosen .look-at');
	if (look instanceof HTMLElement) look.focus({ preventScroll: true });
	need(document, '.arrange-large', HTMLElement).scrollIntoView({ block: 'nearest' });
}

/**
 * Ask that a layout stays to choose from, whatever is found while somebody looks at it.
 * @param {string} key
 */
async function stays(key) {
	try {
		await askPage(location.href, '#arrange', new URLSearchParams({ edit: 'look', of: key }));
	} catch {
		// it gave way in this very moment: the page says so by what it shows next
	}
}

document.addEventListener('click', (event) => {
	const card = event.target instanceof Element ? event.target.closest('.arrange-card[data-key]') : null;
	if (!(card instanceof HTMLElement)) return;
	chosen = card.dataset['key'] ?? '';
	fit();
	if (document.querySelector('#arrange[data-running]')) stays(chosen);
});
document.addEventListener('pointerover', (event) => {
	const card = event.target instanceof Element ? event.target.closest('.arrange-card[data-key]') : null;
	if (card instanceof HTMLElement && event.pointerType === 'mouse') lay(card);
});
document.addEventListener('pointerout', (event) => {
	if (event.target instanceof Element && event.target.closest('.arrange-card[data-key]')) show();
});
document.addEventListener('submit', async (event) => {
	const form = event.target;
	const button = event.submitter;
	if (!(form instanceof HTMLFormElement) || !(button instanceof HTMLButtonElement)) return;
	if (!['begin', 'stop', 'on', 'look'].includes(button.value)) return;
	event.preventDefault();
	button.disabled = true;
	try {
		const body = bodyOf(form);
		if (body instanceof URLSearchParams) body.set('edit', button.value);
		const { fresh } = await askPage(form.action, '#arrange', body);
		if (button.value === 'look') chosen = String(new FormData(form).get('of'));
		renew(fresh);
		if (button.value === 'look') toChosen();
	} catch {
		form.submit();
	}
});
window.addEventListener('resize', letter);
fit();
askAgain();
// who has the page before them looks for layouts next: what that takes is begun while they read
const begin = document.querySelector('.arrange-begin');
if (begin instanceof HTMLFormElement) makeLayoutsReady(begin);
