/** The tools beside the paper. Loaded when the first of them is taken up. */

import { need, put, sv } from '../dom.js';
import { showBand, hideBand, takeWithin } from '../input/band.js';
import { lineUp, spaceEvenly, swap, units } from '../model/arrange.js';
import { boundsOf, corners, faces } from '../model/geometry.js';
import { hold } from '../model/hold.js';
import { chalks, rubs } from '../model/editing.js';
import { poseOf, shiftedAll, sizeOf } from '../model/plan.js';
import { toWall } from '../model/to_wall.js';
import { long, short } from '../model/written.js';
import { Pointing } from './pointing.js';

/** @import {ChalkLine, Desk, Does, Point, Pose} from '../types.js' */

const FAR_MM = 1e6;
const NEAR_PX = 8;

/** @param {Desk} desk @param {Does} does */
export function takeUpTools(desk, does) {
	const { store, viewport, library, tell } = desk;
	const pointing = new Pointing(desk);
	const overlay = need(viewport.stage, '.overlay', SVGSVGElement);
	const measured = need(overlay, '.measured', SVGGElement);
	const chalk = need(overlay, '.guides', SVGGElement);
	/** @type {[Point, Point]|null} */
	let tape = null;

	const drawTape = () => {
		if (!tape) {
			measured.replaceChildren();
			return;
		}
		const [a, b] = tape;
		const text = short(Math.hypot(b.x - a.x, b.y - a.y), store.state.plan.units);
		const wide = text.length * 7.4 + 10;
		const u = viewport.u;
		const at = `translate(${(a.x + b.x) / 2} ${(a.y + b.y) / 2}) scale(${u})`;
		measured.replaceChildren(
			sv('path', { class: 'tape-run', d: `M${a.x} ${a.y}L${b.x} ${b.y}` }),
			sv('g', { transform: at }, [
				sv('rect', { class: 'tape-plate', x: -wide / 2, y: -9, width: wide, height: 18, rx: 2 }),
				sv('text', { class: 'tape-figure', y: 4.3 }, text),
			]),
		);
	};

	const drawChalk = () => {
		const lines = store.state.plan.chalk.map((line) =>
			sv('path', { class: 'chalk-line', 'data-chalk': line.id, d: acrossAll(line) }),
		);
		chalk.replaceChildren(...lines);
	};
	drawChalk();
	store.subscribe((now, was) => now.plan !== was.plan && drawChalk());
	viewport.onChange(drawTape);

	/** @param {string} name @param {() => void} begin takes a tool up, or lays it down again */
	const toggle = (name, begin) => {
		const again = pointing.name === name;
		pointing.end();
		if (again) return;
		begin();
		mark(name);
	};
	/** @param {string} name */
	const mark = (name) => {
		for (const one of ['several', 'measure', 'chalk']) {
			const button = document.querySelector(`.tools [data-act="${one}"]`);
			if (button) put(button, 'aria-pressed', String(one === name));
		}
	};
	const gone = () => mark('');

	/** @param {Record<string, Pose>} poses @param {string} says */
	const putAll = (poses, says) => {
		const pinned = does.movable().length === 0;
		if (pinned) return;
		if (Object.keys(poses).length) does.put(poses, 'move', says);
		else tell('They are placed like that already.');
	};

	return {
		end: () => pointing.end(),

		several: () =>
			toggle('several', () => {
				pointing.ask({
					name: 'several',
					says: ['Click pieces, or two corners of a box round them', 'Click the other corner'],
					free: true,
					again: true,
					gone: () => {
						hideBand(desk);
						gone();
					},
					take(at) {
						const id = desk.figure.pick(store.state, at, 0);
						if (id) store.toggle(id);
						return id !== null;
					},
					show: ([a], at) => a && showBand(desk, a, at),
					done([a, b]) {
						hideBand(desk);
						if (a && b) takeWithin(desk, a, b, true);
					},
				});
				const tool = desk.tool;
				if (tool) tool.band = true;
			}),

		measure: () =>
			toggle('measure', () => {
				pointing.ask({
					name: 'measure',
					says: ['Tape: click where it begins', 'Click where it ends'],
					again: true,
					gone: () => {
						tape = null;
						drawTape();
						gone();
					},
					show([a], at) {
						if (!a) return;
						tape = [a, at];
						drawTape();
					},
					done([a, b]) {
						if (!a || !b) return;
						tape = [a, b];
						drawTape();
						tell(`${long(Math.hypot(b.x - a.x, b.y - a.y), store.state.plan.units)} between the two.`);
					},
				});
			}),

		chalk: () =>
			toggle('chalk', () =>
				pointing.ask({
					name: 'chalk',
					says: ['Chalk line: click a point of it, or a line to rub it out', 'Click which way it runs'],
					again: true,
					gone: () => {
						drawChalk();
						gone();
					},
					take(at) {
						const within = NEAR_PX * viewport.u;
						const lines = store.state.plan.chalk;
						const hit = lines.find((one) => Math.abs(at[one.way] - one.at_mm) < within);
						if (!hit) return false;
						does.settleNudges();
						void desk.sync.command(() => rubs(hit));
						return true;
					},
					show([a], at) {
						if (!a) return;
						chalk.querySelector('.is-new')?.remove();
						chalk.append(sv('path', { class: 'chalk-line is-new', d: acrossAll(lineOf(a, at)) }));
					},
					done([a, b]) {
						if (!a || !b) return;
						does.settleNudges();
						void desk.sync.command(() => chalks(lineOf(a, b)));
					},
				}),
			),

		/** Put the chosen piece where is clicked, flush with a near wall. */
		moveTo() {
			const ids = does.movable();
			const piece = store.state.plan.pieces.find((p) => p.id === store.state.chosen);
			if (!piece || ids.length === 0) return;
			const from = poseOf(store.state, piece.id);
			pointing.ask({
				name: 'move-to',
				says: [`Click where the middle of ${does.named(piece.id)} is to go`],
				free: true,
				done([at]) {
					if (!at) return;
					const want = { ...from, x_mm: at.x, y_mm: at.y };
					const points = corners(want, sizeOf(piece, library));
					const flush = hold(points, faces(store.state.plan.room), [], 12 * viewport.u);
					const dx = Math.round(at.x + flush.dx - from.x_mm);
					const dy = Math.round(at.y + flush.dy - from.y_mm);
					does.put(shiftedAll(store.state, ids, dx, dy), 'move');
					desk.figure.focus(piece.id);
				},
			});
		},

		/** @param {string} what such as "line:x0", "space:x", "wall:left", "swap:" */
		arrange(what) {
			const [how = '', which = ''] = what.split(':');
			const { state } = store;
			const all = units(state, library);
			const say = `${all.reduce((sum, unit) => sum + unit.ids.length, 0)} pieces`;
			if (how === 'line') {
				putAll(lineUp(state, all, /** @type {'x0'} */ (which)), `line up ${say}`);
			} else if (how === 'space') {
				if (all.length < 3) tell('Spacing evenly takes three pieces or more.');
				else putAll(spaceEvenly(state, all, /** @type {'x'} */ (which)), `space ${say} evenly`);
			} else if (how === 'wall') {
				const poses = toWall(state, all, library, /** @type {'left'} */ (which));
				putAll(poses, `put ${say} against a wall`);
			} else if (all.length === 2) putAll(swap(state, all), 'swap two');
			else tell('Swapping takes two pieces.');
		},

		/** Squared paper on or off. */
		squaredPaper() {
			const paper = need(overlay, '.squares', SVGPathElement);
			const on = !paper.hasAttribute('d');
			const button = document.querySelector('.tools [data-act="squares"]');
			if (button) put(button, 'aria-pressed', String(on));
			if (!on) {
				paper.removeAttribute('d');
				return;
			}
			const step = store.state.plan.units === 'feet' ? 304.8 : 500;
			const { x0, y0, x1, y1 } = boundsOf(faces(store.state.plan.room).map((face) => face.a));
			let d = '';
			for (let x = x0 + step; x < x1; x += step) d += `M${x} ${y0}V${y1}`;
			for (let y = y0 + step; y < y1; y += step) d += `M${x0} ${y}H${x1}`;
			paper.setAttribute('d', d);
		},
	};
}

/** @param {Point} a @param {Point} b @returns {ChalkLine} through a, the way b lies from it */
function lineOf(a, b) {
	const upright = Math.abs(b.y - a.y) > Math.abs(b.x - a.x);
	// two who draw at once must not give two lines one name
	const id = `chalk-${Date.now().toString(36)}-${Math.floor(Math.random() * 1e6).toString(36)}`;
	return upright ? { id, way: 'x', at_mm: Math.round(a.x) } : { id, way: 'y', at_mm: Math.round(a.y) };
}

/** @param {ChalkLine} line @returns {string} the path of a line right across */
function acrossAll({ way, at_mm: at }) {
	return way === 'x' ? `M${at} ${-FAR_MM}V${FAR_MM}` : `M${-FAR_MM} ${at}H${FAR_MM}`;
}
