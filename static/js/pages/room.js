/** The room: choose in the drawing or the lists, type beside it; each change is kept at once. */

import { ApiError, PlanApi } from '../api.js';
import { need } from '../dom.js';
import { dress } from '../lazy.js';
import { follow } from '../live.js';
import { chooseBetween } from '../panels/conflict.js';
import { Drafts, GIVEN_BACK } from './drafts.js';
import { OwnSteps } from './own-steps.js';
import { parse, patch, remember } from './patch.js';
import { tellWhereItBegins } from './room-begins.js';
import { proposeFate } from './room-comes-and-goes.js';
import { moveCorners } from './room-corners.js';
import { suitExamples } from './room-examples.js';
import { clear, mark } from './room-faults.js';
import { RoomLooks } from './room-looks.js';
import { weighPicture } from './room-picture.js';
import { placeByPress } from './room-place.js';
import { pickPoints } from './room-points.js';
import { placeLettering } from './room-lettering.js';
import { readParts, sendEdit } from './room-send.js';
import { SaveQueue } from './save-queue.js';
import { takePhotos } from './small_photo.js';
import './step-keys.js';

/** @import {Parts} from './room-send.js' */

document.documentElement.classList.add('scripted');

const desk = need(document, '.room-desk', HTMLElement);
const stage = need(document, '#stage', HTMLElement);
const panel = need(document, '#panel', HTMLElement);
const plan = desk.dataset['plan'] ?? '';
const units = desk.dataset['units'] === 'feet' ? 'feet' : 'metric';

let of = new URLSearchParams(location.search).get('of') ?? 'known';
/** What a form sends beside its fields. */
const BESIDE = ['edit', 'of', 'revision'];
/** Notes in a drawing coarser than this would lie over the numbers of its corners. */
const NOTES_TO = 10.5;
let u = 9;
/** The revision that the page shows. */
let revision = Number(desk.dataset['revision'] ?? 0);
/** @type {[number, number][]} */
let corners = places('.corner .grip');
const saving = new SaveQueue();
/** How many of those are steps that the page shows already. */
let ahead = 0;
/** What came of a change while the next one was made already. @type {Parts|null} */
let unshown = null;
const own = new OwnSteps();
let drawn = '';
const drafts = new Drafts();
const looks = new RoomLooks({
	read: (where, at) => readParts(plan, where, at),
	of: () => of,
	busy: () => saving.waiting > 0,
});

/** @param {string} grips @returns {[number, number][]} */
function places(grips) {
	return [...stage.querySelectorAll(grips)].map((grip) => [
		Number(grip.getAttribute('cx')),
		Number(grip.getAttribute('cy')),
	]);
}

/** Tell the drawing how many mm a pixel is, so that lettering and grips keep their size. */
function fit() {
	const box = need(stage, '#overlay', SVGSVGElement).viewBox.baseVal;
	const { width, height } = stage.getBoundingClientRect();
	if (!width || !height) return;
	u = Math.max(box.width / width, box.height / height);
	stage.style.setProperty('--u', String(u));
	stage.classList.toggle('is-far', u > NOTES_TO);
	placeLettering(stage);
}

/**
 * Show what the server made of it; where later steps are shown already, only note it.
 * @param {Parts} parts
 * @param {HTMLFormElement|null} sent
 */
function show(parts, sent) {
	unshown = null;
	revision = parts.revision;
	desk.dataset['revision'] = String(revision);
	looks.keep(revision, parts, parts.of);
	if (ahead) return;
	looks.here = revision;
	showDrawn(parts);
	showBeside(parts, sent);
	showSteps(parts);
	looks.later();
}

/** @param {Parts} parts */
function showDrawn(parts) {
	corners = parts.corners;
	if (drawn !== parts.drawing) need(stage, '#drawing', HTMLElement).replaceChildren(parse(parts.drawing));
	drawn = parts.drawing;
	patch(need(stage, '#underlay', SVGSVGElement), parse(parts.underlay));
	patch(need(stage, '#overlay', SVGSVGElement), parse(parts.overlay));
	fit();
}

/** @param {Parts} parts */
function showSteps(parts) {
	for (const step of /** @type {const} */ (['undo', 'redo'])) {
		const form = need(document, `form[data-step="${step}"]`, HTMLFormElement);
		const button = need(form, 'button', HTMLButtonElement);
		const says = parts[`${step}_says`];
		const focused = document.activeElement === button;
		button.disabled = !parts[`can_${step}`];
		button.title = says ? `${step === 'undo' ? 'Undo' : 'Redo'}: ${says}` : '';
		if (focused && button.disabled) need(panel, 'h2', HTMLElement).focus();
	}
}

/** @param {Parts} parts @param {HTMLFormElement|null} sent */
function showBeside(parts, sent) {
	const same = parts.of === of;
	of = parts.of;
	patch(need(document, '#index', HTMLElement), parse(parts.index));
	pushSteps();
	const fresh = parse(`<div>${parts.panel}</div>`);
	if (same) {
		for (const name of ['id', 'class', 'tabindex']) fresh.setAttribute(name, panel.getAttribute(name) ?? '');
		patch(panel, fresh, sent);
	} else {
		panel.replaceChildren(...fresh.childNodes);
		panel.scrollTop = 0;
	}
	// what was said of a form that is no longer shown leads nowhere
	if (!same && saving.bad) saving.tell('');
	if (drafts.giveBack(panel) && !same) saving.tell(GIVEN_BACK);
	begins();
	examples();
	placing();
	const address = `?of=${encodeURIComponent(of).replaceAll('%3A', ':')}`;
	if (address !== location.search) history.replaceState(null, '', address);
}

/** Where the steps are one row to push along, push it to the chosen one. */
function pushSteps() {
	for (const one of document.querySelectorAll('#index [aria-current]')) {
		const row = one.closest('.room-steps, .room-parts');
		if (!row || row.scrollWidth <= row.clientWidth) continue;
		const [its, whole] = [one.getBoundingClientRect(), row.getBoundingClientRect()];
		row.scrollLeft += its.left + its.width / 2 - whole.left - whole.width / 2;
	}
}

/** @param {'undo'|'redo'} way shown at once where the page knows how it looks there */
function takeStep(way) {
	const form = need(document, `form[data-step="${way}"]`, HTMLFormElement);
	const step = ahead === saving.waiting ? looks.step(way, of) : null;
	if (!step) return send(form);
	ahead += 1;
	showDrawn(step.look);
	if (step.whole) showBeside(step.look, null);
	showSteps(step.look);
	saving.tell('saving …');
	return saving.add(async () => {
		try {
			const parts = await sendEdit(plan, way, of, {}, revision);
			ahead -= 1;
			show(parts, null);
			if (!ahead) saving.tell(`${way} done`);
		} catch (fault) {
			ahead -= 1;
			// what is shown already was not done
			if (!ahead) show(looks.at(revision, of) ?? (await readParts(plan, of, revision)), null);
			await refuse(form, fault);
		}
	});
}

/**
 * @param {string} where
 * @param {boolean} [byKeys] chosen by keys: go on to its fields
 * @param {string} [to] the id of what is meant in the panel
 */
function choose(where, byKeys = false, to = '') {
	return saving.add(async () => {
		show(await readParts(plan, where), null);
		const meant = to ? document.getElementById(to) : null;
		if (meant) meant.focus();
		else if (byKeys && !where.startsWith('corner:')) need(panel, 'h2', HTMLElement).focus();
	});
}

/** @param {HTMLFormElement} form @param {HTMLElement|null} [submitter] */
function fieldsOf(form, submitter) {
	/** @type {Record<string, string>} */
	const fields = {};
	for (const [name, value] of new FormData(form)) {
		if (typeof value === 'string' && !BESIDE.includes(name)) fields[name] = value;
	}
	if (submitter instanceof HTMLButtonElement && submitter.name) fields[submitter.name] = submitter.value;
	return fields;
}

/**
 * Send a form; what is refused stays as typed, with what is wrong beside each field.
 * @param {HTMLFormElement} form
 * @param {HTMLElement|null} [submitter]
 */
function send(form, submitter) {
	const edit = form.dataset['edit'] ?? form.dataset['step'] ?? '';
	const fields = fieldsOf(form, submitter);
	// a form that was refused stays as it was shown, whatever the page has shown since
	const hidden = form.elements.namedItem('revision');
	const shown = hidden instanceof HTMLInputElement ? Number(hidden.value) : null;
	remember(form);
	const adds = form.dataset['atOnce'] === undefined;
	saving.tell('saving …');
	return saving.add(async () => {
		try {
			const before = of;
			const seen = own.since(shown ?? revision);
			const parts = await sendEdit(plan, edit, of, fields, seen);
			own.note(seen, parts.revision);
			clear(form);
			drafts.sent(form, fields);
			// the hand has gone on: the answer to what it did last shows this, too
			if (!adds && saving.waiting > 1) {
				revision = parts.revision;
				unshown = parts;
				return;
			}
			if (adds && parts.of === before) form.reset();
			show(parts, form);
			saving.tell(
				form.dataset['step'] ? `${form.dataset['step']} done` : parts.undo_says ? `saved: ${parts.undo_says}` : 'saved',
			);
			if (adds && parts.of !== before) need(panel, 'h2', HTMLElement).focus();
		} catch (fault) {
			await refuse(form, fault);
		}
	});
}

/** @param {HTMLFormElement} form @param {unknown} fault */
async function refuse(form, fault) {
	if (!(fault instanceof ApiError)) throw fault;
	if (unshown) show(unshown, form);
	clear(form);
	/** @type {string[]} */
	const rest = [];
	for (const { field, sentence } of fault.fields) {
		if (!mark(form, field, sentence)) rest.push(sentence);
	}
	if (!fault.fields.length) rest.push(fault.message);
	const whole = form.querySelector('.form-fault');
	if (rest.length && whole instanceof HTMLElement) {
		whole.textContent = rest.join(' ');
		whole.hidden = false;
	}
	saving.tell(rest.length && !whole ? rest.join(' ') : 'not kept: what is wrong is written beside the field', true);
	// what is pressed leads to what is wrong; what is sent by itself leaves the hand where it is
	const first = form.dataset['atOnce'] === undefined && form.querySelector('[aria-invalid]');
	if (first instanceof HTMLElement) first.focus();
	if (fault.code === 'conflict') {
		const parts = await readParts(plan, of);
		show(parts, form);
		saving.tell('changed elsewhere meanwhile; what is kept is shown', true);
		offerBoth(fault);
	}
}

/** Where two changed one place: show both versions and let one of them be chosen. @param {ApiError} fault */
function offerBoth({ both }) {
	if (!both) return;
	void dress('company.css');
	void chooseBetween(both, ({ command, revision: seen }) =>
		saving.add(async () => {
			if (!command) return;
			try {
				await new PlanApi(plan).command(command, seen);
				show(await readParts(plan, of), null);
				saving.tell('saved: yours');
			} catch (error) {
				saving.tell(`not kept: ${error instanceof Error ? error.message : error}`, true);
			}
		}),
	);
}

// What others change is shown at once, but never while something is typed or under way.
follow(plan, (news) => {
	saving.follows(Boolean(news));
	const typing = document.activeElement instanceof HTMLInputElement && panel.contains(document.activeElement);
	if (news?.revision && news.revision > revision && !saving.waiting && !typing) void choose(of);
});

document.addEventListener('submit', (event) => {
	const form = event.target;
	if (!(form instanceof HTMLFormElement) || !(form.dataset['edit'] ?? form.dataset['step'])) return;
	event.preventDefault();
	// Enter in a field that has changed sends the form by its change already
	if (form.dataset['atOnce'] !== undefined && saving.waiting) return;
	const way = form.dataset['step'];
	void (way === 'undo' || way === 'redo' ? takeStep(way) : send(form, event.submitter));
});
drafts.watch(panel);
takePhotos(panel);
panel.addEventListener('change', (event) => {
	const input = event.target;
	if (!(input instanceof HTMLInputElement || input instanceof HTMLSelectElement)) return;
	const form = input.form;
	if (form?.dataset['atOnce'] === undefined) return;
	// a choice that asks for more waits until that is typed
	const lacking = [...form.querySelectorAll('input[data-needed]')].find(
		(one) => one instanceof HTMLInputElement && one.offsetParent && !one.value.trim(),
	);
	const partner = form.elements.namedItem(input.dataset['waits'] ?? '');
	const idle = partner instanceof HTMLInputElement && !Number(partner.value.replace(',', '.'));
	if (!lacking && !idle) void send(form);
});
document.addEventListener('click', (event) => {
	const link = event.target instanceof Element ? event.target.closest('a[data-of]') : null;
	if (!(link instanceof Element) || event.ctrlKey || event.metaKey || event.shiftKey) return;
	event.preventDefault();
	const to = link instanceof HTMLAnchorElement ? link.hash.slice(1) : '';
	void choose(link.getAttribute('data-of') ?? 'known', event.detail === 0, to);
});
document.addEventListener('keydown', (event) => {
	if (event.key === 'Escape' && event.target instanceof Element && panel.contains(event.target)) {
		const chosen = stage.querySelector('.is-chosen') ?? document.querySelector('#index [aria-current]');
		if (chosen instanceof SVGElement || chosen instanceof HTMLElement) chosen.focus();
	}
});

/** @param {string} edit @param {Record<string, string>} fields @param {string} what has moved */
function put(edit, fields, what) {
	return saving.add(async () => {
		try {
			show(await sendEdit(plan, edit, of, fields, revision), null);
			saving.tell(`saved: ${what}`);
		} catch (fault) {
			if (fault instanceof ApiError) offerBoth(fault);
			const first = fault instanceof ApiError ? fault.fields[0]?.sentence : '';
			saving.tell(`not kept: ${first || (fault instanceof Error ? fault.message : fault)}`, true);
		}
	});
}

moveCorners(stage, {
	corners: () => corners,
	u: () => u,
	units,
	put: (index, x, y) => {
		const wall = stage.querySelectorAll('.pick.corner')[index]?.getAttribute('data-of')?.slice('corner:'.length) ?? '';
		return put('corner', { corner: wall, x: `${x} mm`, y: `${y} mm` }, `corner ${index + 1}`);
	},
});
moveCorners(stage, {
	mark: '.pick.bend',
	corners: () => places('.bend .grip'),
	lines: () => corners,
	u: () => u,
	units,
	put: (index, x, y) => {
		const [kind = '', part = ''] = of.split(':');
		return put(`${kind}-corner`, { part, corner: String(index), x: `${x} mm`, y: `${y} mm` }, `corner ${index + 1}`);
	},
});
weighPicture(panel);
proposeFate(panel);
const begins = tellWhereItBegins(stage, panel);
const examples = suitExamples(panel);
const placing = placeByPress(stage, panel, () => corners);
pickPoints(
	stage,
	panel,
	() => u,
	(words) => saving.tell(words),
);
new ResizeObserver(fit).observe(stage);
fit();
if (drafts.giveBack(panel)) saving.tell(GIVEN_BACK);
looks.here = revision;
looks.later();
pushSteps();
