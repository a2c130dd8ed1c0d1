/** What fits in here: the page is there at once, the answer comes when every kind of kit was tried. */

import { ApiError, askPage } from '../api.js';

const waiting = document.querySelector('[data-whole]');
const words = waiting?.firstElementChild;
if (waiting instanceof HTMLElement && words) {
	try {
		const { fresh } = await askPage(waiting.dataset['whole'] ?? '', '.fits-parts');
		const answer = fresh.querySelector('#fits');
		if (answer) waiting.parentElement?.replaceWith(answer);
	} catch (fault) {
		if (!(fault instanceof ApiError)) throw fault;
		words.classList.remove('is-looking');
		words.textContent = `It could not be tried: ${fault.message}. Load the page again for another try.`;
	}
}
