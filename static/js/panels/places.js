/** "Where does it fit?": places with what each costs, numbered as their outlines on the plan. */

import { button, el } from '../dom.js';

/** @import {Spot} from '../types.js' */

/**
 * @param {HTMLElement} root @param {Promise<{spots: Spot[], hint: string}>} asked
 * @param {object} hand
 * @param {(spots: Spot[], take: (spot: Spot) => void) => void} hand.draw none clears
 * @param {(spot: Spot, at: number) => void} hand.show one that is pointed at
 * @param {() => void} hand.hide @param {(spot: Spot) => void} hand.take
 */
export async function placesPanel(root, asked, hand) {
	const from = document.activeElement;
	root.hidden = false;
	root.replaceChildren(el('p', { class: 'hint is-looking' }, 'Looking at places.'));
	hand.draw([], hand.take);
	try {
		const { spots, hint } = await asked;
		if (root.hidden) return;
		const choices = spots.map((spot, i) => {
			const choice = button('', 'remedy', () => hand.take(spot), '');
			choice.append(el('b', { class: 'place-number' }, String(i + 1)), el('span', {}, spot.says));
			for (const event of ['pointerenter', 'focus']) {
				choice.addEventListener(event, () => hand.show(spot, i));
			}
			for (const event of ['pointerleave', 'blur']) choice.addEventListener(event, () => hand.hide());
			return choice;
		});
		root.onkeydown = (event) => {
			const choice = /^[1-9]$/.test(event.key) ? choices[Number(event.key) - 1] : undefined;
			if (!choice || event.ctrlKey || event.metaKey || event.altKey) return;
			event.preventDefault();
			choice.click();
		};
		root.replaceChildren(...choices, ...(hint ? [el('p', { class: 'hint' }, hint)] : []));
		hand.draw(spots, hand.take);
		root.scrollIntoView({ block: 'nearest' });
		if (document.activeElement === from) choices[0]?.focus({ preventScroll: true });
	} catch (error) {
		const why = error instanceof Error ? error.message : String(error);
		root.replaceChildren(el('p', { class: 'hint' }, why));
	}
}
