/** Today's page: a thumb makes the hours more or less by quarters. */

for (const button of document.querySelectorAll('.took button')) {
	if (!(button instanceof HTMLButtonElement)) continue;
	button.hidden = false;
	button.addEventListener('click', () => {
		const field = button.parentElement?.querySelector('input');
		if (!field) return;
		const hours = Number(field.value.replace(',', '.')) || 0;
		field.value = String(Math.max(0.25, hours + Number(button.dataset['step'])));
	});
}
