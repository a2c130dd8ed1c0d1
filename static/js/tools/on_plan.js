/** Films over the plan: working spaces, dimensions, ways, and where a movement has its headroom. */

import { el, need, say } from '../dom.js';
import { long } from '../model/written.js';
import { routesFilm } from './routes.js';

/** @import {Desk} from '../types.js' */

const ON_A_PHONE = '(max-width: 700px)';

/**
 * @param {HTMLElement} root the list of films @param {Desk} desk
 * @param {Record<string, string>} movements names by key
 */
export function showOnPlan(root, desk, movements) {
	const { stage } = desk.viewport;
	const layer = need(stage, '.overlay .film-layer', SVGGElement);
	const headroom = need(root, '[name="headroom"]', HTMLSelectElement);
	const nobody = need(root, '.no-wish', HTMLElement);
	const words = need(document, '.film-words', HTMLElement);
	const status = need(words, '.room-said', HTMLElement);
	const key = need(words, '.room-key', HTMLElement);
	const margin = words.parentElement;
	const after = words.nextElementSibling;
	let asked = 0;

	// The words stand beside the drawing; on a phone there is no room but in the drawer.
	const phone = matchMedia(ON_A_PHONE);
	const lay = () => (phone.matches ? root.append(words) : margin?.insertBefore(words, after));
	phone.addEventListener('change', lay);
	lay();

	const choices = () => {
		const chosen = headroom.value;
		const { people, units } = desk.store.state.plan;
		const options = people.flatMap((person) =>
			person.wishes
				.filter((wish) => wish.wish !== 'no')
				.map((wish) => {
					const who = person.label || long(person.stature_mm, units);
					const name = `${movements[wish.movement] ?? wish.movement}, ${who}`;
					return el('option', { value: `${person.id} ${wish.movement}` }, name);
				}),
		);
		headroom.replaceChildren(el('option', { value: '' }, 'none'), ...options);
		headroom.value = chosen;
		if (headroom.selectedIndex < 0) headroom.value = '';
		headroom.disabled = options.length === 0;
		nobody.hidden = options.length > 0;
	};

	/** @param {string} text @param {boolean} [some] whether there is anything to give a key of */
	const explain = (text, some = false) => {
		say(status, text);
		key.hidden = !some;
		look();
	};

	const show = async () => {
		const [person = '', movement = ''] = headroom.value.split(' ');
		const turn = (asked += 1);
		if (!movement) {
			layer.replaceChildren();
			explain('');
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
			const some = layer.querySelector('path') !== null;
			const name = headroom.selectedOptions[0]?.textContent ?? '';
			const where = some
				? 'by walls and ceiling alone; kit and mats are not counted.'
				: 'it fits nowhere under this ceiling, even with the room empty.';
			explain(`${name.charAt(0).toUpperCase()}${name.slice(1)}: ${where}`, some);
		} catch (error) {
			explain(error instanceof Error ? error.message : String(error));
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
		else if (status.textContent) explain('');
	});
	const ways = routesFilm(root, words, desk, () => look());
	const look = () => {
		words.hidden = !status.textContent && ways.hidden;
	};
	choices();
	look();
}
