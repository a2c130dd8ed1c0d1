/** What to buy: a press that takes seconds says at once what it works on. */

const WORDS = { list: 'Looking for what fits in here together …', set: 'Placing the set in your room …' };

/** What the lines said before, for a page that the browser brings back. @type {Map<HTMLElement, string>} */
const before = new Map();

/** @param {HTMLElement} line @param {string} words */
function look(line, words) {
	before.set(line, line.textContent ?? '');
	line.textContent = words;
	line.classList.add('is-looking');
}

document.addEventListener('submit', (event) => {
	const form = event.target;
	if (!(form instanceof HTMLFormElement)) return;
	const line = form.querySelector('.go .aside, :scope > .aside');
	if (!(line instanceof HTMLElement)) return;
	const by = event.submitter instanceof HTMLButtonElement ? event.submitter.name : '';
	look(line, by === 'set' ? WORDS.set : WORDS.list);
});
document.addEventListener('click', (event) => {
	const set = event.target instanceof Element ? event.target.closest('a.start-set') : null;
	const shown = document.querySelector('.start-shown:not(.is-list) :is(.empty, h2)');
	const elsewhere = event.ctrlKey || event.metaKey || event.shiftKey;
	if (set && !elsewhere && shown instanceof HTMLElement) look(shown, WORDS.set);
});
window.addEventListener('pageshow', (event) => {
	if (!event.persisted) return;
	for (const [line, words] of before) {
		line.textContent = words;
		line.classList.remove('is-looking');
	}
	before.clear();
});
