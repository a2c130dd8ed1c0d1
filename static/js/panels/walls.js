/** "Try each wall": the best place along each wall, shown before one is chosen. */

import { button, el } from '../dom.js';

/** @import {Place} from '../types.js' */

/**
 * @param {HTMLElement} root @param {Promise<{places: Place[], left_out: string[]}>} asked
 * @param {object} hand @param {(place: Place) => void} hand.show
 * @param {() => void} hand.hide @param {(place: Place) => void} hand.take
 */
export async function wallsPanel(root, asked, hand) {
	root.hidden = false;
	root.replaceChildren(el('p', { class: 'hint is-looking' }, 'Trying each wall.'));
	try {
		const { places, left_out: leftOut } = await asked;
		const choices = places.map((place) => {
			const wall = /\bat (?:the )?(.+?): /.exec(place.sentence)?.[1] ?? place.wall;
			const words = `${wall[0]?.toUpperCase()}${wall.slice(1)}: ${place.stops} stop, ${place.cares} care`;
			const choice = button('', 'remedy', () => hand.take(place), words);
			choice.title = place.sentence;
			for (const event of ['pointerenter', 'focus']) {
				choice.addEventListener(event, () => hand.show(place));
			}
			for (const event of ['pointerleave', 'blur']) {
				choice.addEventListener(event, () => hand.hide());
			}
			return choice;
		});
		const hints = [];
		if (leftOut.length) hints.push(`The plan is so large that these were not tried: ${leftOut.join(', ')}.`);
		else if (!choices.length) hints.push('There is no wall here that its back can go to.');
		root.replaceChildren(...choices, ...hints.map((words) => el('p', { class: 'hint' }, words)));
		root.scrollIntoView({ block: 'nearest' });
	} catch (error) {
		const why = error instanceof Error ? error.message : String(error);
		root.replaceChildren(el('p', { class: 'hint' }, why));
	}
}
