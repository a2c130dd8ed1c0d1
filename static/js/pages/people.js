/** The cards: each wish is kept at once, one command after the other, and honestly told; steps back too. */

import { ApiError, PlanApi, askPage, bodyOf } from '../api.js';
import { need } from '../dom.js';
import { Drafts, GIVEN_BACK } from './drafts.js';
import { patch } from './patch.js';
import { SaveQueue } from './save-queue.js';
import './step-keys.js';

/** @import {Answer, Command, Plan} from '../types.js' */

const root = need(document, '.people', HTMLElement);
const saving = new SaveQueue();
const drafts = new Drafts();
const api = new PlanApi(root.dataset['plan'] ?? '');

/** @type {Plan|null} the plan as the server last told it */
let stored = null;
/** The revision of that plan. */
let revision = 0;

/**
 * @param {string} person
 * @param {string} movement
 */
function wishIn(person, movement) {
	const who = stored?.people.find((one) => one.id === person);
	return who?.wishes.find((wish) => wish.movement === movement)?.wish ?? null;
}

/** What the server told last is what the next mark is made on. @param {Answer} answer */
function learn(answer) {
	({ plan: stored, revision } = answer);
}

/** Let every choice show what is kept. */
function showStored() {
	for (const cell of root.querySelectorAll('[data-of]')) {
		const { person, movement } = placeOf(cell);
		showMark(person, movement, wishIn(person, movement));
	}
	for (const input of root.querySelectorAll('input[type=radio]')) {
		if (!(input instanceof HTMLInputElement)) continue;
		const { person, movement } = placeOf(input);
		const wish = wishIn(person, movement);
		input.checked = wish === input.value;
	}
}

/** What a mark is called; the marks themselves follow `data-wish`. @type {Record<string, string>} */
const WISH_WORDS = { want: 'want', nice: 'would be nice', no: 'no' };
/** Pressed again and again, a mark goes round these. @type {Record<string, string>} */
const NEXT = { '': 'want', want: 'nice', nice: 'no', no: 'want' };

/**
 * Let the mark below a figure show a wish.
 * @param {string} person
 * @param {string} movement
 * @param {string|null} wish
 */
function showMark(person, movement, wish) {
	const cell = cellOf(person, movement);
	cell?.setAttribute('data-wish', wish ?? '');
	const word = cell?.querySelector('.wish-word');
	if (word) word.textContent = WISH_WORDS[wish ?? ''] ?? 'not said';
	offerTheSame();
}

/** Who has said nothing may want the same as somebody who has. */
function offerTheSame() {
	const says = (/** @type {string} */ person) =>
		root.querySelector(`[data-person="${CSS.escape(person)}"] [data-of][data-wish]:not([data-wish=""])`) !== null;
	for (const form of root.querySelectorAll('form.same-wishes')) {
		const card = form.closest('[data-person]');
		if (!(form instanceof HTMLFormElement) || !(card instanceof HTMLElement)) continue;
		form.hidden = says(card.dataset['person'] ?? '') || !says(form.dataset['other'] ?? '');
	}
}

/** @param {string} person @param {string} movement */
function cellOf(person, movement) {
	return root.querySelector(`[data-person="${CSS.escape(person)}"] [data-of="${CSS.escape(movement)}"]`);
}

/** The movement whose words are shown, by person. @type {Map<string, string>} */
const chosen = new Map();
/** Whose card says all of it in words. @type {Set<string>} */
const sayingAll = new Set();

/** Let every card show the words that were asked for: those of one movement, or all. */
function showWords() {
	for (const card of root.querySelectorAll('[data-person]')) {
		if (!(card instanceof HTMLElement)) continue;
		const person = card.dataset['person'] ?? '';
		const first = card.querySelector('.line.is-chosen, .line');
		const movement = chosen.get(person) ?? (first instanceof HTMLElement ? first.dataset['movement'] : '');
		card.classList.toggle('says-all', sayingAll.has(person));
		card.querySelector('.all-words')?.setAttribute('aria-expanded', String(sayingAll.has(person)));
		for (const one of card.querySelectorAll('.line, .frieze li')) {
			if (!(one instanceof HTMLElement)) continue;
			const of = one.dataset['movement'] ?? one.dataset['of'];
			one.classList.toggle('is-chosen', of === movement);
		}
	}
}

/** Whose wish for what a choice or a mark says. @param {Element} at */
function placeOf(at) {
	const card = at.closest('[data-person]');
	const row = at.closest('[data-movement], [data-of]');
	const marks = row instanceof HTMLElement ? row.dataset : {};
	return {
		person: card instanceof HTMLElement ? (card.dataset['person'] ?? '') : '',
		movement: marks['movement'] ?? marks['of'] ?? '',
		row,
	};
}

/**
 * @param {Element} at the choice or mark
 * @param {string} wish
 * @returns {Promise<void>}
 */
async function keep(at, wish) {
	const { person, movement, row } = placeOf(at);
	try {
		if (!stored) learn(await api.read());
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
			showStored();
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
	const { fresh } = await askPage(form.action, '.people', bodyOf(form));
	stored = null;
	for (const one of ['undo', 'redo']) {
		const it = `form[data-step="${one}"]`;
		patch(need(document, it, HTMLFormElement), need(fresh, it, HTMLFormElement));
	}
	patch(root, need(fresh, '.people', HTMLElement));
	showWords();
	drafts.giveBack(root);
	for (const skip of document.querySelectorAll('a.skip:not([href="#main"])')) skip.remove();
	document.querySelector('a.skip')?.after(...fresh.querySelectorAll('a.skip:not([href="#main"])'));
	// a button that has nothing left to do lets the focus go
	if (button.disabled) need(root, 'h1', HTMLElement).focus({ preventScroll: true });
	saving.tell(`${way === 'undo' ? 'taken back' : 'done again'}${says ? `: ${says}` : ''}`);
}

/** @param {Element} at the choice or mark of a wish @param {string} wish */
async function keepAndTell(at, wish) {
	await keep(at, wish);
	const left = root.querySelector('.unsaved');
	if (left) saving.tell('some marks are not saved: choose them again', true);
	else if (saving.waiting === 1) saving.tell('saved');
}

/** @param {Element} at the choice or mark of a wish @param {string} wish */
function send(at, wish) {
	const { person, movement } = placeOf(at);
	showMark(person, movement, wish);
	saving.tell('saving …');
	void saving.add(() => keepAndTell(at, wish));
}

root.addEventListener('click', (event) => {
	const at = event.target instanceof Element ? event.target : null;
	const card = at?.closest('[data-person]');
	if (!at || !(card instanceof HTMLElement)) return;
	const person = card.dataset['person'] ?? '';
	if (at.closest('.all-words')) {
		if (!sayingAll.delete(person)) sayingAll.add(person);
		showWords();
		return;
	}
	const cell = at.closest('[data-of]');
	if (!(cell instanceof HTMLElement)) return;
	const movement = cell.dataset['of'] ?? '';
	const next = NEXT[cell.dataset['wish'] ?? ''] ?? 'want';
	if (at.closest('.mark-also')) {
		// it has no figure and no words here: what it comes to is said where its kit stands
		send(cell, next);
		return;
	}
	chosen.set(person, movement);
	showWords();
	if (at.closest('.mark-wish')) {
		const row = `[data-movement="${CSS.escape(movement)}"] input[value="${next}"]`;
		need(card, row, HTMLInputElement).click();
	} else if (!sayingAll.has(person)) {
		// the words stand right below: the page need not jump to them
		event.preventDefault();
	}
});
document.addEventListener('submit', (event) => {
	const form = event.target;
	if (!(form instanceof HTMLFormElement)) return;
	if (form.matches('.same-wishes')) {
		// what was marked on this page comes first, and the form is sent on that
		event.preventDefault();
		void saving.add(async () => {
			const shown = form.elements.namedItem('revision');
			if (stored && shown instanceof HTMLInputElement) shown.value = String(revision);
			form.submit();
		});
		return;
	}
	if (!form.dataset['step']) {
		// the browser sends it by itself, and the page that comes shows what was refused
		drafts.sent(form, Object.fromEntries(new FormData(form)));
		return;
	}
	event.preventDefault();
	saving.tell('saving …');
	void saving.add(() => step(form));
});
root.addEventListener('change', (event) => {
	const input = event.target;
	if (!(input instanceof HTMLInputElement) || input.type !== 'radio') return;
	send(input, input.value);
});
// A form that came back leads to what is wrong in it.
const wrong = root.querySelector('[aria-invalid=true]') ?? root.querySelector('.person-form .faults');
if (wrong instanceof HTMLElement) {
	wrong.focus({ preventScroll: true });
	wrong.closest('.field, .faults')?.scrollIntoView({ block: 'center' });
}
drafts.watch(root);
if (drafts.giveBack(root)) saving.tell(GIVEN_BACK);
// a link that names a movement, from the desk or from another card, shows its words
const named = location.hash.length > 1 ? document.getElementById(location.hash.slice(1)) : null;
const row = named?.closest('[data-movement]');
const owner = row?.closest('[data-person]');
if (row instanceof HTMLElement && owner instanceof HTMLElement) {
	chosen.set(owner.dataset['person'] ?? '', row.dataset['movement'] ?? '');
}
showWords();
