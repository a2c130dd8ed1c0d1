/** A door or window of another kind is of another size: the examples in its empty fields follow. */

/** @param {HTMLElement} panel @returns {() => void} brings the examples up to date */
export function suitExamples(panel) {
	function suit() {
		for (const form of panel.querySelectorAll('.opening-form')) {
			const kind = form.querySelector('input[name="kind"]:checked');
			if (!(kind instanceof HTMLInputElement)) continue;
			const sizes = panel.querySelector(`[data-example-of="${CSS.escape(kind.value)}"]`);
			if (!(sizes instanceof HTMLElement)) continue;
			for (const name of ['width', 'height']) {
				const input = form.querySelector(`input[name="${name}"]`);
				if (input instanceof HTMLInputElement) input.placeholder = sizes.dataset[name] ?? '';
			}
		}
	}
	panel.addEventListener('change', suit);
	suit();
	return suit;
}
