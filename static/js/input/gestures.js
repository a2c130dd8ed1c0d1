/** Pointers on an element: press, move past a threshold, end or cancel; two fingers pinch. */

/** @import {Grip} from '../types.js' */

const THRESHOLD_PX = 4;

/**
 * @param {HTMLElement|SVGElement} element @param {(event: PointerEvent) => Grip|null} press
 * @param {(factor: number, x: number, y: number, dx: number, dy: number) => void} [pinch]
 */
export function gestures(element, press, pinch) {
	/** @type {Map<number, {x: number, y: number}>} */
	const pointers = new Map();
	/** @type {{grip: Grip, id: number, x: number, y: number, begun: boolean}|null} */
	let held = null;
	/** @type {AbortController|null} */
	let listening = null;

	const drop = () => {
		const was = held;
		held = null;
		if (was?.begun) was.grip.cancel?.();
	};

	const stop = () => {
		listening?.abort();
		listening = null;
		pointers.clear();
		held = null;
	};

	/** @param {PointerEvent} event */
	const onDown = (event) => {
		if (event.pointerType === 'mouse' && event.button !== 0 && event.button !== 1) return;
		if (pointers.size === 1 && pinch) {
			drop();
			pointers.set(event.pointerId, { x: event.clientX, y: event.clientY });
			return;
		}
		if (pointers.size > 0) return;
		const grip = press(event);
		if (!grip) return;
		pointers.set(event.pointerId, { x: event.clientX, y: event.clientY });
		held = { grip, id: event.pointerId, x: event.clientX, y: event.clientY, begun: false };
		listening = new AbortController();
		const signal = listening.signal;
		window.addEventListener('pointermove', onMove, { signal });
		window.addEventListener('pointerup', onUp, { signal });
		window.addEventListener('pointercancel', onCancel, { signal });
		window.addEventListener('keydown', onKey, { signal, capture: true });
		element.addEventListener('lostpointercapture', onLost, { signal });
	};

	/** @param {Event} event */
	const onMove = (event) => {
		const started = performance.now();
		const e = /** @type {PointerEvent} */ (event);
		const last = pointers.get(e.pointerId);
		if (!last) return;
		if (pointers.size === 2 && pinch) {
			twoFingers(e, last);
			return;
		}
		if (held?.id !== e.pointerId) return;
		if (!held.begun) {
			if (Math.hypot(e.clientX - held.x, e.clientY - held.y) < THRESHOLD_PX) return;
			held.begun = true;
			element.setPointerCapture(e.pointerId);
			held.grip.begin?.(e);
		}
		held.grip.move?.(e, started);
	};

	/** @param {PointerEvent} e @param {{x: number, y: number}} last */
	const twoFingers = (e, last) => {
		const other = [...pointers.entries()].find(([id]) => id !== e.pointerId)?.[1];
		if (!other || !pinch) return;
		const before = Math.hypot(last.x - other.x, last.y - other.y) || 1;
		const after = Math.hypot(e.clientX - other.x, e.clientY - other.y) || 1;
		const middle = { x: (e.clientX + other.x) / 2, y: (e.clientY + other.y) / 2 };
		pinch(after / before, middle.x, middle.y, (e.clientX - last.x) / 2, (e.clientY - last.y) / 2);
		pointers.set(e.pointerId, { x: e.clientX, y: e.clientY });
	};

	/** @param {Event} event */
	const onUp = (event) => {
		const e = /** @type {PointerEvent} */ (event);
		if (!pointers.delete(e.pointerId)) return;
		const was = held?.id === e.pointerId ? held : null;
		if (was) held = null;
		if (pointers.size === 0) stop();
		if (was?.begun) was.grip.end?.(e);
		else was?.grip.tap?.(e);
	};

	/** @param {Event} event */
	const onCancel = (event) => {
		pointers.delete(/** @type {PointerEvent} */ (event).pointerId);
		drop();
		if (pointers.size === 0) stop();
	};

	/** @param {Event} event */
	const onLost = (event) => {
		// A touch is first captured by what it began on; that giving way is no loss.
		if (event.target !== element) return;
		if (held?.id === /** @type {PointerEvent} */ (event).pointerId) onCancel(event);
	};

	/** @param {Event} event */
	const onKey = (event) => {
		if (!held?.begun) return;
		const { key } = /** @type {KeyboardEvent} */ (event);
		const typed = key !== 'Escape' && held.grip.key?.(/** @type {KeyboardEvent} */ (event));
		if (key !== 'Escape' && !typed) return;
		event.preventDefault();
		event.stopPropagation();
		if (typed) stop();
		else drop();
	};

	element.addEventListener('pointerdown', (event) => onDown(/** @type {PointerEvent} */ (event)));
}
