/** Which lettering of a drawing fits at a scale: its places were found for letters of one size. */

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
}
