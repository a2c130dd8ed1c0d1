/** What is typed into a form that is sent as a whole stands there again after a reload, or on the way back. */

import { el } from '../dom.js';

/** @typedef {Record<string, string>} Fields */

const NOT_TYPED = ['revision'];

/** @param {HTMLFormElement} form @returns {Fields} */
function fieldsOf(form) {
	/** @type {Fields} */
	const fields = {};
	for (const [name, value] of new FormData(form)) {
		if (typeof value === 'string' && !NOT_TYPED.includes(name)) fields[name] = value;
	}
	return fields;
}

/** @param {HTMLFormElement} form @param {Fields} fields */
function fill(form, fields) {
	for (const one of form.elements) {
		if (one instanceof HTMLInputElement && ['radio', 'checkbox'].includes(one.type)) {
			one.checked = fields[one.name] === one.value;
		} else if (one instanceof HTMLInputElement || one instanceof HTMLSelectElement) {
			const value = fields[one.name];
			if (value !== undefined && !NOT_TYPED.includes(one.name)) one.value = value;
		}
	}
	form.dispatchEvent(new Event('input', { bubbles: true }));
}

/** Whether this page was gone back to or loaded anew, not come to by a link. */
function cameBack() {
	const [came] = performance.getEntriesByType('navigation');
	return came instanceof PerformanceNavigationTiming && came.type !== 'navigate';
}

/**
 * Keep what is typed into a form for as long as the tab is open, and give it back where the form
 * comes as it was then. What was sent comes back only to who goes back.
 * @param {HTMLFormElement} form @param {(fields: Fields) => void} [makeRoom] rows for what was typed
 * @returns {boolean} whether something was given back
 */
export function keepTyped(form, makeRoom = () => {}) {
	const key = `elbowroom-typed:${location.pathname}`;
	const fresh = JSON.stringify(fieldsOf(form));
	let sent = false;
	const keep = () => {
		const typed = fieldsOf(form);
		try {
			if (JSON.stringify(typed) === fresh) sessionStorage.removeItem(key);
			else sessionStorage.setItem(key, JSON.stringify({ fresh, typed, sent }));
		} catch {
			// A browser that keeps nothing still has the fields as they are.
		}
	};
	/** @returns {Fields|null} */
	const before = () => {
		try {
			const kept = JSON.parse(sessionStorage.getItem(key) ?? 'null');
			if (kept?.fresh !== fresh || (kept.sent && !cameBack())) return null;
			sent = kept.sent;
			return kept.typed;
		} catch {
			return null;
		}
	};
	const typed = before();
	form.addEventListener('submit', () => (sent = true));
	addEventListener('pagehide', keep);
	form.addEventListener('input', ({ isTrusted }) => {
		// what is typed after it was sent has not been sent
		if (isTrusted) sent = false;
		keep();
	});
	if (!typed) return false;
	makeRoom(typed);
	fill(form, typed);
	const anew = el('button', { type: 'button', class: 'btn small' }, 'Begin anew');
	const told = el('p', { class: 'aside typed-before', role: 'status' }, [
		document.createTextNode('What you typed here before stands in its fields again. '),
		anew,
	]);
	anew.addEventListener('click', () => {
		removeEventListener('pagehide', keep);
		sessionStorage.removeItem(key);
		location.reload();
	});
	form.querySelector('.title-line')?.after(told);
	return true;
}
