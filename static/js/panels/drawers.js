/** On a phone slip, shelf and card are drawers from the bottom; one is open at a time. */

/**
 * @param {HTMLElement} bar with buttons that name their drawer in `aria-controls`
 * @param {(px: number) => void} covered told how high the open drawer is
 */
export function drawers(bar, covered) {
	/** @type {HTMLButtonElement[]} */
	const buttons = [...bar.querySelectorAll('button')];
	/** @param {string|null} name */
	const show = (name) => {
		let height = 0;
		for (const button of buttons) {
			const id = button.getAttribute('aria-controls') ?? '';
			const open = id === name;
			button.setAttribute('aria-expanded', String(open));
			const drawer = document.getElementById(id);
			drawer?.classList.toggle('is-open', open);
			if (open) height = drawer?.offsetHeight ?? 0;
		}
		covered(bar.offsetHeight > 0 ? height : 0);
	};
	for (const button of buttons) {
		button.addEventListener('click', () => {
			const open = button.getAttribute('aria-expanded') === 'true';
			show(open ? null : button.getAttribute('aria-controls'));
		});
	}
	return { show, close: () => show(null) };
}
