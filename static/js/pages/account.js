/** Quantities and cost: each change is kept at once; the page the server gives back is laid over. */

import { need } from '../dom.js';
import { patch, remember } from './room-patch.js';
import './step-keys.js';

document.documentElement.classList.add('scripted');

const told = need(document, '#saved', HTMLElement);
/** @type {Promise<void>} what is being kept, and what waits behind it */
let line = Promise.resolve();
let waiting = 0;

/**
 * @param {string} words
 * @param {boolean} [bad]
 */
function tell(words, bad = false) {
	told.textContent = words;
	told.title = words;
	told.classList.toggle('bad', bad);
}

/** @param {() => Promise<void>} work */
function queue(work) {
	waiting += 1;
	line = line.then(work).finally(() => {
		waiting -= 1;
	});
	return line;
}

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
 * @param {string} markup
 * @param {HTMLFormElement|null} sent
 * @returns {HTMLElement} the fresh content
 */
function show(markup, sent) {
	const fresh = new DOMParser().parseFromString(markup, 'text/html');
	const content = need(fresh, '#account', HTMLElement);
	const now = need(document, '#account', HTMLElement);
	const moved = content.dataset['of'] !== now.dataset['of'];
	const says = content.cloneNode(false);
	if (moved) {
		const held = need(document, '#panel', HTMLElement);
		held.replaceChildren();
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
	return /** @type {HTMLElement} */ (says);
}

/** @param {string} address @param {RequestInit} [init] @returns {Promise<Response>} */
async function ask(address, init) {
	try {
		return await fetch(address, init);
	} catch {
		throw new Error('the program does not answer; is it still running?');
	}
}

/**
 * @param {HTMLFormElement} form
 * @param {HTMLElement|null} [submitter]
 */
function send(form, submitter = null) {
	const body = new FormData(form, submitter instanceof HTMLButtonElement ? submitter : null);
	const step = form.dataset['step'];
	const upload = form.enctype === 'multipart/form-data';
	remember(form);
	tell('saving …');
	return queue(async () => {
		const before = need(document, '#account', HTMLElement).dataset['of'];
		try {
			const answer = await ask(form.action, {
				method: 'POST',
				body: upload ? body : new URLSearchParams(/** @type {any} */ (body)),
			});
			const markup = await answer.text();
			if (!markup.includes('id="account"')) {
				const words = new DOMParser().parseFromString(markup, 'text/html').querySelector('main p');
				tell(words?.textContent || `the program answered with fault ${answer.status}`, true);
				return;
			}
			if (answer.ok) for (const bad of form.querySelectorAll('[aria-invalid]')) bad.removeAttribute('aria-invalid');
			const fresh = show(markup, form);
			if (answer.ok) {
				if (form.dataset['atOnce'] === undefined && !step) form.reset();
				tell(step ? `${step} done` : fresh.dataset['says'] ? `saved: ${fresh.dataset['says']}` : 'saved');
				const of = fresh.dataset['of'] ?? '';
				history.replaceState(null, '', `?of=${of}`);
				if (of !== before) need(document, '#panel h2', HTMLElement).focus();
			} else {
				tell('not kept: what is wrong stands beside the field', true);
			}
		} catch (fault) {
			tell(fault instanceof Error ? fault.message : String(fault), true);
		}
	});
}

/** @param {string} of @param {boolean} byKeys */
function choose(of, byKeys) {
	return queue(async () => {
		try {
			const answer = await ask(`?of=${encodeURIComponent(of)}`);
			show(await answer.text(), null);
			history.replaceState(null, '', `?of=${of}`);
			tell('');
			if (byKeys) need(document, '#panel h2', HTMLElement).focus();
		} catch (fault) {
			tell(fault instanceof Error ? fault.message : String(fault), true);
		}
	});
}

document.addEventListener('submit', (event) => {
	const form = event.target;
	if (!(form instanceof HTMLFormElement) || !(form.dataset['edit'] ?? form.dataset['step'])) return;
	event.preventDefault();
	// Enter in a field that has changed sends the form by its change already
	if (form.dataset['atOnce'] !== undefined && waiting) return;
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
window.addEventListener('beforeunload', (event) => {
	if (waiting) event.preventDefault();
});
// A page shown again from the browser's memory may be older than the plan.
window.addEventListener('pageshow', (event) => {
	if (event.persisted) location.reload();
});
fit();
