/** The hand on the sheet: moving and turning pieces, panning, choosing. */

import { backed } from '../model/backing.js';
import { boundsOf, corners, faces, gaps } from '../model/geometry.js';
import { hold } from '../model/hold.js';
import { inHand, nameOf, pieceOf, poseOf, rootOf, shiftedAll } from '../model/plan.js';
import { sizeOf, turnedAll } from '../model/plan.js';
import { banding } from './band.js';
import { gestures } from './gestures.js';
import { keepMoved } from './joining.js';

/** @import {Desk, Grip, KitRow, Point, Pose, State} from '../types.js' */

const HOLD_PX = 12;
const TURN_STEP = 15;
const TURN_HOLD = 4;
const FINGER_PX = 12;

/** @param {HTMLElement} stage @param {Desk} desk */
export function handOnSheet(stage, desk) {
	gestures(
		stage,
		(event) => press(event, desk),
		(factor, x, y, dx, dy) => {
			desk.viewport.pan(dx, dy);
			desk.viewport.zoom(factor, x, y);
		},
	);
	stage.addEventListener(
		'wheel',
		(event) => {
			event.preventDefault();
			const lines = event.deltaMode === WheelEvent.DOM_DELTA_LINE ? 16 : 1;
			desk.viewport.zoom(Math.exp(-event.deltaY * lines * 0.0015), event.clientX, event.clientY);
		},
		{ passive: false },
	);
	stage.addEventListener('dblclick', (event) => {
		const empty = event.target instanceof Element && !event.target.closest('button, input, [data-piece]');
		if (empty && !desk.tool) desk.viewport.zoom(1.6, event.clientX, event.clientY);
	});
	stage.addEventListener('pointerenter', () => desk.viewport.look());
	stage.addEventListener('pointermove', (event) => {
		if (event.buttons || event.pointerType !== 'mouse') return;
		const over = pick(event, desk);
		stage.classList.toggle('is-over', over !== null);
	});
}

/** @param {PointerEvent} event @param {Desk} desk */
function pick(event, desk) {
	const point = desk.viewport.toPlan(event.clientX, event.clientY);
	return desk.figure.pick(desk.store.state, point, desk.viewport.u * FINGER_PX);
}

/** @param {PointerEvent} event @param {Desk} desk @returns {Grip|null} */
function press(event, desk) {
	const target = event.target instanceof Element ? event.target : null;
	if (target?.closest('button, a, input')) return null;
	event.preventDefault();
	desk.viewport.look();
	if (event.button === 1) return panning(event, desk, false);
	if (desk.tool) {
		const drag = desk.tool.band ? banding(event, desk) : panning(event, desk, false);
		return desk.tool.press(event, drag);
	}
	if (target?.closest('[data-grip]')) return turning(event, desk);
	const tape = target?.closest('[data-tape]');
	if (tape && event.pointerType === 'mouse') return { tap: () => desk.typeOn(tape) };
	const key = target?.closest('[data-snag]')?.getAttribute('data-snag');
	const id = pick(event, desk);
	if (key) {
		// A flag may stand on what one wants to move: pressed it opens its snag, drawn it lets through.
		const below = id === null ? panning(event, desk, false) : moving(event, desk, id);
		return { ...below, tap: () => desk.store.set({ snag: key }) };
	}
	if (id !== null) return moving(event, desk, id);
	return event.shiftKey ? banding(event, desk) : panning(event, desk, true);
}

/**
 * @param {PointerEvent} event @param {Desk} desk
 * @param {boolean} lets go of the chosen piece when nothing was dragged @returns {Grip}
 */
function panning(event, desk, lets) {
	let last = { x: event.clientX, y: event.clientY };
	return {
		move(e) {
			desk.viewport.pan(e.clientX - last.x, e.clientY - last.y);
			last = { x: e.clientX, y: e.clientY };
		},
		tap() {
			if (!lets) return;
			desk.figure.svg.parentElement?.focus({ preventScroll: true });
			desk.store.set({ chosen: null, others: [], snag: null });
		},
	};
}

/** @param {PointerEvent} event @param {Desk} desk @param {string} id @returns {Grip} */
function moving(event, desk, id) {
	const { store, sync, viewport } = desk;
	const from = viewport.toPlan(event.clientX, event.clientY);
	/** @type {string[]} */
	let ids = [];
	/** @type {Record<string, Pose>} */
	let start = {};
	/** @type {ReturnType<typeof surroundings>|null} */
	let around = null;
	let fixed = false;
	const keep = () => {
		document.body.classList.remove('is-dragging');
		if (!fixed) void keepMoved(desk, ids, `move ${named(desk, id, ids)}`);
	};
	const cancel = () => {
		document.body.classList.remove('is-dragging');
		if (!fixed) sync.cancel(ids);
	};
	const choose = (/** @type {PointerEvent} */ e) => {
		if (e.shiftKey || e.ctrlKey) store.toggle(id);
		else store.choose(id);
		// A piece that gets the focus is taken into the hand: one just let go must not.
		if (inHand(store.state).includes(id)) desk.figure.focus(id);
	};
	return {
		tap: choose,
		begin() {
			const held = store.state.others.length > 0 && inHand(store.state).includes(id);
			if (!held) store.choose(id);
			desk.figure.focus(id);
			ids = inHand(store.state);
			const pinned = ids.map((one) => pieceOf(store.state.plan, one)).find((p) => p?.pinned);
			if (pinned) {
				fixed = true;
				desk.tell(`${nameOf(pinned, desk.library)} is pinned down. Unpin it to move it.`);
				return;
			}
			start = Object.fromEntries(ids.map((one) => [one, poseOf(store.state, one)]));
			around = surroundings(desk, id, ids);
			for (const one of ids) sync.holding.add(one);
			document.body.classList.add('is-dragging');
		},
		move(e, started) {
			if (fixed || !around) return;
			const to = viewport.toPlan(e.clientX, e.clientY);
			let dx = Math.round(to.x - from.x);
			let dy = Math.round(to.y - from.y);
			if (!e.shiftKey) {
				const shift = around.hold(dx, dy);
				dx += shift.dx;
				dy += shift.dy;
			}
			const moved = shiftedAll({ ...store.state, preview: start }, ids, dx, dy);
			sync.try(e.shiftKey ? moved : around.turn(moved), started);
		},
		key(e) {
			if (fixed || !around || !/^[\d.,]$/.test(e.key) || e.ctrlKey || e.metaKey || e.altKey) return false;
			return typing(e.key, desk, ids, { keep, cancel });
		},
		end: keep,
		cancel,
	};
}

/**
 * Go on with a drag by typing on the tape to the nearest wall.
 * @param {string} begun @param {Desk} desk @param {string[]} ids
 * @param {{keep: () => void, cancel: () => void}} ends @returns {boolean} whether there is a tape
 */
function typing(begun, desk, ids, ends) {
	const { store, sync, library, viewport } = desk;
	const tapes = () => {
		const { chosen, plan } = store.state;
		return chosen ? gaps(faces(plan.room), outline(store.state, chosen, library)) : [];
	};
	const [near] = tapes()
		.filter((one) => one.gap >= 1)
		.sort((one, other) => one.gap - other.gap);
	const tape = near && viewport.stage.querySelector(`[data-tape="${near.side}"]`);
	if (!tape) return false;
	document.body.classList.remove('is-dragging');
	desk.typeOn(tape, {
		...ends,
		begun,
		set(side, mm) {
			const at = tapes().find((one) => one.side === side);
			if (!at) return;
			const by = at.gap - mm;
			sync.try(shiftedAll(store.state, ids, at.dx * by, at.dy * by), performance.now());
		},
	});
	return true;
}

/**
 * Gather once what a drag can hold to.
 * @param {Desk} desk @param {string} id @param {string[]} ids
 */
function surroundings(desk, id, ids) {
	const state = desk.store.state;
	const walls = faces(state.plan.room);
	const root = rootOf(state.plan, id);
	const own = [...new Set([id, ids.includes(root) ? root : id])].map((one) => outline(state, one, desk.library));
	const others = state.plan.pieces
		.filter((p) => !ids.includes(p.id) && rootOf(state.plan, p.id) !== root)
		.map((p) => boundsOf(outline(state, p.id, desk.library)));
	for (const { way, at_mm: at } of state.plan.chalk) {
		others.push(
			way === 'x' ? { x0: at, x1: at, y0: -Infinity, y1: Infinity } : { x0: -Infinity, x1: Infinity, y0: at, y1: at },
		);
	}
	for (const column of state.plan.room.columns) {
		others.push(boundsOf(column.outline.map(([x, y]) => ({ x, y }))));
	}
	const piece = ids.includes(root) ? pieceOf(state.plan, root) : null;
	const alone = piece && ids.every((one) => rootOf(state.plan, one) === root) ? piece : null;
	return {
		/**
		 * Turn what has come near a wall with its back to it, and all that is with it.
		 * @param {Record<string, Pose>} poses @returns {Record<string, Pose>}
		 */
		turn(poses) {
			const was = alone && poses[alone.id];
			if (!was) return poses;
			const row = desk.library[alone.type];
			const now = backed(was, sizeOf(alone, desk.library), walls, row, false);
			if (now === was) return poses;
			const pivot = { x: was.x_mm, y: was.y_mm };
			const turned = turnedAll({ ...state, preview: poses }, ids, pivot, now.angle_deg - was.angle_deg);
			return shiftedAll({ ...state, preview: turned }, ids, now.x_mm - was.x_mm, now.y_mm - was.y_mm);
		},
		/** @param {number} dx @param {number} dy */
		hold(dx, dy) {
			const within = HOLD_PX * desk.viewport.u;
			for (const points of own) {
				const moved = points.map((p) => ({ x: p.x + dx, y: p.y + dy }));
				const shift = hold(moved, walls, others, within);
				if (shift.dx || shift.dy) return shift;
			}
			return { dx: 0, dy: 0 };
		},
	};
}

/**
 * @param {State} state @param {string} id @param {Record<string, KitRow>} library
 * @returns {Point[]}
 */
function outline(state, id, library) {
	const piece = pieceOf(state.plan, id);
	return piece ? corners(poseOf(state, id), sizeOf(piece, library)) : [];
}

/** @param {PointerEvent} event @param {Desk} desk @returns {Grip|null} */
function turning(event, desk) {
	const { store, sync, viewport } = desk;
	const id = store.state.chosen;
	if (!id) return null;
	const ids = inHand(store.state);
	const start = Object.fromEntries(ids.map((one) => [one, poseOf(store.state, one)]));
	const own = poseOf(store.state, id);
	const pivot = { x: own.x_mm, y: own.y_mm };
	/** @param {PointerEvent} e */
	const heading = (e) => {
		const at = viewport.toPlan(e.clientX, e.clientY);
		return (Math.atan2(at.y - pivot.y, at.x - pivot.x) * 180) / Math.PI;
	};
	const first = heading(event);
	return {
		begin() {
			for (const one of ids) sync.holding.add(one);
			document.body.classList.add('is-dragging');
		},
		move(e, started) {
			let angle = own.angle_deg + heading(e) - first;
			const step = Math.round(angle / TURN_STEP) * TURN_STEP;
			if (e.shiftKey) angle = Math.round(angle * 10) / 10;
			else if (Math.abs(step - angle) < TURN_HOLD) angle = step;
			else angle = Math.round(angle);
			const preview = { ...store.state, preview: start };
			sync.try(turnedAll(preview, ids, pivot, angle - own.angle_deg), started);
		},
		end() {
			document.body.classList.remove('is-dragging');
			void sync.keep(ids, 'turn', `turn ${named(desk, id, ids)}`);
		},
		cancel() {
			document.body.classList.remove('is-dragging');
			sync.cancel(ids);
		},
	};
}

/** @param {Desk} desk @param {string} id @param {string[]} ids */
function named(desk, id, ids) {
	const first = pieceOf(desk.store.state.plan, ids.length > 1 ? (ids[0] ?? id) : id);
	const name = first ? nameOf(first, desk.library) : id;
	if (desk.store.state.others.length) return `${ids.length} pieces`;
	return ids.length > 1 ? `${name} and what is with it` : name;
}
