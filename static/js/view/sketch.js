/** The picture under the drawing: on a sheet of its own, above the paper and beneath all ink. */

import { put, sv } from '../dom.js';

/** @import {Picture} from '../types.js' */
/** @import {Viewport} from './viewport.js' */

/**
 * @param {SVGSVGElement} drawing what it lies under
 * @param {Viewport} viewport the frame that both share
 * @param {string} root the address of the plan in the API
 * @returns {(picture: Picture|null) => void} shows a picture, or none
 */
export function underlay(drawing, viewport, root) {
	const under = /** @type {SVGSVGElement} */ (
		sv('svg', { class: 'underlay', 'aria-hidden': 'true', focusable: 'false' })
	);
	const image = sv('image', { class: 'sketch' });
	return (picture) => {
		if (!picture) {
			image.remove();
			return;
		}
		if (!under.parentNode) {
			viewport.drawings.push(under);
			put(under, 'viewBox', drawing.getAttribute('viewBox') ?? '');
			drawing.before(under);
		}
		under.append(image);
		put(image, 'href', `${root}/picture/${picture.id}`);
		put(image, 'width', String(picture.width_px));
		put(image, 'height', String(picture.height_px));
		const { x_mm: x, y_mm: y } = picture;
		put(image, 'transform', `translate(${x} ${y}) rotate(${picture.angle_deg}) scale(${picture.mm_per_px})`);
		put(image, 'opacity', String(picture.faint));
	};
}
