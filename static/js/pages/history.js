/** The history: asks before going back, tells times as here, gives the pictures their lettering. */

import { tellTimes } from './times.js';

for (const form of document.querySelectorAll('form[data-ask]')) {
	form.addEventListener('submit', (event) => {
		if (form instanceof HTMLFormElement && !window.confirm(form.dataset['ask'])) event.preventDefault();
	});
}

tellTimes();

/** Tell each drawing how many mm of the room one pixel shows. */
function letter() {
	for (const drawing of document.querySelectorAll('.drawn svg.figure')) {
		if (!(drawing instanceof SVGSVGElement)) continue;
		const { width, height } = drawing.getBoundingClientRect();
		const view = drawing.viewBox.baseVal;
		if (!width || !height) continue;
		drawing.style.setProperty('--u', Math.max(view.width / width, view.height / height).toFixed(3));
	}
}

letter();
window.addEventListener('resize', letter);

for (const rename of document.querySelectorAll('details.rename')) {
	rename.addEventListener('toggle', () => {
		if (rename instanceof HTMLDetailsElement && rename.open) rename.querySelector('input')?.select();
	});
	rename.addEventListener('keydown', (event) => {
		if (event instanceof KeyboardEvent && event.key === 'Escape') {
			rename.removeAttribute('open');
			rename.querySelector('summary')?.focus();
		}
	});
}
