/** Two points of the picture under the drawing, clicked: their places go into the form. */

import { sv } from '../dom.js';

const FIELDS = ['ax', 'ay', 'bx', 'by'];

/**
 * @param {HTMLElement} stage @param {HTMLElement} panel
 * @param {() => number} u mm of the room in a pixel @param {(words: string) => void} tell
 */
export function pickPoints(stage, panel, u, tell) {
	/** @type {DOMPoint[]|null} */
	let points = null;
	const marks = sv('path', { class: 'sketch-points', 'pointer-events': 'none' });

	const form = () => panel.querySelector('form[data-edit="picture-scale"]');
	const end = () => {
		points = null;
		stage.classList.remove('is-pointing');
	};

	panel.addEventListener('click', (event) => {
		if (!(event.target instanceof Element) || !event.target.closest('[data-two-points]')) return;
		points = [];
		stage.scrollIntoView({ block: 'nearest' });
		stage.classList.add('is-pointing');
		tell('click the first point of the picture');
	});
	stage.addEventListener(
		'click',
		(event) => {
			const overlay = stage.querySelector('#overlay');
			const here = form();
			if (!points || !(overlay instanceof SVGSVGElement) || !(here instanceof HTMLFormElement)) return;
			event.preventDefault();
			event.stopPropagation();
			const screen = overlay.getScreenCTM();
			if (!screen) return;
			points.push(new DOMPoint(event.clientX, event.clientY).matrixTransform(screen.inverse()));
			const r = 8 * u();
			marks.setAttribute('d', points.map((p) => `M${p.x - r} ${p.y}h${2 * r}M${p.x} ${p.y - r}v${2 * r}`).join(''));
			overlay.append(marks);
			const places = points.flatMap((p) => [p.x, p.y]);
			FIELDS.forEach((name, i) => {
				const input = here.elements.namedItem(name);
				const place = places[i];
				if (input instanceof HTMLInputElement && place !== undefined) input.value = `${Math.round(place)} mm`;
			});
			if (points.length < 2) {
				tell('click the second point');
				return;
			}
			end();
			tell('type how far they are apart');
			const known = here.elements.namedItem('known');
			if (known instanceof HTMLInputElement) known.focus();
		},
		{ capture: true },
	);
	document.addEventListener('keydown', (event) => {
		if (event.key === 'Escape' && points) end();
	});
}
