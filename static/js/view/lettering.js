/** Which lettering of a drawing fits at a scale: its places were found for letters of one size. */

import { clearChains } from './chains.js';

const LETTER_PX = 12;
/** Letters larger than they were placed for by more than this meet what they should keep off. */
const NOTES_GROWN = 1.1;
const NAMES_GROWN = 1.55;

/**
 * @param {Element} host what carries the classes @param {SVGElement} drawing
 * @param {number} u mm of the room in a pixel
 */
export function letterAt(host, drawing, u) {
	const grown = (LETTER_PX * u) / (Number(drawing.dataset['em']) || Infinity);
	host.classList.toggle('is-far', grown > NOTES_GROWN);
	host.classList.toggle('is-farther', grown > NAMES_GROWN);
	const key = `${grown > NOTES_GROWN ? u : 0}`;
	if (drawing.dataset['chains'] === key) return;
	drawing.dataset['chains'] = key;
	requestAnimationFrame(() => lettered(drawing));
}

/** Put the figures of a drawing clear again, where they are larger than placed for. @param {SVGElement} drawing */
export function lettered(drawing) {
	if (drawing.dataset['chains'] && drawing.dataset['chains'] !== '0') clearChains(drawing);
	else for (const text of drawing.querySelectorAll('.dimt')) if (text instanceof SVGElement) text.style.translate = '';
}
