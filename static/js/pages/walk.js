/** Walk round the room: rows come as they are needed, the server draws the outline as one goes. */

import { HERE } from '../api.js';
import { need, say } from '../dom.js';
import { keepTyped } from './typed-before.js';

const WAIT_MS = 180;
const HEARD_MS = 4000;
const form = need(document, 'form.walk', HTMLFormElement);
const answer = need(document, '#answer', HTMLElement);
const status = need(document, '#walk-status', HTMLElement);
const walls = need(document, '#walls', HTMLElement);
const whole = need(document, '#whole-fault', HTMLElement);
const beforeUse = need(document, '#before-use', HTMLElement);
document.documentElement.classList.add('scripted');

/** @type {Record<string, string>} the list -> its pattern */
const PATTERNS = { walls: '#wall-row', diagonals: '#diagonal-row', heights: '#height-row' };
let asked = 0;
let shown = 0;
let waiting = 0;
let leaving = 0;
let heard = '';

/** @param {number} index */
function letterAt(index) {
	const first = Math.floor(index / 26);
	return (first ? String.fromCharCode(64 + first) : '') + String.fromCharCode(65 + (index % 26));
}

/** Number the rows of a list anew, so that names, labels and letters follow their order. @param {Element} list */
function renumber(list) {
	[...list.children].forEach((row, index) => {
		const n = index + 1;
		// two groups of radios must never share a name, not even for a moment
		const checked = row.querySelector('input[type="radio"]:checked');
		for (const input of row.querySelectorAll('input[data-name]')) {
			if (!(input instanceof HTMLInputElement)) continue;
			const name = `${input.dataset['name']}${n}`;
			if (input.type === 'radio') input.name = `moving-${name}`;
			else input.name = name;
			if (input.type !== 'radio' && input.type !== 'hidden') {
				row.querySelector(`label[for="${input.id}"]`)?.setAttribute('for', name);
				row.querySelector(`[data-fault-of="${input.id}"]`)?.setAttribute('data-fault-of', name);
				input.id = name;
			}
		}
		for (const letter of row.querySelectorAll('[data-letter]')) say(letter, letterAt(index));
		row.querySelector('[data-letter-label]')?.setAttribute('aria-label', `At the end of wall ${letterAt(index)}`);
		const drop = row.querySelector('[data-drop]');
		drop?.setAttribute('value', `drop:${n}`);
		drop?.setAttribute('aria-label', `Take wall ${letterAt(index)} out`);
		if (checked instanceof HTMLInputElement) checked.dataset['was'] = 'checked';
	});
	for (const radio of list.querySelectorAll('input[type="radio"]')) {
		if (!(radio instanceof HTMLInputElement)) continue;
		radio.name = radio.name.replace('moving-', '');
		if (radio.dataset['was']) radio.checked = true;
		delete radio.dataset['was'];
	}
}

/** Between four corners there are two diagonals: their ends need not be typed. */
const OF_FOUR = { from1: '1', to1: '3', from2: '2', to2: '4' };

/** Two heights between four walls: at the one with the door, the last, and at the one that faces it. */
const AT_TWO = /** @type {const} */ ([
	['at1', 'at2', 'D'],
	['at2', 'at1', 'B'],
]);
/** @type {Record<string, string>} */
const FACING = { A: 'C', B: 'D', C: 'A', D: 'B' };

/** Examples in the units of the tape, and the ends of diagonals that go without saying. */
function hints() {
	const feet = (typed()['units'] ?? form.dataset['units']) === 'feet';
	for (const input of form.querySelectorAll('input[data-metric]')) {
		if (input instanceof HTMLInputElement) input.placeholder = input.dataset[feet ? 'feet' : 'metric'] ?? '';
	}
	const usual = form.querySelector('#currency option[value=""]');
	if (usual instanceof HTMLOptionElement) say(usual, usual.dataset[feet ? 'feet' : 'metric'] ?? '');
	const lengths = [...walls.querySelectorAll('input[data-name="length"]')];
	const four = lengths.filter((one) => one instanceof HTMLInputElement && one.value.trim()).length === 4;
	for (const [name, corner] of Object.entries(OF_FOUR)) {
		const input = form.elements.namedItem(name);
		if (input instanceof HTMLInputElement) input.placeholder = four ? corner : '';
	}
	for (const [name, other, usual] of AT_TWO) {
		const [input, beside] = [form.elements.namedItem(name), form.elements.namedItem(other)];
		if (!(input instanceof HTMLInputElement) || !(beside instanceof HTMLInputElement)) continue;
		input.placeholder = four ? (FACING[beside.value.trim().toUpperCase()] ?? usual) : '';
	}
}

/** Add a row to a list and give its first field. @param {string} which @returns {HTMLInputElement} */
function addRow(which) {
	const list = need(form, `#${which}`, HTMLElement);
	const pattern = need(document, PATTERNS[which] ?? '', HTMLTemplateElement);
	list.append(pattern.content.cloneNode(true));
	renumber(list);
	hints();
	return need(list.lastElementChild ?? list, 'input:not([type])', HTMLInputElement);
}

/** Go on to the row after this one; the last one gets a new row behind it. @param {Element} row */
function goOn(row) {
	const next = row.nextElementSibling;
	const list = row.parentElement?.id ?? 'walls';
	(next ? need(next, 'input:not([type])', HTMLInputElement) : addRow(list)).focus();
}

/** @returns {Record<string, string>} */
function typed() {
	/** @type {Record<string, string>} */
	const fields = {};
	for (const [name, value] of new FormData(form)) if (typeof value === 'string') fields[name] = value;
	return fields;
}

async function look() {
	const mine = ++asked;
	const fields = typed();
	/** @type {any} */
	let solved = null;
	try {
		const response = await fetch(`${HERE}/api/walk`, {
			method: 'POST',
			headers: { Accept: 'application/json', 'Content-Type': 'application/json' },
			body: JSON.stringify({ plan: form.dataset['plan'] ?? '', fields }),
		});
		solved = await response.json();
		if (!solved.ok) throw new Error(solved.error?.message ?? '');
	} catch (error) {
		say(
			status,
			`The outline is not drawn anew: ${error instanceof Error && error.message ? error.message : 'the program does not answer'}`,
		);
		return;
	}
	if (mine < shown) return;
	shown = mine;
	const held = document.activeElement;
	const inAnswer = held instanceof HTMLElement && answer.contains(held) ? held.id : '';
	answer.innerHTML = solved.answer;
	if (inAnswer) document.getElementById(inAnswer)?.focus();
	leaveInPeace();
	const doubts = answer.querySelector('[data-doubts]')?.textContent ?? '';
	say(beforeUse, doubts);
	beforeUse.hidden = !doubts;
	announce(answer.querySelector('[data-status]')?.textContent ?? '');
	showFaults(solved.faults);
}

/**
 * Say once what the page shows anyway, then take it away: who reads on meets it there alone.
 * @param {string} text
 */
function announce(text) {
	if (text === heard) return;
	heard = text;
	window.clearTimeout(leaving);
	say(status, text);
	leaving = window.setTimeout(() => say(status, ''), HEARD_MS);
}

/** Say beside each field what is wrong with it; the one being typed in is left in peace. @param {Record<string, string>} faults */
function showFaults(faults) {
	for (const place of form.querySelectorAll('[data-fault-of]')) {
		const name = place.getAttribute('data-fault-of') ?? '';
		const input = form.elements.namedItem(name);
		const busy = input === document.activeElement;
		const sentence = busy && !place.childElementCount ? '' : (faults[name] ?? '');
		if (input instanceof HTMLInputElement) {
			if (sentence) input.setAttribute('aria-invalid', 'true');
			else input.removeAttribute('aria-invalid');
			input.closest('.field, .wall-row')?.classList.toggle('wrong', Boolean(sentence));
			input.closest('.wall-row')?.classList.toggle('wrong', Boolean(sentence));
			if (sentence) input.setAttribute('aria-describedby', `${name}-fault`);
			else input.removeAttribute('aria-describedby');
		}
		const line = document.createElement('p');
		line.className = 'fault';
		line.id = `${name}-fault`;
		line.textContent = sentence;
		place.replaceChildren(...(sentence ? [line] : []));
	}
	const sentence = faults[''] ?? '';
	whole.hidden = true;
	say(need(whole, 'p', HTMLElement), sentence);
}

/** What is wrong with the field that is being typed in is not said yet. */
function leaveInPeace() {
	for (const line of answer.querySelectorAll('[data-wrong]')) {
		if (line.getAttribute('data-wrong') === document.activeElement?.id) line.remove();
	}
	for (const list of answer.querySelectorAll('.walk-wrong')) if (!list.querySelector('li')) list.remove();
}

answer.addEventListener('click', (event) => {
	const link = event.target instanceof Element ? event.target.closest('a[data-to]') : null;
	const field = link && form.elements.namedItem(link.getAttribute('data-to') ?? '');
	if (!(field instanceof HTMLInputElement)) return;
	event.preventDefault();
	field.scrollIntoView({ block: 'center' });
	field.focus();
});

function soon() {
	clearTimeout(waiting);
	waiting = window.setTimeout(() => void look(), WAIT_MS);
}

// on a phone the keyboard takes the lower half: what is typed in goes right below the outline
if (matchMedia('(pointer: coarse)').matches) {
	form.addEventListener('focusin', ({ target }) => {
		if (!(target instanceof HTMLInputElement) || ['radio', 'checkbox'].includes(target.type)) return;
		(target.closest('li') ?? target).scrollIntoView({ block: 'start' });
	});
}
form.addEventListener('input', hints);
form.addEventListener('input', soon);
form.addEventListener('focusout', soon);

// Enter goes on to the next row, as one goes on to the next wall
form.addEventListener('keydown', (event) => {
	const input = event.target;
	if (event.key !== 'Enter' || !(input instanceof HTMLInputElement)) return;
	event.preventDefault();
	const row = input.closest('li');
	if (row) goOn(row);
	else if (input.type === 'checkbox') input.click();
});

// a turn that is pressed with the mouse or a finger leads to the next wall that is not typed yet
walls.addEventListener('click', (event) => {
	const input = event.target;
	if (!(input instanceof HTMLInputElement) || input.type !== 'radio' || event.detail === 0) return;
	const row = input.closest('li');
	const typedIn = (/** @type {Element|null|undefined} */ one) => {
		const length = one?.querySelector('input[data-name="length"]');
		return length instanceof HTMLInputElement && length.value.trim() !== '';
	};
	if (row && typedIn(row) && !typedIn(row.nextElementSibling)) goOn(row);
});

form.addEventListener('click', (event) => {
	const press = event.target instanceof Element ? event.target.closest('button') : null;
	if (!press) return;
	if (press.dataset['more']) {
		event.preventDefault();
		addRow(press.dataset['more']).focus();
	} else if (press.hasAttribute('data-drop')) {
		event.preventDefault();
		const row = press.closest('li');
		const near = row?.nextElementSibling ?? row?.previousElementSibling;
		if (!row || !near) return;
		row.remove();
		renumber(walls);
		hints();
		need(near, 'input:not([type])', HTMLInputElement).focus();
		soon();
	}
});

keepTyped(form, (fields) => {
	for (const [which, name] of /** @type {const} */ ([
		['walls', 'length'],
		['diagonals', 'diagonal'],
		['heights', 'height'],
	])) {
		for (let n = 1; fields[`${name}${n}`] !== undefined; n++) {
			if (!form.elements.namedItem(`${name}${n}`)) addRow(which);
		}
	}
});
const wrong = form.querySelector('[aria-invalid]');
const first =
	wrong ??
	[...walls.querySelectorAll('input[data-name="length"]')].find((i) => i instanceof HTMLInputElement && !i.value);
// a finger has not asked for a keyboard yet, and what to do stands above the field
const asks = wrong !== null || !matchMedia('(pointer: coarse)').matches;
if (first instanceof HTMLElement && asks) first.focus();
hints();
if (!form.dataset['plan'] && !answer.querySelector('svg')) soon();
