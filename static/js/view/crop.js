/** The place of a snag, cut out of the plan as it is drawn now. */

import { sv } from '../dom.js';

/** @import {Point} from '../types.js' */

/** A place is seen with what is round it: so much of the room, mm, in so many px. */
const WIDE_MM = 2600;
const HIGH_MM = 1500;
const WIDE_PX = 292;
const RING_PX = 15;
/** A place at a wall is seen from within the room: so much is shown beyond the wall. */
const BEYOND_MM = 450;

/**
 * @param {SVGSVGElement} drawing of the whole plan @param {Point} where @param {string} severity
 * @returns {SVGSVGElement} a picture: nothing in it can be pressed or reached by Tab
 */
export function crop(drawing, where, severity) {
	const little = /** @type {SVGSVGElement} */ (drawing.cloneNode(true));
	// the hatches are those of the drawing in the page
	little.querySelector('defs')?.remove();
	for (const one of [little, ...little.querySelectorAll('[tabindex], [role], [data-piece]')]) {
		for (const name of ['tabindex', 'role', 'aria-label', 'aria-pressed', 'data-piece', 'data-station']) {
			one.removeAttribute(name);
		}
	}
	const u = WIDE_MM / WIDE_PX;
	little.setAttribute('aria-hidden', 'true');
	little.setAttribute('class', 'figure little-plan');
	const [x0 = 0, y0 = 0, x1 = 0, y1 = 0] = (drawing.dataset['room'] ?? '').split(' ').map(Number);
	const left = within(where.x - WIDE_MM / 2, x0 - BEYOND_MM, x1 + BEYOND_MM - WIDE_MM);
	const top = within(where.y - HIGH_MM / 2, y0 - BEYOND_MM, y1 + BEYOND_MM - HIGH_MM);
	little.setAttribute('viewBox', `${left} ${top} ${WIDE_MM} ${HIGH_MM}`);
	little.style.setProperty('--u', String(u));
	const at = { cx: where.x, cy: where.y };
	little.append(
		sv('circle', { class: `little-place ${severity}`, r: RING_PX * u, ...at }),
		sv('circle', { class: `little-dot ${severity}`, r: 3 * u, ...at }),
	);
	return little;
}

/** @param {number} value @param {number} low @param {number} high */
function within(value, low, high) {
	return low > high ? (low + high) / 2 : Math.min(high, Math.max(low, value));
}
