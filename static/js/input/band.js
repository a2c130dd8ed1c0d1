/** The band: a box drawn over the paper takes every piece whose middle lies in it. */

import { need } from '../dom.js';
import { poseOf } from '../model/plan.js';

/** @import {Desk, Grip, Point} from '../types.js' */

/**
 * @param {Desk} desk @param {Point} a @param {Point} b @param {boolean} more beside those chosen
 */
export function takeWithin(desk, a, b, more) {
	const { state } = desk.store;
	const within = state.plan.pieces.filter(({ id }) => {
		const { x_mm: x, y_mm: y } = poseOf(state, id);
		return (x - a.x) * (x - b.x) <= 0 && (y - a.y) * (y - b.y) <= 0;
	});
	const held = more && state.chosen ? [state.chosen, ...state.others] : [];
	const [chosen = null, ...others] = new Set([...held, ...within.map((piece) => piece.id)]);
	desk.store.set({ chosen, others });
}

/** @param {Desk} desk @param {Point} a @param {Point} b */
export function showBand(desk, a, b) {
	const [x, y] = [Math.min(a.x, b.x), Math.min(a.y, b.y)];
	const box = `M${x} ${y}h${Math.abs(a.x - b.x)}v${Math.abs(a.y - b.y)}h${-Math.abs(a.x - b.x)}Z`;
	bandOf(desk).setAttribute('d', box);
}

/** @param {Desk} desk */
export function hideBand(desk) {
	bandOf(desk).removeAttribute('d');
}

/** @param {Desk} desk */
function bandOf(desk) {
	return need(desk.viewport.stage, '.overlay .band', SVGPathElement);
}

/** @param {PointerEvent} event @param {Desk} desk @param {() => void} [tap] @returns {Grip} */
export function banding(event, desk, tap) {
	const from = desk.viewport.toPlan(event.clientX, event.clientY);
	return {
		...(tap && { tap }),
		move: (e) => showBand(desk, from, desk.viewport.toPlan(e.clientX, e.clientY)),
		end(e) {
			hideBand(desk);
			takeWithin(desk, from, desk.viewport.toPlan(e.clientX, e.clientY), e.shiftKey);
		},
		cancel: () => hideBand(desk),
	};
}
