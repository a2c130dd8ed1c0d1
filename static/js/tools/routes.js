/** The film of the ways on foot: laid over the plan, and told way by way in words. */

import { el, need, say } from '../dom.js';

/** @import {Desk} from '../types.js' */

/**
 * @param {HTMLElement} root the list of films @param {Desk} desk
 */
export function routesFilm(root, desk) {
	const layer = need(desk.viewport.stage, '.overlay .way-layer', SVGGElement);
	const chosen = need(root, '[name="routes"]', HTMLInputElement);
	const told = need(root, '.ways', HTMLElement);
	const said = need(told, '[role="status"]', HTMLElement);
	const list = need(told, 'ul', HTMLElement);
	const key = need(told, '.ways-key', HTMLElement);
	let asked = 0;

	/** @param {{ink: string, words: string}[]} lines */
	const inShort = (lines) => {
		const count = (/** @type {string} */ ink) => lines.filter((line) => line.ink === ink).length;
		const [shut, narrow] = [count('stop'), count('care')];
		if (!shut && !narrow) return lines.length ? 'Every way is as wide as is wanted.' : '';
		const parts = [];
		if (shut) parts.push(`too narrow or shut: ${shut}`);
		if (narrow) parts.push(`narrower than is wanted: ${narrow}`);
		const text = parts.join(', ');
		return `${text.charAt(0).toUpperCase()}${text.slice(1)}.`;
	};

	const show = async () => {
		const turn = (asked += 1);
		told.hidden = !chosen.checked;
		if (!chosen.checked) {
			layer.replaceChildren();
			say(said, '');
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
			list.replaceChildren(
				...film.lines.map(({ ink, words }) => el('li', { class: `is-${ink}` }, words)),
			);
			say(said, inShort(film.lines));
			say(key, film.key);
		} catch (error) {
			say(said, error instanceof Error ? error.message : String(error));
		}
	};

	chosen.addEventListener('change', () => void show());
	desk.store.subscribe((now, was) => {
		if (now.plan !== was.plan && chosen.checked) void show();
	});
	// A browser may keep the switch as it was over a reload.
	if (chosen.checked) void show();
}
