/** Corners of the drawing moved by the pointer and by arrow keys: a preview, then one command. */

import { need, sv } from '../dom.js';
import { long } from '../model/lengths.js';

const HOLD_PX = 8;
const STEP_MM = 10;
const WIDE_MM = 100;
const IDLE_MS = 500;
/** @type {Record<string, [number, number]>} */
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

/**
 * @param {HTMLElement} stage
 * @param {{corners: () => [number, number][], u: () => number, units: 'metric'|'feet',
 *   put: (index: number, x: number, y: number) => Promise<void>,
 *   mark?: string, lines?: () => [number, number][]}} room `mark` finds the corners in the
 *   drawing, those of the walls without it; `lines` are more places to hold to
 * @returns {() => boolean} tells whether a corner is just being moved
 */
export function moveCorners(stage, room) {
	const mark = room.mark ?? '.pick.corner';
	/** @type {{index: number, x: number, y: number, moved: boolean, pointer: number|null}|null} */
	let held = null;
	/** @type {ReturnType<typeof setTimeout>|undefined} */
	let idle;

	/** @param {Event} event @returns {number|null} */
	const cornerAt = (event) => {
		const link = event.target instanceof Element ? event.target.closest(mark) : null;
		const spot = link?.querySelector('[data-corner]');
		return spot instanceof SVGElement ? Number(spot.dataset['corner']) : null;
	};

	const show = () => {
		const place = need(stage, '.preview', SVGGElement);
		if (!held) {
			place.replaceChildren();
			return;
		}
		const corners = room.corners().slice();
		corners[held.index] = [held.x, held.y];
		const points = corners.map((corner) => corner.join(',')).join(' ');
		const around = [held.index - 1, held.index].map((i) => {
			const from = corners.at(i) ?? [0, 0];
			const to = corners[(i + 1 + corners.length) % corners.length] ?? [0, 0];
			return tape(from, to);
		});
		place.replaceChildren(sv('polygon', { points }), ...around.flat());
	};

	/** @param {[number, number]} from @param {[number, number]} to */
	const tape = (from, to) => {
		const u = room.u();
		const words = long(Math.hypot(to[0] - from[0], to[1] - from[1]), room.units);
		const [x, y] = [(from[0] + to[0]) / 2, (from[1] + to[1]) / 2];
		const wide = (words.length * 8 + 10) * u;
		return [sv('rect', { x: x - wide / 2, y: y - 10 * u, width: wide, height: 20 * u }), sv('text', { x, y }, words)];
	};

	/** @param {number} index @param {number|null} pointer */
	const take = (index, pointer) => {
		const [x, y] = room.corners()[index] ?? [0, 0];
		held = { index, x, y, moved: false, pointer };
		stage.classList.toggle('is-moving', pointer !== null);
	};

	const letGo = () => {
		clearTimeout(idle);
		held = null;
		stage.classList.remove('is-moving');
		show();
	};

	const keep = async () => {
		clearTimeout(idle);
		const done = held;
		if (!done) return;
		stage.classList.remove('is-moving');
		try {
			if (done.moved) await room.put(done.index, done.x, done.y);
		} finally {
			if (held === done) letGo();
		}
	};

	/** @param {PointerEvent} event @returns {[number, number]} */
	const under = (event) => {
		const drawing = need(stage, '#overlay', SVGSVGElement);
		const matrix = drawing.getScreenCTM();
		const point = new DOMPoint(event.clientX, event.clientY).matrixTransform(matrix?.inverse());
		return [point.x, point.y];
	};

	/** Hold a corner to the line of another one nearby, else to whole centimetres. */
	const aligned = (/** @type {number} */ value, /** @type {0|1} */ axis, /** @type {boolean} */ free) => {
		if (free || !held) return Math.round(value);
		const index = held.index;
		const own = room.corners().filter((_, i) => i !== index);
		const lines = [...own, ...(room.lines?.() ?? [])].map((corner) => corner[axis]);
		const near = lines.toSorted((a, b) => Math.abs(a - value) - Math.abs(b - value))[0];
		if (near !== undefined && Math.abs(near - value) < HOLD_PX * room.u()) return near;
		return Math.round(value / STEP_MM) * STEP_MM;
	};

	stage.addEventListener('pointerdown', (event) => {
		const index = cornerAt(event);
		if (index === null || event.button !== 0) return;
		take(index, event.pointerId);
		stage.setPointerCapture(event.pointerId);
	});
	stage.addEventListener('pointermove', (event) => {
		if (!held || held.pointer !== event.pointerId) return;
		const [x, y] = under(event);
		const [fromX, fromY] = room.corners()[held.index] ?? [0, 0];
		if (!held.moved && Math.hypot(x - fromX, y - fromY) < 4 * room.u()) return;
		held.moved = true;
		held.x = aligned(x, 0, event.shiftKey);
		held.y = aligned(y, 1, event.shiftKey);
		show();
	});
	stage.addEventListener('pointerup', (event) => {
		if (!held || held.pointer !== event.pointerId) return;
		// a captured pointer clicks the stage: let the corner be chosen all the same
		const link = stage.querySelectorAll(mark)[held.index];
		if (!held.moved && link instanceof SVGElement)
			link.dispatchEvent(new MouseEvent('click', { bubbles: true, cancelable: true, detail: 1 }));
		void keep();
	});
	stage.addEventListener('pointercancel', letGo);
	stage.addEventListener('dragstart', (event) => event.preventDefault());
	stage.addEventListener('keydown', (event) => {
		if (event.key === 'Escape' && held) {
			event.stopPropagation();
			letGo();
			return;
		}
		const index = cornerAt(event);
		const way = ARROWS[event.key];
		if (index === null || !way || event.ctrlKey || event.metaKey || event.altKey) return;
		event.preventDefault();
		if (held?.index !== index) take(index, null);
		if (!held) return;
		const by = event.shiftKey ? WIDE_MM : STEP_MM;
		held.x += way[0] * by;
		held.y += way[1] * by;
		held.moved = true;
		show();
		clearTimeout(idle);
		idle = setTimeout(() => void keep(), IDLE_MS);
	});
	stage.addEventListener('focusout', () => {
		if (held && held.pointer === null && held.moved) void keep();
	});
	return () => held !== null;
}
