/** An opening begins somewhere along its wall: which corner that is counted from, in words and drawn. */

/** @param {HTMLElement} stage @param {HTMLElement} panel @returns {() => void} brings the words up to date */
export function tellWhereItBegins(stage, panel) {
	/** @param {HTMLFormElement} form */
	const wallOf = (form) => {
		const wall = form.elements.namedItem('wall');
		return wall instanceof HTMLSelectElement ? wall.value : '';
	};

	function name() {
		for (const form of panel.querySelectorAll('form[data-begins]')) {
			if (!(form instanceof HTMLFormElement)) continue;
			const label = form.querySelector('[data-field="offset"] label');
			const corner = cornerOf(wallOf(form))?.querySelector('.corner-number')?.textContent;
			if (!label || !corner) continue;
			label.textContent = `Begins, from corner ${corner} (the ${form.dataset['begins']} end seen from inside)`;
		}
	}

	/** @param {string} wall the corner at which it starts */
	const cornerOf = (wall) =>
		[...stage.querySelectorAll('.pick.corner')].find((one) => one.getAttribute('data-of') === `corner:${wall}`);

	/** Mark the corner while the field has the focus. */
	function point() {
		for (const one of stage.querySelectorAll('.pick.is-meant')) one.classList.remove('is-meant');
		const field = document.activeElement;
		const asks = field instanceof HTMLInputElement && field.name === 'offset' && panel.contains(field);
		if (asks && field.form?.dataset['begins']) cornerOf(wallOf(field.form))?.classList.add('is-meant');
	}

	panel.addEventListener('focusin', point);
	panel.addEventListener('focusout', () => setTimeout(point));
	panel.addEventListener('change', name);
	name();
	return () => {
		name();
		point();
	};
}
