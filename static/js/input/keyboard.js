/** Keys. The shortcuts themselves stand in the template, on the buttons that do the same. */

import { takesText } from '../dom.js';

/**
 * @param {object} parts @param {HTMLElement} parts.sheet where single letters count
 * @param {HTMLElement} parts.beside the card of the chosen piece: they count there too
 * @param {(dx: number, dy: number, started: number) => boolean} parts.nudge
 * @param {() => void} parts.escape
 * @param {() => void} parts.enter to the figures of the chosen piece
 */
export function keyboard(parts) {
	document.addEventListener('keydown', (event) => {
		const started = performance.now();
		const target = event.target instanceof Element ? event.target : null;
		if (event.defaultPrevented || event.isComposing) return;
		if (event.key === 'Escape') {
			if (!target?.closest('dialog, form')) parts.escape();
			return;
		}
		if (takesText(target)) return;
		const inSheet = parts.sheet.contains(target) || parts.beside.contains(target);
		if (inSheet && arrow(event, parts.nudge, started)) {
			event.preventDefault();
			return;
		}
		if (inSheet && target?.matches('[data-piece]') && (event.key === 'Enter' || event.key === ' ')) {
			event.preventDefault();
			parts.enter();
			return;
		}
		const wanted = pressed(event);
		if (!wanted.includes('ctrl+') && !inSheet) return;
		for (const button of document.querySelectorAll('button[data-keys]')) {
			if (!(button instanceof HTMLButtonElement) || button.disabled) continue;
			if (button.parentElement?.closest('[hidden]')) continue;
			if (!(button.dataset['keys'] ?? '').split(' ').includes(wanted)) continue;
			event.preventDefault();
			button.click();
			return;
		}
	});
}

/**
 * @param {KeyboardEvent} event @param {(dx: number, dy: number, started: number) => boolean} nudge
 * @param {number} started
 */
function arrow(event, nudge, started) {
	if (event.ctrlKey || event.metaKey || event.altKey) return false;
	const step = event.shiftKey ? 100 : 10;
	const ways = /** @type {Record<string, [number, number]>} */ ({
		ArrowLeft: [-1, 0],
		ArrowRight: [1, 0],
		ArrowUp: [0, -1],
		ArrowDown: [0, 1],
	});
	const way = ways[event.key];
	return way ? nudge(way[0] * step, way[1] * step, started) : false;
}

/** @param {KeyboardEvent} event @returns {string} such as "ctrl+shift+z" */
function pressed(event) {
	const key = event.key.toLowerCase();
	const control = event.ctrlKey || event.metaKey ? 'ctrl+' : '';
	// Shift is part of a sign such as "+" and only counts beside letters.
	const shift = event.shiftKey && /^[a-z]$/.test(key) ? 'shift+' : '';
	return control + shift + key;
}
