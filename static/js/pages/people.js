/** The cards: each wish is kept at once, one command after the other, and honestly told; steps back too. */

import { ApiError, PlanApi } from '../api.js';
import { need } from '../dom.js';
import { patch } from './room-patch.js';
import './step-keys.js';

/** @import {Answer, Command, Plan} from '../types.js' */

const root = need(document, '.people', HTMLElement);
const told = need(document, '#saved', HTMLElement);
const api = new PlanApi(root.dataset['plan'] ?? '');

/** @type {Plan|null} the plan as the server last told it */
let kept = null;
/** The revision of that plan. */
let revision = 0;
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

/**
 * @param {string} person
 * @param {string} movement
 */
function wishIn(person, movement) {
	const who = kept?.people.find((one) => one.id === person);
	return who?.wishes.find((wish) => wish.movement === movement)?.wish ?? null;
}

/** What the server told last is what the next mark is made on. @param {Answer} answer */
function learn(answer) {
	({ plan: kept, revision } = answer);
}

/** Let every choice show what is kept. */
function showKept() {
	for (const input of root.querySelectorAll('input[type=radio]')) {
		if (!(input instanceof HTMLInputElement)) continue;
		const { person, movement } = placeOf(input);
		input.checked = wishIn(person, movement) === input.value;
	}
}

/** @param {HTMLInputElement} input */
function placeOf(input) {
	const card = input.closest('[data-person]');
	const row = input.closest('[data-movement]');
	return {
		person: card instanceof HTMLElement ? (card.dataset['person'] ?? '') : '',
		movement: row instanceof HTMLElement ? (row.dataset['movement'] ?? '') : '',
		row,
	};
}

/**
 * @param {HTMLInputElement} input
 * @returns {Promise<void>}
 */
async function keep(input) {
	const { person, movement, row } = placeOf(input);
	const wish = input.value;
	try {
		if (!kept) learn(await api.read());
		const before = wishIn(person, movement);
		if (before === wish) return;
		/** @type {Command} */
		const command = {
			name: 'wish',
			says: `${movement.replaceAll('-', ' ')}: ${wish === 'nice' ? 'would be nice' : wish}`,
			changes: [
				{
					path: ['people', person, 'wishes', movement],
					before: before === null ? null : { movement, wish: before },
					after: { movement, wish },
				},
			],
		};
		const answer = await api.command(command, revision);
		learn(answer);
		showSteps(answer);
		row?.classList.remove('unsaved');
	} catch (fault) {
		const sentence = fault instanceof Error ? fault.message : String(fault);
		row?.classList.add('unsaved');
		if (fault instanceof ApiError && fault.code === 'conflict') {
			learn(await api.read());
			showKept();
			row?.classList.remove('unsaved');
			throw new Error('changed elsewhere meanwhile; what is kept is shown', { cause: fault });
		}
		throw new Error(`not saved: ${sentence}`, { cause: fault });
	}
}

/** Let both steps say what they would do now. @param {Answer} answer */
function showSteps(answer) {
	for (const way of /** @type {const} */ (['undo', 'redo'])) {
		const button = document.querySelector(`form[data-step="${way}"] button`);
		if (!(button instanceof HTMLButtonElement)) continue;
		button.disabled = !answer[`can_${way}`];
		const says = answer[`${way}_says`];
		button.title = says ? `${way === 'undo' ? 'Undo' : 'Redo'}: ${says}` : '';
	}
}

/**
 * Take a step and lay the page that the server gives back over this one.
 * @param {HTMLFormElement} form
 */
async function step(form) {
	const way = form.dataset['step'] ?? '';
	const button = need(form, 'button', HTMLButtonElement);
	const says = button.title.slice(button.title.indexOf(':') + 1).trim();
	/** @type {Response} */
	let answer;
	try {
		const body = new URLSearchParams(/** @type {any} */ (new FormData(form)));
		answer = await fetch(form.action, { method: 'POST', body });
	} catch {
		throw new Error('the program does not answer; is it still running?');
	}
	const fresh = new DOMParser().parseFromString(await answer.text(), 'text/html');
	const content = fresh.querySelector('.people');
	if (!answer.ok || !content) {
		throw new Error(fresh.querySelector('main p')?.textContent || `the program answered with fault ${answer.status}`);
	}
	kept = null;
	for (const one of ['undo', 'redo']) {
		const it = `form[data-step="${one}"]`;
		patch(need(document, it, HTMLFormElement), need(fresh, it, HTMLFormElement));
	}
	patch(root, content);
	for (const skip of document.querySelectorAll('a.skip:not([href="#main"])')) skip.remove();
	document.querySelector('a.skip')?.after(...fresh.querySelectorAll('a.skip:not([href="#main"])'));
	// a button that has nothing left to do lets the focus go
	if (button.disabled) need(root, 'h1', HTMLElement).focus({ preventScroll: true });
	tell(`${way === 'undo' ? 'taken back' : 'done again'}${says ? `: ${says}` : ''}`);
}

document.addEventListener('submit', (event) => {
	const form = event.target;
	if (!(form instanceof HTMLFormElement) || !form.dataset['step']) return;
	event.preventDefault();
	tell('saving …');
	waiting += 1;
	line = line
		.then(() => step(form))
		.catch((fault) => tell(fault instanceof Error ? fault.message : String(fault), true))
		.finally(() => {
			waiting -= 1;
		});
});
root.addEventListener('change', (event) => {
	const input = event.target;
	if (!(input instanceof HTMLInputElement) || input.type !== 'radio') return;
	tell('saving …');
	waiting += 1;
	line = line
		.then(() => keep(input))
		.then(
			() => {
				waiting -= 1;
				const left = root.querySelector('.unsaved');
				if (!waiting && !left) tell('saved');
				else if (left) tell('some marks are not saved: choose them again', true);
			},
			(fault) => {
				waiting -= 1;
				tell(fault instanceof Error ? fault.message : String(fault), true);
			},
		);
});
window.addEventListener('beforeunload', (event) => {
	if (waiting) event.preventDefault();
});
// A form that came back leads to what is wrong in it.
const wrong = root.querySelector('[aria-invalid=true]') ?? root.querySelector('.person-form .faults');
if (wrong instanceof HTMLElement) {
	wrong.focus({ preventScroll: true });
	wrong.closest('.field, .faults')?.scrollIntoView({ block: 'center' });
}
// A page shown again from the browser's memory may be older than the plan.
window.addEventListener('pageshow', (event) => {
	if (event.persisted) location.reload();
});
