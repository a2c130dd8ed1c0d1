/** Where a thing stands that was chosen by its picture: pressed on the drawing, it comes to the wall there. */

import { sv } from '../dom.js';

/** What hangs on its wall wherever it was pressed. */
const HUNG = ['boiler', 'consumer-unit', 'gas-tap'];
const PLACED = ['stays', 'out'];
const ROUND_MM = 10;
/** What is pressed nearer to a wall than this, beyond its own depth, stands against it. */
const NEAR_MM = 300;

/** @typedef {{wall: string, along: number, away: number, outline: [number, number][]}} Place */

/**
 * The nearest place along a wall at which something of that width overlaps nothing; where none is
 * free, the one that was meant.
 * @param {number} meant @param {number} wide @param {number} most @param {[number, number][]} taken from and to
 */
function clearOf(meant, wide, most, taken) {
	const free = (/** @type {number} */ at) => taken.every(([from, to]) => at + wide <= from || at >= to);
	const beside = taken.flatMap(([from, to]) => [
		Math.floor((from - wide) / ROUND_MM) * ROUND_MM,
		Math.ceil(to / ROUND_MM) * ROUND_MM,
	]);
	const places = [meant, ...beside].filter((at) => at >= 0 && at <= most && free(at));
	return places.sort((one, other) => Math.abs(one - meant) - Math.abs(other - meant))[0] ?? meant;
}

/** @param {number} mm */
const rounded = (mm) => Math.round(mm / ROUND_MM) * ROUND_MM;

/**
 * Where something stands that is pressed at a point.
 * @param {[number, number]} at in mm of the room
 * @param {[number, number][]} corners of the room in the order of its walls
 * @param {string[]} walls their ids
 * @param {boolean} fromStart whether a wall starts at its left end as one faces it
 * @param {{wide: number, deep: number, hung: boolean}} size in mm
 * @param {[number, number][][]} others outlines of what stands there already
 * @returns {Place|null}
 */
export function placeAt(at, corners, walls, fromStart, { wide, deep, hung }, others = []) {
	/** @type {{index: number, far: number, t: number}|null} */
	let best = null;
	corners.forEach(([x, y], index) => {
		const [x2, y2] = corners[(index + 1) % corners.length] ?? [x, y];
		const long = Math.hypot(x2 - x, y2 - y);
		if (!long) return;
		const t = Math.min(long, Math.max(0, ((at[0] - x) * (x2 - x) + (at[1] - y) * (y2 - y)) / long));
		const far = Math.hypot(at[0] - x - ((x2 - x) * t) / long, at[1] - y - ((y2 - y) * t) / long);
		if (!best || far < best.far) best = { index, far, t };
	});
	if (!best) return null;
	const { index, far, t } = /** @type {{index: number, far: number, t: number}} */ (best);
	const [x, y] = corners[index] ?? [0, 0];
	const [x2, y2] = corners[(index + 1) % corners.length] ?? [x, y];
	const long = Math.hypot(x2 - x, y2 - y);
	const middle = fromStart ? t : long - t;
	// down to a whole step at the far end, so that it stays on its wall
	const most = Math.max(0, Math.floor((long - wide) / ROUND_MM) * ROUND_MM);
	const away = hung || far < deep + NEAR_MM ? 0 : rounded(far - deep / 2);
	const [ux, uy] = [(x2 - x) / long, (y2 - y) / long];
	const side = fromStart ? 1 : -1;
	/** @type {[number, number][]} */
	const taken = [];
	for (const outline of others) {
		const outs = outline.map(([px, py]) => side * ((py - y) * ux - (px - x) * uy));
		if (Math.min(...outs) >= away + deep || Math.max(...outs) <= away) continue;
		const alongs = outline.map(([px, py]) => (px - x) * ux + (py - y) * uy).map((t) => (fromStart ? t : long - t));
		taken.push([Math.min(...alongs), Math.max(...alongs)]);
	}
	const along = clearOf(Math.min(most, Math.max(0, rounded(middle - wide / 2))), wide, most, taken);
	const from = fromStart ? along : long - along - wide;
	/** @type {[number, number][]} */
	const outline = [
		[from, away],
		[from + wide, away],
		[from + wide, away + deep],
		[from, away + deep],
	].map(([a = 0, out = 0]) => [x + ux * a - side * uy * out, y + uy * a + side * ux * out]);
	return { wall: walls[index] ?? '', along, away, outline };
}

/**
 * @param {HTMLElement} stage @param {HTMLElement} panel
 * @param {() => [number, number][]} corners of the room
 * @returns {() => void} looks anew whether something waits for its place
 */
export function placeByPress(stage, panel, corners) {
	const ghost = sv('polygon', { class: 'press-ghost', 'pointer-events': 'none' });

	/** @returns {{form: HTMLFormElement, kind: string}|null} */
	function waiting() {
		const form = panel.querySelector('form.add-found');
		if (!(form instanceof HTMLFormElement)) return null;
		const fields = new FormData(form);
		const kind = String(fields.get('kind') ?? '');
		return kind && PLACED.includes(String(fields.get('fate'))) ? { form, kind } : null;
	}

	/** @returns {[number, number][][]} the outlines of what stands there already */
	function standing() {
		return [...stage.querySelectorAll('.pick[data-of^="found:"] polygon')].map((one) =>
			(one.getAttribute('points') ?? '')
				.trim()
				.split(/\s+/)
				.map((pair) => {
					const [x = 0, y = 0] = pair.split(',').map(Number);
					return [x, y];
				}),
		);
	}

	/** @param {MouseEvent} event @param {HTMLFormElement} form @param {string} kind */
	function place(event, form, kind) {
		const overlay = stage.querySelector('#overlay');
		const screen = overlay instanceof SVGSVGElement ? overlay.getScreenCTM() : null;
		const usual = form.querySelector(`[data-usual-of="${CSS.escape(kind)}"]`);
		const wall = form.elements.namedItem('wall');
		if (!screen || !(usual instanceof HTMLElement) || !(wall instanceof HTMLSelectElement)) return null;
		const { x, y } = new DOMPoint(event.clientX, event.clientY).matrixTransform(screen.inverse());
		const fields = new FormData(form);
		const count = Math.max(1, Math.round(Number(fields.get('count')) || 1));
		const [wide, deep] = [Number(usual.dataset['wide']), Number(usual.dataset['deep'])];
		const behind = fields.get('row') === 'behind';
		return placeAt(
			[x, y],
			corners(),
			[...wall.options].map((one) => one.value).filter(Boolean),
			form.dataset['begins'] === 'left',
			{ wide: wide * (behind ? 1 : count), deep: deep * (behind ? count : 1), hung: HUNG.includes(kind) },
			standing(),
		);
	}

	function look() {
		const now = waiting() !== null;
		stage.classList.toggle('is-placing', now);
		if (!now) ghost.remove();
	}

	stage.addEventListener('pointermove', (event) => {
		const what = waiting();
		const there = what && place(event, what.form, what.kind);
		if (!there) return;
		ghost.setAttribute('points', there.outline.map((point) => point.join(',')).join(' '));
		if (!ghost.isConnected) stage.querySelector('#overlay')?.append(ghost);
	});
	stage.addEventListener('pointerleave', () => ghost.remove());
	stage.addEventListener(
		'click',
		(event) => {
			const what = waiting();
			const there = what && place(event, what.form, what.kind);
			if (!what || !there) return;
			event.preventDefault();
			event.stopPropagation();
			for (const [name, value] of [
				['wall', there.wall],
				['along', `${there.along} mm`],
				['away', there.away ? `${there.away} mm` : ''],
			]) {
				const field = what.form.elements.namedItem(name ?? '');
				if (field instanceof HTMLInputElement || field instanceof HTMLSelectElement) field.value = value ?? '';
			}
			what.form.requestSubmit();
		},
		{ capture: true },
	);
	panel.addEventListener('change', look);
	look();
	return look;
}
