/** The scale bar of the sheet, which follows the zoom. */

import { say } from '../dom.js';

/** @import {Viewport} from './viewport.js' */

const METRIC = [100, 200, 500, 1000, 2000, 5000, 10000];
const BAR_PX = 150;
const FEET = [304.8, 609.6, 1524, 3048, 6096, 15240];

/**
 * @param {HTMLElement} bar with an element `.bar-run` and three `.bar-figure`
 * @param {Viewport} viewport @param {'metric'|'feet'} units
 */
export function scaleBar(bar, viewport, units) {
	const run = bar.querySelector('.bar-run');
	const figures = [...bar.querySelectorAll('.bar-figure')];
	const steps = units === 'metric' ? METRIC : FEET;
	const draw = () => {
		const step = steps.findLast((mm) => (mm * 2) / viewport.u <= BAR_PX) ?? steps[0] ?? 100;
		if (run instanceof HTMLElement) run.style.width = `${(step * 2) / viewport.u}px`;
		figures.forEach((figure, i) => {
			const mm = step * i;
			const text = units === 'feet' ? `${Math.round(mm / 304.8)}` : `${mm / 1000}`;
			say(figure, i === 2 ? `${text} ${units === 'feet' ? 'ft' : 'm'}` : text);
		});
	};
	viewport.onChange(draw);
	draw();
}
