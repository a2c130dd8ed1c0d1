/** Films over the plan: working spaces, dimensions, ways, and where a movement has its headroom. */

import { el, need, say } from '../dom.js';
import { routesFilm } from './routes.js';

/** @import {Desk} from '../types.js' */

/**
 * @param {HTMLElement} root the list of films @param {Desk} desk
 * @param {Record<string, string>} movements names by key
 */
export function films(root, desk, movements) {
	const { stage } = desk.viewport;
	const layer = need(stage, '.overlay .film-layer', SVGGElement);
	const headroom = need(root, '[name="headroom"]', HTMLSelectElement);
	const said = need(root, '.hint', HTMLElement);
	let asked = 0;

	const choices = () => {
		const chosen = headroom.value;
		const { people } = desk.store.state.plan;
		const options = people.flatMap((person) =>
			person.wishes
				.filter((wish) => wish.wish !== 'no')
				.map((wish) => {
					const name = `${movements[wish.movement] ?? wish.movement}, ${person.label || person.stature_mm}`;
					return el('option', { value: `${person.id} ${wish.movement}` }, name);
				}),
		);
		headroom.replaceChildren(el('option', { value: '' }, 'no film'), ...options);
		headroom.value = chosen;
		if (headroom.selectedIndex < 0) headroom.value = '';
	};

	const show = async () => {
		const [person = '', movement = ''] = headroom.value.split(' ');
		const turn = (asked += 1);
		if (!movement) {
			layer.replaceChildren();
			say(said, '');
			return;
		}
		try {
			const { least, need } = await desk.sync.api.region(person, movement);
			if (turn !== asked) return;
			const film = new DOMParser().parseFromString(
				`<svg xmlns="http://www.w3.org/2000/svg">${least}${need}</svg>`,
				'image/svg+xml',
			).documentElement;
			layer.replaceChildren(...[...film.children].map((part) => document.importNode(part, true)));
			const none = !layer.querySelector('path');
			say(said, none ? 'It fits nowhere on the open floor.' : 'Green: where it fits on the open floor.');
		} catch (error) {
			say(said, error instanceof Error ? error.message : String(error));
		}
	};

	root.addEventListener('change', (event) => {
		if (event.target === headroom) void show();
		else if (event.target instanceof HTMLInputElement && event.target.name !== 'routes') {
			stage.classList.toggle(`without-${event.target.name}`, !event.target.checked);
		}
	});
	desk.store.subscribe((now, was) => {
		if (now.plan === was.plan) return;
		choices();
		if (headroom.value) void show();
	});
	choices();
	routesFilm(root, desk);
}
