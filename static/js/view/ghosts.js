/** Places that are only thought of: chalk outlines on the plan of what would stand there. */

import { sv } from '../dom.js';
import { corners, onPlan } from '../model/geometry.js';

/** @import {Pose, Size} from '../types.js' */

/** A place with what would stand there, and what is said of it. @typedef {{pose: Pose, size: Size, says: string}} Ghost */

/** Strokes and letters take their size from the zoom: the layer lies in mm of the room. */
export class Ghosts {
	/** @param {SVGElement} layer */
	constructor(layer) {
		this.layer = layer;
	}

	/**
	 * @param {Ghost[]} all none clears
	 * @param {(at: number) => void} [take] what a press on one of them does; else they let presses through
	 */
	show(all, take) {
		this.layer.replaceChildren(
			...all.map((ghost, at) => {
				const group = drawn(ghost);
				if (take) {
					group.classList.add('may-take');
					// the press is for the place, not for what stands under it
					group.addEventListener('pointerdown', (event) => event.stopPropagation());
					group.addEventListener('click', () => take(at));
				}
				return group;
			}),
		);
	}

	/** Ink one of them more, none with -1. @param {number} at */
	point(at) {
		for (const [i, group] of [...this.layer.children].entries()) group.classList.toggle('is-pointed', i === at);
	}
}

/** @param {Ghost} ghost */
function drawn({ pose, size, says }) {
	const outline = corners(pose, size).map(({ x, y }) => `${x.toFixed(0)} ${y.toFixed(0)}`);
	// the edge at its front, where one works at it, is drawn whole
	const [left, right] = [onPlan(pose, -size.width / 2, size.depth / 2), onPlan(pose, size.width / 2, size.depth / 2)];
	const front = `M${left.x.toFixed(0)} ${left.y.toFixed(0)}L${right.x.toFixed(0)} ${right.y.toFixed(0)}`;
	return sv('g', { class: 'place-ghost' }, [
		sv('path', { class: 'place-outline', d: `M${outline.join('L')}Z` }),
		sv('path', { class: 'place-front', d: front }),
		sv('text', { x: pose.x_mm.toFixed(0), y: pose.y_mm.toFixed(0) }, says),
	]);
}
