/**
 * Choosing sheet, paper and scale shows it at once; it follows the plan while others change it.
 * The sheet looked at last is shown again to who comes without naming one.
 */

import { need } from '../dom.js';
import { follow } from '../live.js';

document.documentElement.classList.add('scripted');
const form = need(document, '#choose', HTMLFormElement);
form.addEventListener('change', () => form.submit());

const last = `sheet of ${form.dataset['plan'] ?? ''}`;

/** @returns {string|null} the sheet looked at last, where this browser keeps such things */
function remembered() {
	try {
		return localStorage.getItem(last);
	} catch {
		return null;
	}
}

/** @param {string} sheet */
function remember(sheet) {
	try {
		localStorage.setItem(last, sheet);
	} catch {
		// a browser that keeps nothing shows the plan first
	}
}

/** @type {HTMLInputElement[]} */
const sheets = [...form.querySelectorAll('input[name="sheet"]')].filter((one) => one instanceof HTMLInputElement);
const again = remembered();
const asked = new URLSearchParams(location.search);
if (again && !asked.toString() && sheets.some((one) => one.value === again && !one.checked)) {
	asked.set('sheet', again);
	location.replace(`?${asked}`);
} else {
	const now = sheets.find((one) => one.checked);
	if (now) remember(now.value);
}

const shown = Number(form.dataset['revision']);
follow(form.dataset['plan'] ?? '', (news) => {
	if (news?.revision !== undefined && news.revision !== shown) location.reload();
});
