/** What fits in here: the page is there at once, and the answer grows while every kind of kit is tried. */

import { ApiError, askPage } from '../api.js';
import { need } from '../dom.js';
import { letterAt } from '../view/lettering.js';
import { patch } from './patch.js';

/** To what a spot is rounded, in mm: nobody points more exactly. */
const NEAR_ENOUGH_MM = 10;

const host = document.querySelector('.fits-spot .drawn');
const drawing = host?.querySelector('svg.figure');
const form = document.querySelector('.fits-at');

/** Lay the mark over the drawing, and tell both how many mm of the room one pixel shows. */
function fit() {
	if (!(host instanceof HTMLElement) || !(drawing instanceof SVGSVGElement)) return;
	const { width, height } = drawing.getBoundingClientRect();
	const view = drawing.viewBox.baseVal;
	if (!width || !height || !view?.width) return;
	const unit = Math.max(view.width / width, view.height / height);
	for (const svg of host.querySelectorAll('svg')) {
		svg.style.setProperty('--u', unit.toFixed(3));
		svg.setAttribute('viewBox', drawing.getAttribute('viewBox') ?? '');
	}
	letterAt(host, drawing, unit);
}

/** Ask for the spot that is pointed at. @param {MouseEvent} event */
function point(event) {
	if (!(drawing instanceof SVGSVGElement) || !(form instanceof HTMLFormElement)) return;
	const ground = drawing.getScreenCTM();
	if (!ground) return;
	const { x, y } = new DOMPoint(event.clientX, event.clientY).matrixTransform(ground.inverse());
	const [left = 0, top = 0, right = 0, bottom = 0] = (form.dataset['floor'] ?? '').split(' ').map(Number);
	if (x < left || x > right || y < top || y > bottom) return;
	for (const [name, mm] of [
		['across', x - left],
		['down', y - top],
	]) {
		const field = form.elements.namedItem(String(name));
		if (field instanceof HTMLInputElement)
			field.value = `${Math.round(Number(mm) / NEAR_ENOUGH_MM) * NEAR_ENOUGH_MM} mm`;
	}
	form.requestSubmit();
}

/** Ask for more until all of it is here. */
async function answer() {
	const shown = need(document, '#fits', HTMLElement);
	while (shown.dataset['more']) {
		try {
			const { fresh } = await askPage(shown.dataset['more'], '#fits');
			patch(shown, need(fresh, '#fits', HTMLElement));
		} catch (fault) {
			if (!(fault instanceof ApiError)) throw fault;
			const words = need(shown, '.is-looking', HTMLElement);
			words.classList.remove('is-looking');
			words.textContent = `It could not be tried further: ${fault.message}. Load the page again for another try.`;
			return;
		}
	}
}

if (host instanceof HTMLElement) host.addEventListener('click', point);
window.addEventListener('resize', fit);
fit();
await answer();
