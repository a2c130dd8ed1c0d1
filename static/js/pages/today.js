/** Today's page: hours by a thumb, ticks that this device remembers, photos made small before they go. */

import { takePhotos } from './small_photo.js';

/** @param {HTMLButtonElement} button */
function stepsHours(button) {
	button.hidden = false;
	button.addEventListener('click', () => {
		const field = button.parentElement?.querySelector('input');
		if (!field) return;
		const hours = Number(field.value.replace(',', '.')) || 0;
		field.value = String(Math.max(0.25, hours + Number(button.dataset['step'])));
	});
}

/**
 * Ticks of a list are a help of the hand, not of the plan: they stay on this device.
 *
 * @param {HTMLElement} list
 */
function remembersTicks(list) {
	const key = `ticks.${list.dataset['ticks']}`;
	const boxes = [...list.querySelectorAll('input')];
	const ticked = new Set((localStorage.getItem(key) ?? '').split('\n'));
	for (const box of boxes) {
		const words = box.closest('li')?.textContent?.trim() ?? '';
		box.checked = ticked.has(words);
		box.addEventListener('change', () => {
			const now = boxes.filter((one) => one.checked);
			const all = now.map((one) => one.closest('li')?.textContent?.trim() ?? '');
			localStorage.setItem(key, all.join('\n'));
		});
	}
}

for (const button of document.querySelectorAll('.took button'))
	if (button instanceof HTMLButtonElement) stepsHours(button);
for (const list of document.querySelectorAll('[data-ticks]')) if (list instanceof HTMLElement) remembersTicks(list);
takePhotos(document);
