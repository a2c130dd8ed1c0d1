/** The picture under the drawing, laid into the desk's overlay: faint, so that all ink stays seen. */

import { put, sv } from '../dom.js';

/** @import {Picture} from '../types.js' */

/**
 * @param {SVGSVGElement} overlay @param {string} root the address of the plan in the API
 * @returns {(picture: Picture|null) => void} shows a picture, or none
 */
export function underlay(overlay, root) {
	/** @type {SVGElement|null} */
	let image = null;
	return (picture) => {
		if (!picture) {
			image?.remove();
			image = null;
			return;
		}
		image ??= sv('image', { class: 'sketch' });
		if (!image.parentNode) overlay.prepend(image);
		put(image, 'href', `${root}/picture/${picture.id}`);
		put(image, 'width', String(picture.width_px));
		put(image, 'height', String(picture.height_px));
		const { x_mm: x, y_mm: y } = picture;
		put(image, 'transform', `translate(${x} ${y}) rotate(${picture.angle_deg}) scale(${picture.mm_per_px})`);
		put(image, 'opacity', String(picture.faint));
	};
}
