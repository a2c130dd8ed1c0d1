/**
 * The picture of the room: kept as a photo, drawn by the browser's own canvas. It follows the plan
 * while others change it.
 */

import { need } from '../dom.js';
import { follow } from '../live.js';

const WIDE_PX = 2400;
const stage = need(document, '#stage', HTMLElement);
const keep = need(document, '#keep-png', HTMLButtonElement);

/**
 * Copy what the style sheet gives to each part of a drawing, for a file knows no style sheet.
 * @param {SVGElement} from
 * @param {SVGElement} to
 */
function dress(from, to) {
	const parts = from.querySelectorAll('*');
	to.querySelectorAll('*').forEach((part, i) => {
		const shown = parts[i];
		if (!shown || !(part instanceof SVGElement)) return;
		const style = getComputedStyle(shown);
		for (const name of [
			'fill',
			'stroke',
			'stroke-width',
			'stroke-dasharray',
			'font-size',
			'font-weight',
			'font-family',
			'paint-order',
			'vector-effect',
			'text-anchor',
			'stroke-linejoin',
		]) {
			part.style.setProperty(name, style.getPropertyValue(name));
		}
	});
}

/**
 * The rules that name the lettering, with its files in them: a drawing in a picture loads none.
 * @returns {Promise<string>}
 */
async function lettering() {
	const faces = [...document.styleSheets].flatMap((sheet) =>
		[...sheet.cssRules].flatMap((rule) => (rule instanceof CSSFontFaceRule ? [{ rule, from: sheet.href }] : [])),
	);
	const rules = await Promise.all(
		faces.map(async ({ rule, from }) => {
			const named = /url\(["']?([^"')]+)["']?\)/.exec(rule.style.getPropertyValue('src'));
			if (!named?.[1]) return '';
			const reply = await fetch(new URL(named[1], from ?? location.href));
			return rule.cssText.replace(named[0], `url("${await dataAddress(await reply.blob())}")`);
		}),
	);
	return rules.join('');
}

/**
 * @param {Blob} file
 * @returns {Promise<string>} an address that holds the file itself
 */
function dataAddress(file) {
	return new Promise((done, failed) => {
		const reader = new FileReader();
		reader.addEventListener('load', () => done(String(reader.result)));
		reader.addEventListener('error', () => failed(reader.error));
		reader.readAsDataURL(file);
	});
}

/** @returns {Promise<Blob|null>} the picture as PNG */
async function photo() {
	const svg = need(stage, 'svg', SVGSVGElement);
	const copy = /** @type {SVGSVGElement} */ (svg.cloneNode(true));
	dress(svg, copy);
	// a photo is as large as a desk, whatever it is taken with
	copy.querySelector('.picture-phone')?.remove();
	const named = document.createElementNS('http://www.w3.org/2000/svg', 'style');
	named.textContent = await lettering();
	copy.prepend(named);
	const box = svg.viewBox.baseVal;
	const high = Math.round((WIDE_PX * box.height) / box.width);
	copy.setAttribute('xmlns', 'http://www.w3.org/2000/svg');
	copy.setAttribute('width', String(WIDE_PX));
	copy.setAttribute('height', String(high));
	const image = new Image();
	image.src = `data:image/svg+xml;charset=utf-8,${encodeURIComponent(new XMLSerializer().serializeToString(copy))}`;
	await image.decode();
	const canvas = document.createElement('canvas');
	canvas.width = WIDE_PX;
	canvas.height = high;
	const pen = canvas.getContext('2d');
	if (!pen) return null;
	pen.fillStyle = getComputedStyle(stage).getPropertyValue('--paper') || 'white';
	pen.fillRect(0, 0, WIDE_PX, high);
	pen.drawImage(image, 0, 0, WIDE_PX, high);
	return new Promise((done) => canvas.toBlob(done, 'image/png'));
}

keep.hidden = false;
keep.addEventListener('click', async () => {
	const blob = await photo();
	if (!blob) return;
	const link = document.createElement('a');
	link.href = URL.createObjectURL(blob);
	link.download = `${stage.dataset['name'] ?? 'room'}.png`;
	link.click();
	URL.revokeObjectURL(link.href);
});

const revision = Number(stage.dataset['revision']);
follow(stage.dataset['plan'] ?? '', (news) => {
	if (news?.revision !== undefined && news.revision !== revision) location.reload();
});
