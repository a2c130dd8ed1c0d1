/** My room: the outline as typed so far, what each length is read as, rows as they are needed. */

import { need, sv } from '../dom.js';
import { long, parseLength, short } from '../model/lengths.js';
import { keepTyped } from './typed-before.js';

const form = need(document, 'form.new', HTMLFormElement);
const picture = need(document, '#preview', SVGSVGElement);
const words = need(document, '#preview-words', HTMLElement);
const SIZE = 400;
const EDGE = 62;

/** Least and most in mm of what a field may mean; a bare number below is tried in larger units. */
const BOUNDS = /** @type {Record<string, [number, number]>} */ ({
	width: [1000, 30000],
	depth: [1000, 30000],
	height: [1000, 8000],
	door_width: [400, 8000],
	door_height: [1000, 6000],
	stature: [1000, 2300],
	reach: [1000, 3500],
});

/** @returns {'metric'|'feet'} */
function units() {
	return value('units') === 'feet' ? 'feet' : 'metric';
}

/** @param {string} name */
function value(name) {
	const given = new FormData(form).get(name);
	return typeof given === 'string' ? given.trim() : '';
}

/**
 * Read a length as the server will; it has the last word.
 * @param {string} name
 * @returns {number|null}
 */
function read(name) {
	const text = value(name)
		.replace(/[′’]/g, "'")
		.replace(/[″”]/g, '"')
		.replace(/(\d) (?=\d{3}\b)/g, '$1');
	const [least, most] = BOUNDS[name.replace(/^person\d_/, '')] ?? [0, 100000];
	const bare = /^\d*[.,]?\d+$/.test(text);
	const ways = !bare ? [text] : units() === 'feet' ? [`${text}"`, `${text}'`] : [text, `${text} cm`, `${text} m`];
	for (const way of ways) {
		const length = parseLength(way);
		if (length !== null && length >= least && length <= most) return length;
	}
	return null;
}

/** The example that goes with the chosen kind of door. @param {string} name @returns {string|undefined} */
function ofTheDoor(name) {
	const kind = form.querySelector('input[name="door"]:checked');
	if (!(kind instanceof HTMLInputElement)) return undefined;
	return { door_width: kind.dataset['width'], door_height: kind.dataset['height'] }[name];
}

/** Examples in the fields as people of these units write them: in feet to the inch. */
function showExamples() {
	const usual = form.querySelector('#currency option[value=""]');
	if (usual instanceof HTMLOptionElement) usual.textContent = usual.dataset[units()] ?? '';
	for (const input of form.querySelectorAll('input[placeholder]')) {
		if (!(input instanceof HTMLInputElement)) continue;
		const metric = ofTheDoor(input.name) ?? (input.dataset['metric'] ??= input.placeholder);
		const size = metric.replace(/^such as /, '');
		const length = /^\d.* m{1,2}$/.test(size) ? parseLength(size) : null;
		if (length === null) continue;
		const step = length < 100 ? 3.175 : 25.4;
		const shown = units() === 'metric' ? size : short(Math.round(length / step) * step, 'feet');
		input.placeholder = `such as ${shown}`;
	}
}

/** Say beside a field what it is read as, where that is not plain from what is typed. */
function sayReadings() {
	for (const input of form.querySelectorAll('input[data-length]')) {
		if (!(input instanceof HTMLInputElement)) continue;
		const length = input.value.trim() ? read(input.name) : null;
		input.title = length === null ? '' : `read as ${long(length, units())}`;
	}
}

function draw() {
	const width = read('width');
	const depth = read('depth');
	const w = width ?? 5000;
	const d = depth ?? 5000;
	const scale = (SIZE - 2 * EDGE) / Math.max(w, d);
	const x = (SIZE - w * scale) / 2;
	const y = (SIZE - d * scale) / 2;
	const right = x + w * scale;
	const bottom = y + d * scale;
	const parts = [
		sv('rect', { class: 'room-line', x, y, width: w * scale, height: d * scale }),
		...dimension(x, y - 30, right, y - 30, width === null ? 'width?' : long(width, units())),
		...dimension(x - 30, y, x - 30, bottom, depth === null ? 'depth?' : long(depth, units())),
	];
	const height = read('height');
	const middle = height === null ? 'lowest height?' : `lowest ${long(height, units())}`;
	parts.push(sv('text', { class: 'quiet', x: SIZE / 2, y: SIZE / 2 }, middle));
	parts.push(...door(x, y, right, bottom, scale));
	picture.replaceChildren(...parts);
	words.textContent = sentence(width, depth);
}

/**
 * @param {number} x0
 * @param {number} y0
 * @param {number} x1
 * @param {number} y1
 * @param {string} text
 */
function dimension(x0, y0, x1, y1, text) {
	const upright = x0 === x1;
	const at = upright ? { x: x0 - 8, y: (y0 + y1) / 2 } : { x: (x0 + x1) / 2, y: y0 - 8 };
	/** @type {Record<string, string>} */
	const turn = upright ? { transform: `rotate(-90 ${at.x} ${at.y})` } : {};
	const tick = (/** @type {number} */ x, /** @type {number} */ y) =>
		sv('path', { class: 'tick-mark', d: `M${x - 5} ${y + 5}l10 -10` });
	return [
		sv('path', { class: 'dim', d: `M${x0} ${y0}L${x1} ${y1}` }),
		tick(x0, y0),
		tick(x1, y1),
		sv('text', { ...at, ...turn }, text),
	];
}

/**
 * @param {number} x0
 * @param {number} y0
 * @param {number} x1
 * @param {number} y1
 * @param {number} scale
 */
function door(x0, y0, x1, y1, scale) {
	const length = read('door_width');
	if (value('door') === 'none' || length === null) return [];
	const wall = value('door_wall');
	const lying = wall === 'front' || wall === 'back';
	const along = lying ? x1 - x0 : y1 - y0;
	const size = Math.min(length * scale, along);
	const from = (along - size) / 2;
	const y = wall === 'back' ? y0 : y1;
	const x = wall === 'left' ? x0 : x1;
	const path = lying ? `M${x0 + from} ${y}h${size}` : `M${x} ${y0 + from}v${size}`;
	const at = lying
		? { x: (x0 + x1) / 2, y: wall === 'back' ? y + 22 : y - 14 }
		: { x: wall === 'left' ? x + 34 : x - 34, y: (y0 + y1) / 2 - 24 };
	return [
		sv('path', { class: 'gap', d: path }),
		sv('path', { class: 'leaf', d: path }),
		sv('text', { ...at, class: 'quiet' }, `door ${long(length, units())}`),
	];
}

/**
 * @param {number|null} width
 * @param {number|null} depth
 */
function sentence(width, depth) {
	if (width === null || depth === null) return 'Seen from above; the front is below.';
	const area = (width * depth) / 1e6;
	const floor = units() === 'feet' ? `${(area * 10.7639).toFixed(0)} ft²` : `${area.toFixed(1)} m²`;
	return `Seen from above; the front is below. ${floor} of floor, walls as measured.`;
}

/** Rows for further people come one at a time. */
function rows() {
	const all = [...form.querySelectorAll('.person-row')].filter((row) => row instanceof HTMLElement);
	const filled = (/** @type {Element} */ row) =>
		row.querySelector('.fault') !== null ||
		[...row.querySelectorAll('input[data-length], .field input')].some(
			(input) => input instanceof HTMLInputElement && input.value.trim(),
		);
	let shown = 2;
	all.forEach((row, index) => {
		if (filled(row)) shown = Math.max(shown, index + 2);
	});
	all.forEach((row, index) => {
		if (row instanceof HTMLElement) row.hidden = index >= shown;
	});
}

form.addEventListener('input', () => {
	draw();
	sayReadings();
	showExamples();
	rows();
});
draw();
sayReadings();
showExamples();
rows();
keepTyped(form);
const wrong = form.querySelector('[aria-invalid]');
if (wrong instanceof HTMLElement) wrong.focus();
else need(form, '#name', HTMLInputElement).focus();
