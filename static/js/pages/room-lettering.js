/**
 * Puts the lettering of the room's drawing clear of one another. How large it is beside the room is
 * known only here: lettering keeps its size, while the room is as large as the window lets it.
 */

import { sv } from '../dom.js';
import { boxOf, clearChains, crossed, shared, shifted } from '../view/chains.js';

/** @import {Box} from '../view/chains.js' */
/** @typedef {{x: number, y: number, from?: {x: number, y: number}}} Spot in mm of the room; `from` where it is led to */

const BADGE_PX = 11;
/**
 * How far inside the face of a wall a letter stands that has no room within the wall; the further
 * ones for a stub beside a door that is no longer than the number of its corner.
 */
const INSIDE_PX = 15;
const FURTHER_INSIDE_PX = [27, 39];
const ALONG = [0.5, 0.35, 0.65, 0.2, 0.8];
/** How much further from its corner a number goes for words. */
const FURTHER_PX = [0, 8, 16, 24];
const NOTES = '.layer-notes text, .layer-low text, .layer-kit text';
/** How far the arrow of the fall goes aside for words, in px, the nearest first. */
const FALL_ASIDE_PX = [0, 25, -25, 50, -50, 75, -75, 100, -100];

/** @param {HTMLElement} stage */
export function placeLettering(stage) {
	const overlay = stage.querySelector('#overlay');
	const screen = overlay instanceof SVGSVGElement ? overlay.getScreenCTM() : null;
	if (!screen || !screen.a) return;
	const figures = clearChains(stage.querySelector('#drawing svg'));
	clearNumbers(stage, screen.a);
	clearFall(stage, screen.a);
	const standing = [...figures, ...boxes(stage, '.corner-number, .plug, .grip, .layer-notes text, .layer-low text')];
	/** @param {number} x @param {number} y */
	const at = (x, y) => new DOMPoint(x, y).matrixTransform(screen);
	for (const badge of stage.querySelectorAll('circle.badge[data-spots], circle.badge[data-along]')) {
		const spots = spotsOf(badge, screen.a);
		let best = spots[0];
		let least = Infinity;
		for (const spot of spots) {
			const { x, y } = at(spot.x, spot.y);
			const box = { left: x - BADGE_PX, right: x + BADGE_PX, top: y - BADGE_PX, bottom: y + BADGE_PX };
			const over = standing.reduce((sum, other) => sum + shared(box, other), 0);
			if (over >= least) continue;
			[best, least] = [spot, over];
			if (!over) break;
		}
		if (!best) continue;
		const letter = badge.nextElementSibling;
		for (const [element, names] of /** @type {const} */ ([
			[badge, ['cx', 'cy']],
			[letter, ['x', 'y']],
		])) {
			element?.setAttribute(names[0], String(best.x));
			element?.setAttribute(names[1], String(best.y));
		}
		lead(badge, best);
		const { x, y } = at(best.x, best.y);
		standing.push({ left: x - BADGE_PX, right: x + BADGE_PX, top: y - BADGE_PX, bottom: y + BADGE_PX });
	}
}

/** Lead a letter that stands far off to its wall. @param {Element} badge @param {Spot} spot */
function lead(badge, spot) {
	const known = badge.previousElementSibling;
	if (known?.classList.contains('badge-leader')) known.remove();
	if (!spot.from) return;
	const { x, y } = spot.from;
	badge.before(sv('line', { class: 'badge-leader', x1: x, y1: y, x2: spot.x, y2: spot.y }));
}

/** Shift the arrow of the fall to where it covers no word. @param {HTMLElement} stage @param {number} px of a mm */
function clearFall(stage, px) {
	const fall = stage.querySelector('.falls');
	if (!(fall instanceof SVGGElement)) return;
	fall.style.translate = '';
	const taken = boxes(stage, `${NOTES}, .badge`);
	const box = boxOf(fall);
	const level = box.right - box.left > box.bottom - box.top;
	const best = FALL_ASIDE_PX.map((far) => ({ x: level ? 0 : far, y: level ? far : 0 })).find(
		({ x, y }) => !crossed(shifted(box, x, y), taken),
	);
	if (best) fall.style.translate = `${best.x / px}px ${best.y / px}px`;
}

/** Put the number of a corner as near to it as other lettering allows. @param {HTMLElement} stage @param {number} px of a mm */
function clearNumbers(stage, px) {
	const taken = boxes(stage, NOTES);
	for (const number of stage.querySelectorAll('.corner .corner-number')) {
		if (!(number instanceof SVGElement)) continue;
		number.style.translate = '';
		const side = [...number.classList].find((one) => one.startsWith('to-'))?.slice(3) ?? '';
		const [dx, dy] = [
			Number(side.includes('e')) - Number(side.includes('w')),
			Number(side.includes('s')) - Number(side.includes('n')),
		];
		const box = boxOf(number);
		const far = FURTHER_PX.find((one) => !crossed(shifted(box, dx * one, dy * one), taken));
		if (far) number.style.translate = `${(dx * far) / px}px ${(dy * far) / px}px`;
	}
}

/** Where a letter may stand, in mm of the room, the best first. @param {Element} badge @param {number} px of a mm @returns {Spot[]} */
function spotsOf(badge, px) {
	const numbers = (/** @type {string} */ name) =>
		(badge.getAttribute(name) ?? '')
			.split(/[\s,]+/)
			.filter(Boolean)
			.map(Number);
	const spots = numbers('data-spots');
	if (spots.length) {
		return spots.flatMap((x, i) => (i % 2 ? [] : [{ x, y: spots[i + 1] ?? 0 }]));
	}
	const [x1 = 0, y1 = 0, x2 = 0, y2 = 0] = numbers('data-along');
	const [nx = 0, ny = 0] = numbers('data-inward');
	const deep = Number(badge.getAttribute('data-deep'));
	/** @param {number} share of the wall @param {number} away how far inside, in mm */
	const spot = (share, away) => ({
		x: x1 + (x2 - x1) * share + nx * away,
		y: y1 + (y2 - y1) * share + ny * away,
	});
	return [
		...ALONG.flatMap((share) => [spot(share, -deep), spot(share, INSIDE_PX / px)]),
		...FURTHER_INSIDE_PX.flatMap((far) => ALONG.map((share) => ({ ...spot(share, far / px), from: spot(share, 0) }))),
	];
}

/** @param {ParentNode} holder @param {string} which @returns {Box[]} */
function boxes(holder, which) {
	return [...holder.querySelectorAll(which)].map(boxOf).filter((box) => box.right > box.left || box.bottom > box.top);
}
