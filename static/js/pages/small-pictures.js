/** Small pictures of plans: their lettering is as high as that of the page, however large they are. */

import { letterAt } from '../view/lettering.js';

for (const svg of document.querySelectorAll('.drawn > svg.figure')) {
	if (!(svg instanceof SVGSVGElement)) continue;
	const fit = () => {
		const view = svg.viewBox.baseVal;
		const shown = svg.getBoundingClientRect();
		if (!shown.width || !shown.height) return;
		const unit = Math.max(view.width / shown.width, view.height / shown.height);
		svg.style.setProperty('--u', unit.toFixed(2));
		letterAt(svg.parentElement ?? svg, svg, unit);
	};
	new ResizeObserver(fit).observe(svg);
}
