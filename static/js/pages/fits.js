/** What fits in here: the page is there at once, the answer comes when every kind of kit was tried. */

import { ApiError, askPage } from '../api.js';
import { letterAt } from '../view/lettering.js';

/** To what a spot is rounded, in mm: nobody points more exactly. */
const NEAR_ENOUGH_MM = 10;

const waiting = document.querySelector('[data-whole]');
const words = waiting?.firstElementChild;
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

async function answer() {
	if (!(waiting instanceof HTMLElement) || !words) return;
	const soFar = waiting.querySelector('.so-far');
	const begun = Date.now();
	const counting = setInterval(() => {
		if (soFar) soFar.textContent = `${Math.round((Date.now() - begun) / 1000)} s so far`;
	}, 1000);
	try {
		const { fresh } = await askPage(waiting.dataset['whole'] ?? '', '.fits-parts');
		const came = fresh.querySelector('#fits');
		if (came) waiting.parentElement?.replaceWith(came);
	} catch (fault) {
		if (!(fault instanceof ApiError)) throw fault;
		words.classList.remove('is-looking');
		words.textContent = `It could not be tried: ${fault.message}. Load the page again for another try.`;
	} finally {
		clearInterval(counting);
	}
}

if (host instanceof HTMLElement) host.addEventListener('click', point);
window.addEventListener('resize', fit);
fit();
await answer();
