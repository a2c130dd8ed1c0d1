/** Carrying kit from the shelf into the room: its symbol follows the pointer until it is set down. */

import { corners, faces } from '../model/geometry.js';
import { backed } from '../model/backing.js';
import { hold } from '../model/hold.js';
import { gestures } from './gestures.js';

/** @import {KitRow, Pose} from '../types.js' */
/** @import {Store} from '../state/store.js' */
/** @import {Viewport} from '../view/viewport.js' */

const HOLD_PX = 12;

/**
 * @param {HTMLElement} shelf @param {object} desk @param {Store} desk.store
 * @param {Viewport} desk.viewport
 * @param {Record<string, KitRow>} desk.library
 * @param {number} desk.pxPerM scale of the outlines from above
 * @param {(type: string, pose: Pose) => void} setDown
 */
export function carryFromShelf(shelf, desk, setDown) {
	const { viewport } = desk;
	gestures(shelf, (event) => {
		const item = event.target instanceof Element ? event.target.closest('[data-kit]') : null;
		const symbol = item?.querySelector('.from-above svg');
		const type = item?.getAttribute('data-kit') ?? '';
		const row = desk.library[type];
		if (!item || !symbol || !row) return null;
		// On touch the shelf scrolls sideways; the browser then cancels the pointer by itself.
		if (event.pointerType === 'mouse') event.preventDefault();
		/** @type {SVGSVGElement|null} */
		let ghost = null;
		let box = viewport.look();
		const over = (/** @type {PointerEvent} */ e) => {
			return e.clientX > box.left && e.clientX < box.right && e.clientY > box.top && e.clientY < box.bottom;
		};
		/** @type {Pose} */
		let pose = { x_mm: 0, y_mm: 0, angle_deg: 0 };
		const gone = () => {
			ghost?.remove();
			ghost = null;
			document.body.classList.remove('is-dragging');
		};
		return {
			begin() {
				box = viewport.look();
				ghost = /** @type {SVGSVGElement} */ (symbol.cloneNode(true));
				ghost.classList.add('ghost');
				const factor = 1000 / viewport.u / desk.pxPerM;
				ghost.style.width = `${Number(symbol.getAttribute('width')) * factor}px`;
				ghost.style.height = `${Number(symbol.getAttribute('height')) * factor}px`;
				document.body.append(ghost);
				document.body.classList.add('is-dragging');
			},
			move(e) {
				const at = viewport.toPlan(e.clientX, e.clientY);
				pose = { x_mm: at.x, y_mm: at.y, angle_deg: 0 };
				if (!e.shiftKey) {
					const size = { width: row.width_mm, depth: row.depth_mm };
					const walls = faces(desk.store.state.plan.room);
					const shift = hold(corners(pose, size), walls, [], HOLD_PX * viewport.u);
					pose = backed({ ...pose, x_mm: at.x + shift.dx, y_mm: at.y + shift.dy }, size, walls, row);
				}
				if (!ghost) return;
				const shown = viewport.toStage({ x: pose.x_mm, y: pose.y_mm });
				ghost.style.transform = `translate(${box.left + shown.x}px, ${box.top + shown.y}px) translate(-50%, -50%) rotate(${pose.angle_deg}deg)`;
				ghost.classList.toggle('is-over', over(e));
			},
			end(e) {
				gone();
				if (over(e)) {
					setDown(type, { ...pose, x_mm: Math.round(pose.x_mm), y_mm: Math.round(pose.y_mm) });
				}
			},
			cancel: gone,
		};
	});
}
