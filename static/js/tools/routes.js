/** The film of the ways on foot: laid over the plan, and told way by way in words. */

import { el, need, say } from '../dom.js';

/** @import {Desk} from '../types.js' */

const LETTER_PX = 7.2;
const HIGH_PX = 16;
/** Where a figure stands from its narrow place: above it, or where no name is in the way. */
const ABOVE_PX = -6;
const ELSEWHERE_PX = [17, -26, 37, -46];

/**
 * @param {HTMLElement} root the list of films @param {HTMLElement} words where they are told
 * @param {Desk} desk @param {() => void} turned told that the film was switched
 * @returns {HTMLElement} what is hidden while the film is off
 */
export function routesFilm(root, words, desk, turned) {
	const { viewport } = desk;
	const layer = need(viewport.stage, '.overlay .way-layer', SVGGElement);
	const chosen = need(root, '[name="routes"]', HTMLInputElement);
	const panel = need(words, '.ways', HTMLElement);
	const status = need(panel, '[role="status"]', HTMLElement);
	const list = need(panel, 'ul', HTMLElement);
	const key = need(panel, '.ways-key', HTMLElement);
	let asked = 0;

	/**
	 * One figure where several would lie on one another: that of the narrowest, which comes first.
	 * @returns {number[][]} boxes of those that are shown
	 */
	const thin = () => {
		/** @type {number[][]} */
		const boxes = [];
		const figures = /** @type {NodeListOf<SVGTextElement>} */ (layer.querySelectorAll('text'));
		if (!figures.length) return boxes;
		const names = lettering();
		for (const figure of figures) {
			const [x, y] = [Number(figure.getAttribute('x')), Number(figure.getAttribute('y'))];
			const at = viewport.toStage({ x, y });
			const half = ((figure.textContent?.length ?? 0) * LETTER_PX) / 2;
			const own = (/** @type {number} */ down) => [
				at.x - half,
				at.y + down - HIGH_PX + 3,
				at.x + half,
				at.y + down + 3,
			];
			const taken = boxes.some((one) => meet(one, own(ABOVE_PX)));
			figure.classList.toggle('is-off', taken);
			if (taken) continue;
			const free = (/** @type {number} */ down) => ![...boxes, ...names].some((one) => meet(one, own(down)));
			const down = [ABOVE_PX, ...ELSEWHERE_PX].find(free) ?? ABOVE_PX;
			figure.style.setProperty('--down', String(down));
			boxes.push(own(down));
		}
		return boxes;
	};

	/** @returns {number[][]} boxes on the stage of what is lettered on the plan */
	const lettering = () => {
		const stage = viewport.stage.getBoundingClientRect();
		return [...viewport.stage.querySelectorAll('svg.figure text')].map((text) => {
			const box = text.getBoundingClientRect();
			return [box.left - stage.left, box.top - stage.top, box.right - stage.left, box.bottom - stage.top];
		});
	};
	desk.figures.boxes = thin;

	const show = async () => {
		const turn = (asked += 1);
		panel.hidden = !chosen.checked;
		turned();
		if (!chosen.checked) {
			layer.replaceChildren();
			desk.figures.changed();
			say(status, '');
			return;
		}
		try {
			const film = await desk.sync.api.ways();
			if (turn !== asked) return;
			const drawn = new DOMParser().parseFromString(
				`<svg xmlns="http://www.w3.org/2000/svg">${film.svg}</svg>`,
				'image/svg+xml',
			).documentElement;
			layer.replaceChildren(...[...drawn.children].map((part) => document.importNode(part, true)));
			desk.figures.changed();
			list.replaceChildren(...film.lines.map(({ ink, words }) => el('li', { class: `is-${ink}` }, words)));
			say(status, film.short);
			say(key, film.key);
		} catch (error) {
			say(status, error instanceof Error ? error.message : String(error));
		}
	};

	chosen.addEventListener('change', () => void show());
	desk.store.subscribe((now, was) => {
		if (now.plan !== was.plan && chosen.checked) void show();
	});
	// A browser may keep the switch as it was over a reload.
	if (chosen.checked) queueMicrotask(() => void show());
	return panel;
}

/** @param {number[]} one @param {number[]} other @returns {boolean} whether two boxes overlap */
function meet([a0 = 0, b0 = 0, a1 = 0, b1 = 0], [c0 = 0, d0 = 0, c1 = 0, d1 = 0]) {
	return a0 < c1 && c0 < a1 && b0 < d1 && d0 < b1;
}
