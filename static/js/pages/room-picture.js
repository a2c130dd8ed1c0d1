/** The file of a picture: one that is too large is told before it is sent, and stays chosen. */

const MOST_BYTES = 40_000_000;

/** @param {HTMLElement} panel */
export function weighPicture(panel) {
	/** @param {Event} event */
	const weigh = (event) => {
		const at = event.target instanceof Element ? event.target.closest('form') : null;
		const input = at?.querySelector('input[type="file"]');
		const words = at?.querySelector('.form-fault');
		if (!(input instanceof HTMLInputElement) || !(words instanceof HTMLElement)) return;
		const size = input.files?.[0]?.size ?? 0;
		words.hidden = size <= MOST_BYTES;
		words.textContent = words.hidden
			? ''
			: `The picture has ${(size / 1e6).toFixed(1)} MB; at most 40 MB are taken. Make it smaller, or photograph the sketch anew.`;
		if (!words.hidden) event.preventDefault();
	};
	panel.addEventListener('change', weigh);
	panel.addEventListener('submit', weigh);
}
