/** The list of plans: a chosen or dropped file is taken at once, times are told as here. */

import { need } from '../dom.js';
import { tellTimes } from './times.js';

document.documentElement.classList.add('scripted');

const form = need(document, 'form.import', HTMLFormElement);
const file = need(form, 'input[type=file]', HTMLInputElement);

file.addEventListener('change', () => {
	if (file.files?.length) form.submit();
});

/** @param {DragEvent} event */
function carriesFile(event) {
	return event.dataTransfer?.types.includes('Files') ?? false;
}

document.addEventListener('dragover', (event) => {
	if (!carriesFile(event)) return;
	event.preventDefault();
	form.classList.add('over');
});
document.addEventListener('dragleave', (event) => {
	if (event.relatedTarget === null) form.classList.remove('over');
});
document.addEventListener('drop', (event) => {
	if (!carriesFile(event) || !event.dataTransfer) return;
	event.preventDefault();
	form.classList.remove('over');
	file.files = event.dataTransfer.files;
	if (file.files.length) form.submit();
});

tellTimes();

for (const rename of document.querySelectorAll('details.rename')) {
	rename.addEventListener('toggle', () => {
		if (rename instanceof HTMLDetailsElement && rename.open) {
			rename.querySelector('input')?.select();
		}
	});
	rename.addEventListener('keydown', (event) => {
		if (event instanceof KeyboardEvent && event.key === 'Escape') {
			rename.removeAttribute('open');
			rename.querySelector('summary')?.focus();
		}
	});
}
