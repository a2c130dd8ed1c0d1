/** Lists that fold out over a page close by Escape, by a press elsewhere, and for one another. */

const LISTS = 'details.menu, details.films';

/** @returns {HTMLDetailsElement[]} those that are open */
function opened() {
	return /** @type {HTMLDetailsElement[]} */ ([...document.querySelectorAll(LISTS)]).filter((one) => one.open);
}

/** @param {EventTarget|null} target what stays open for it */
function closeAllBut(target) {
	for (const list of opened()) {
		if (!(target instanceof Node && list.contains(target))) list.open = false;
	}
}

document.addEventListener('pointerdown', (event) => closeAllBut(event.target), { capture: true });
document.addEventListener(
	'click',
	(event) => {
		// by keyboard there was no press before: what opens something else closes these
		const opens = event.target instanceof Element && event.target.closest('summary, [aria-controls]');
		if (opens) closeAllBut(event.target);
	},
	{ capture: true },
);
window.addEventListener(
	'keydown',
	(event) => {
		const [list] = opened();
		if (event.key !== 'Escape' || event.isComposing || !list) return;
		event.preventDefault();
		event.stopImmediatePropagation();
		list.open = false;
		list.querySelector('summary')?.focus();
	},
	{ capture: true },
);

export {};
