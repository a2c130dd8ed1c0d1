/** What is wrong with a form, beside its fields. */

/** @param {HTMLFormElement} form @param {string} field @param {string} sentence */
export function mark(form, field, sentence) {
	const holder = [...form.querySelectorAll('[data-field]')].find(
		(one) => one instanceof HTMLElement && one.dataset['field'] === field,
	);
	const words = holder?.querySelector('.fault');
	const input = holder?.querySelector('input, select');
	if (
		!(words instanceof HTMLElement) ||
		!input ||
		(!words.offsetParent && holder instanceof HTMLElement && !holder.offsetParent)
	)
		return false;
	words.textContent = sentence;
	words.hidden = false;
	holder?.classList.add('wrong');
	input.setAttribute('aria-invalid', 'true');
	return true;
}

/** @param {HTMLFormElement} form */
export function clear(form) {
	for (const words of form.querySelectorAll('.fault')) {
		if (words instanceof HTMLElement) words.hidden = true;
		words.textContent = '';
	}
	for (const wrong of form.querySelectorAll('.wrong')) wrong.classList.remove('wrong');
	for (const input of form.querySelectorAll('[aria-invalid]')) input.removeAttribute('aria-invalid');
}
