/** Quantities and cost: each change is kept at once; the page the server gives back is laid over. */

import { askPage, bodyOf } from '../api.js';
import { need } from '../dom.js';
import { Drafts, GIVEN_BACK } from './drafts.js';
import { patch, remember } from './patch.js';
import { SaveQueue } from './save-queue.js';
import './step-keys.js';

document.documentElement.classList.add('scripted');

const PAGE = '#account';
/** How soon a page is asked for again while something better is looked for. */
const AGAIN_MS = 700;
const saving = new SaveQueue();
const drafts = new Drafts();
/** Counts what was sent or chosen: an answer that was asked for before it is no longer shown. */
let turn = 0;
/** The next time that the page is asked for, where that is set. */
let next = 0;

/** Tell the laid floor how many mm a pixel is, so that its lettering keeps its size. */
function fit() {
	const stage = document.querySelector('.laid-stage');
	const box = stage?.querySelector('svg')?.viewBox.baseVal;
	if (!(stage instanceof HTMLElement) || !box) return;
	const { width, height } = stage.getBoundingClientRect();
	if (width && height) stage.style.setProperty('--u', String(Math.max(box.width / width, box.height / height)));
}

/**
 * Lay a page from the server over this one.
 * @param {Document} fresh
 * @param {HTMLFormElement|null} sent
 * @returns {{says: string, moved: boolean}} what was done last, and whether something else is chosen now
 */
function show(fresh, sent) {
	const content = need(fresh, PAGE, HTMLElement);
	const now = need(document, PAGE, HTMLElement);
	const panel = need(document, '#panel', HTMLElement);
	const { of = '', says = '' } = content.dataset;
	const moved = of !== now.dataset['of'];
	if (moved) {
		panel.replaceChildren();
		need(document, '.account-scroll', HTMLElement).scrollTop = 0;
	}
	patch(now, content, sent);
	fit();
	const top = need(document, 'header.top', HTMLElement);
	const above = need(fresh, 'header.top', HTMLElement);
	for (const step of ['undo', 'redo']) {
		const one = `form[data-step="${step}"]`;
		patch(need(top, one, HTMLFormElement), need(above, one, HTMLFormElement));
	}
	const print = top.querySelector('a.primary');
	const printed = above.querySelector('a.primary');
	if (print && printed) patch(print, printed);
	if (moved) history.replaceState(null, '', `?of=${of}`);
	askAgain();
	return { says, moved };
}

/** While something better is looked for the page is asked for again. @param {number} [ms] */
function askAgain(ms = AGAIN_MS) {
	window.clearTimeout(next);
	if (document.querySelector(`${PAGE}[data-looking]`)) next = window.setTimeout(again, ms);
}

/** Lay over what was found meanwhile. @param {Document} fresh */
function renew(fresh) {
	const page = need(document, PAGE, HTMLElement);
	if (!page.querySelector('[aria-invalid], .faults')) {
		show(fresh, null);
		drafts.giveBack(document);
		return;
	}
	// what was refused stays to be read till it is put right
	patch(need(page, '.account-scroll', HTMLElement), need(fresh, '.account-scroll', HTMLElement));
	page.toggleAttribute('data-looking', need(fresh, PAGE, HTMLElement).hasAttribute('data-looking'));
	askAgain();
}

async function again() {
	const asked = turn;
	try {
		const { fresh } = await askPage(location.href, PAGE);
		// what was sent or chosen meanwhile brings its own page
		if (asked !== turn || saving.waiting) return askAgain();
		renew(fresh);
	} catch {
		// the program may be starting anew: the page as it is is still true
		askAgain(AGAIN_MS * 4);
	}
}

/**
 * @param {HTMLFormElement} form
 * @param {HTMLElement|null} [submitter]
 */
function send(form, submitter = null) {
	const body = bodyOf(form, submitter);
	const step = form.dataset['step'];
	const pressed = form.dataset['atOnce'] === undefined;
	remember(form);
	turn += 1;
	saving.tell('saving …');
	// what was wrong before is not said of what is typed now
	form.classList.add('is-sent');
	return saving.add(async () => {
		const { fresh, ok } = await askPage(form.action, PAGE, body).finally(() => form.classList.remove('is-sent'));
		if (!ok) {
			show(fresh, form);
			drafts.giveBack(document);
			saving.tell('not kept: the field says what is wrong', true);
			// what is pressed leads to what is wrong; what is sent by itself leaves the hand where it is
			const first = pressed && form.querySelector('[aria-invalid]');
			if (first instanceof HTMLElement) first.focus();
			return;
		}
		for (const bad of form.querySelectorAll('[aria-invalid]')) bad.removeAttribute('aria-invalid');
		drafts.sent(form, Object.fromEntries(body));
		const { says, moved } = show(fresh, form);
		// what a form shows by now is what is kept; what was typed since comes after it
		if (pressed && !step) form.reset();
		drafts.giveBack(document);
		saving.tell(step ? `${step} done` : says ? `saved: ${says}` : 'saved');
		// the button of what is chosen now has gone, and the hand with it
		const lost = pressed && document.activeElement === document.body;
		if (moved || lost) need(document, '#panel h2', HTMLElement).focus({ preventScroll: !moved });
	});
}

/** @param {string} of @param {boolean} byKeys */
function choose(of, byKeys) {
	turn += 1;
	return saving.add(async () => {
		const { fresh } = await askPage(`?of=${encodeURIComponent(of)}`, PAGE);
		show(fresh, null);
		saving.tell(drafts.giveBack(document) ? GIVEN_BACK : '');
		if (byKeys) need(document, '#panel h2', HTMLElement).focus();
	});
}

document.addEventListener('submit', (event) => {
	const form = event.target;
	if (!(form instanceof HTMLFormElement) || !(form.dataset['edit'] ?? form.dataset['step'])) return;
	event.preventDefault();
	// Enter in a field that has changed sends the form by its change already
	if (form.dataset['atOnce'] !== undefined && saving.waiting) return;
	void send(form, event.submitter);
});
document.addEventListener('change', (event) => {
	const input = event.target;
	if (!(input instanceof HTMLInputElement || input instanceof HTMLSelectElement)) return;
	const form = input.form;
	if (form?.dataset['atOnce'] === undefined) return;
	// a choice that asks for more waits until that is typed
	const partner = form.elements.namedItem(input.dataset['waits'] ?? '');
	if (input.value && partner instanceof HTMLInputElement && !partner.value.trim()) {
		partner.focus();
		return;
	}
	// of several lengths that belong together the last one sends them
	if (input.closest('.zone-field')) {
		const rest = [...form.querySelectorAll('.zone-field input:not([placeholder="0"])')];
		if (rest.some((one) => one instanceof HTMLInputElement && !one.value.trim())) return;
	}
	void send(form);
});
document.addEventListener('click', (event) => {
	const link = event.target instanceof Element ? event.target.closest('a[data-of]') : null;
	if (!(link instanceof Element) || event.ctrlKey || event.metaKey || event.shiftKey) return;
	event.preventDefault();
	void choose(link.getAttribute('data-of') ?? '', event.detail === 0);
});
window.addEventListener('resize', fit);
fit();
// what is not counted yet is asked for at once
askAgain(document.querySelector(`${PAGE}[data-looking="counting"]`) ? 0 : AGAIN_MS);
drafts.watch(need(document, PAGE, HTMLElement));
if (drafts.giveBack(document)) saving.tell(GIVEN_BACK);
