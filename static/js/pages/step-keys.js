/** Undo and redo by keys, on pages where both are forms in the head. */

import { need } from '../dom.js';

/**
 * Tell which step a key asks for, if any; a field keeps its own undo.
 * @param {KeyboardEvent} event
 * @returns {'undo'|'redo'|null}
 */
export function stepOf(event) {
	const { target } = event;
	const typing =
		(target instanceof HTMLInputElement && !['radio', 'checkbox'].includes(target.type)) ||
		target instanceof HTMLTextAreaElement;
	if (!(event.ctrlKey || event.metaKey) || event.altKey || typing) return null;
	const key = event.key.toLowerCase();
	if (key === 'y' && !event.shiftKey) return 'redo';
	if (key !== 'z') return null;
	return event.shiftKey ? 'redo' : 'undo';
}

document.addEventListener('keydown', (event) => {
	const way = stepOf(event);
	if (!way) return;
	event.preventDefault();
	const form = need(document, `form[data-step="${way}"]`, HTMLFormElement);
	const button = need(form, 'button', HTMLButtonElement);
	if (!button.disabled) form.requestSubmit(button);
});
