/** Two people changed one place: both versions side by side, and the choice between them. */

import { button, el } from '../dom.js';

/** @import {Both} from '../types.js' */

/** @type {Promise<unknown>} */
let line = Promise.resolve();

/**
 * Show both versions, one question after the other.
 * @param {Both} both @param {(both: Both) => unknown} insist puts through what was meant
 * @returns {Promise<unknown>} settled when the choice is made
 */
export function chooseBetween(both, insist) {
	line = line.then(() => ask(both, insist));
	return line;
}

/** @param {Both} both @param {(both: Both) => unknown} insist */
function ask(both, insist) {
	return new Promise((done) => {
		const dialog = /** @type {HTMLDialogElement} */ (
			el('dialog', { class: 'conflict', 'aria-labelledby': 'conflict-title' })
		);
		const who = both.who.join(' and ') || 'somebody else';
		const take = button('', 'plain', () => dialog.close(), 'Keep theirs');
		const put = button('', 'plain strong', () => dialog.close('mine'), 'Put mine');
		put.disabled = both.command === null;
		dialog.append(
			el('h2', { id: 'conflict-title' }, 'Two of you changed the same thing'),
			version('theirs', `Theirs, by ${who}: as it is now`, both.theirs, take),
			version('mine', 'Mine: not kept yet', both.mine, put),
		);
		if (put.disabled) {
			dialog.append(el('p', { class: 'hint' }, 'My version no longer fits the plan as it is now.'));
		}
		dialog.addEventListener('close', () => {
			dialog.remove();
			done(dialog.returnValue === 'mine' ? insist(both) : null);
		});
		document.body.append(dialog);
		dialog.showModal();
	});
}

/** @param {string} name @param {string} title @param {string[]} phrases @param {HTMLElement} act */
function version(name, title, phrases, act) {
	return el('section', { class: `version ${name}`, 'aria-label': name }, [
		el('h3', {}, title),
		el(
			'ul',
			{},
			phrases.map((phrase) => el('li', {}, phrase)),
		),
		act,
	]);
}
