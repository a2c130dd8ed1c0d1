/**
 * Puts the lettering of the room's drawing clear of one another. How large it is beside the room is
 * known only here: lettering keeps its size, while the room is as large as the window lets it.
 */

/** @typedef {{left: number, top: number, right: number, bottom: number}} Box on the screen, in px */

const BADGE_PX = 11;
/**
 * How far inside the face of a wall a letter stands that has no room within the wall; the further
 * ones for a stub beside a door that is no longer than the number of its corner.
 */
const INSIDE_PX = 15;
const FURTHER_INSIDE_PX = [27, 39];
const ALONG = [0.5, 0.35, 0.65, 0.2, 0.8];
const ASIDE_PX = [0, 5, 10, 15, 20];
/** How much further from its corner a number goes for words. */
const FURTHER_PX = [0, 8, 16, 24];
const NOTES = '.layer-notes text, .layer-low text, .layer-kit text';
/** How far the arrow of the fall goes aside for words, in px, the nearest first. */
const FALL_ASIDE_PX = [0, 25, -25, 50, -50, 75, -75, 100, -100];

/** @param {HTMLElement} stage */
export function placeLettering(stage) {
	const overlay = stage.querySelector('#overlay');
	const screen = overlay instanceof SVGSVGElement ? overlay.getScreenCTM() : null;
	if (!screen || !screen.a) return;
	const figures = clearFigures(stage, screen.a);
	clearNumbers(stage, screen.a);
	clearFall(stage, screen.a);
	const standing = [...figures, ...boxes(stage, '.corner-number, .plug, .grip, .layer-notes text, .layer-low text')];
	/** @param {number} x @param {number} y */
	const at = (x, y) => new DOMPoint(x, y).matrixTransform(screen);
	for (const badge of stage.querySelectorAll('circle.badge[data-spots], circle.badge[data-along]')) {
		const spots = spotsOf(badge, screen.a);
		let best = spots[0];
		let least = Infinity;
		for (const spot of spots) {
			const { x, y } = at(spot.x, spot.y);
			const box = { left: x - BADGE_PX, right: x + BADGE_PX, top: y - BADGE_PX, bottom: y + BADGE_PX };
			const over = standing.reduce((sum, other) => sum + shared(box, other), 0);
			if (over >= least) continue;
			[best, least] = [spot, over];
			if (!over) break;
		}
		if (!best) continue;
		const letter = badge.nextElementSibling;
		for (const [element, names] of /** @type {const} */ ([
			[badge, ['cx', 'cy']],
			[letter, ['x', 'y']],
		])) {
			element?.setAttribute(names[0], String(best.x));
			element?.setAttribute(names[1], String(best.y));
		}
		const { x, y } = at(best.x, best.y);
		standing.push({ left: x - BADGE_PX, right: x + BADGE_PX, top: y - BADGE_PX, bottom: y + BADGE_PX });
	}
}

/** Shift the arrow of the fall to where it covers no word. @param {HTMLElement} stage @param {number} px of a mm */
function clearFall(stage, px) {
	const fall = stage.querySelector('.falls');
	if (!(fall instanceof SVGGElement)) return;
	fall.style.translate = '';
	const taken = boxes(stage, `${NOTES}, .badge`);
	const box = boxOf(fall);
	const level = box.right - box.left > box.bottom - box.top;
	const best = FALL_ASIDE_PX.map((far) => ({ x: level ? 0 : far, y: level ? far : 0 })).find(
		({ x, y }) => !crossed(shifted(box, x, y), taken),
	);
	if (best) fall.style.translate = `${best.x / px}px ${best.y / px}px`;
}

/** Put the number of a corner as near to it as other lettering allows. @param {HTMLElement} stage @param {number} px of a mm */
function clearNumbers(stage, px) {
	const taken = boxes(stage, NOTES);
	for (const number of stage.querySelectorAll('.corner .corner-number')) {
		if (!(number instanceof SVGElement)) continue;
		number.style.translate = '';
		const side = [...number.classList].find((one) => one.startsWith('to-'))?.slice(3) ?? '';
		const [dx, dy] = [
			Number(side.includes('e')) - Number(side.includes('w')),
			Number(side.includes('s')) - Number(side.includes('n')),
		];
		const box = boxOf(number);
		const far = FURTHER_PX.find((one) => !crossed(shifted(box, dx * one, dy * one), taken));
		if (far) number.style.translate = `${(dx * far) / px}px ${(dy * far) / px}px`;
	}
}

/** Where a letter may stand, in mm of the room, the best first. @param {Element} badge @param {number} px of a mm */
function spotsOf(badge, px) {
	const numbers = (/** @type {string} */ name) =>
		(badge.getAttribute(name) ?? '')
			.split(/[\s,]+/)
			.filter(Boolean)
			.map(Number);
	const spots = numbers('data-spots');
	if (spots.length) {
		return spots.flatMap((x, i) => (i % 2 ? [] : [{ x, y: spots[i + 1] ?? 0 }]));
	}
	const [x1 = 0, y1 = 0, x2 = 0, y2 = 0] = numbers('data-along');
	const [nx = 0, ny = 0] = numbers('data-inward');
	const deep = Number(badge.getAttribute('data-deep'));
	/** @param {number[]} ways how far inside, in mm */
	const inside = (...ways) =>
		ALONG.flatMap((share) =>
			ways.map((away) => ({
				x: x1 + (x2 - x1) * share + nx * away,
				y: y1 + (y2 - y1) * share + ny * away,
			})),
		);
	return [...inside(-deep, INSIDE_PX / px), ...FURTHER_INSIDE_PX.flatMap((far) => inside(far / px))];
}

/**
 * Move figures of the chains outwards where they lie over ticks or over one another: long ones
 * stay, for they have the room.
 * @param {HTMLElement} stage @param {number} px of a mm
 * @returns {Box[]} where they stand then
 */
function clearFigures(stage, px) {
	const texts = [...stage.querySelectorAll('#drawing .dimt')].filter((one) => one instanceof SVGElement);
	for (const text of texts) text.style.translate = '';
	const figure = stage.querySelector('#drawing svg');
	const frame = figure?.getBoundingClientRect();
	const walls = boxes(stage, '#drawing .layer-walls')[0];
	const ticks = boxes(stage, '#drawing .tick');
	if (!walls || !frame) return [];
	const seen = texts
		.map((text) => ({ text, box: boxOf(text) }))
		.sort((a, b) => crossed(a.box, ticks) - crossed(b.box, ticks) || sizeOf(b.box) - sizeOf(a.box));
	/** @type {Box[]} */
	const placed = [];
	for (const { text, box } of seen) {
		const [ox, oy] = outwards(box, walls);
		const free = ASIDE_PX.map((far) => ({ far, moved: shifted(box, ox * far, oy * far) })).find(
			({ moved }) =>
				!crossed(moved, [...ticks, ...placed]) &&
				moved.left >= frame.left &&
				moved.right <= frame.right &&
				moved.top >= frame.top &&
				moved.bottom <= frame.bottom,
		);
		if (free?.far) text.style.translate = `${(ox * free.far) / px}px ${(oy * free.far) / px}px`;
		placed.push(free?.moved ?? box);
	}
	return placed;
}

/** @param {Box} box @param {Box} walls @returns {[number, number]} the way out from the walls */
function outwards(box, walls) {
	const [x, y] = [(box.left + box.right) / 2, (box.top + box.bottom) / 2];
	if (y < walls.top) return [0, -1];
	if (y > walls.bottom) return [0, 1];
	return x < (walls.left + walls.right) / 2 ? [-1, 0] : [1, 0];
}

/** @param {ParentNode} holder @param {string} which @returns {Box[]} */
function boxes(holder, which) {
	return [...holder.querySelectorAll(which)].map(boxOf).filter((box) => box.right > box.left || box.bottom > box.top);
}

/** @param {Element} one @returns {Box} */
function boxOf(one) {
	const { left, top, right, bottom } = one.getBoundingClientRect();
	return { left, top, right, bottom };
}

/** @param {Box} box */
function sizeOf(box) {
	return Math.max(box.right - box.left, box.bottom - box.top);
}

/** @param {Box} box @param {number} x @param {number} y @returns {Box} */
function shifted(box, x, y) {
	return { left: box.left + x, right: box.right + x, top: box.top + y, bottom: box.bottom + y };
}

/** How many others a box meets. @param {Box} box @param {Box[]} others */
function crossed(box, others) {
	return others.filter((other) => shared(box, other) > 0).length;
}

/** @param {Box} one @param {Box} other @returns {number} what they share, in square px */
function shared(one, other) {
	const wide = Math.min(one.right, other.right) - Math.max(one.left, other.left);
	const high = Math.min(one.bottom, other.bottom) - Math.max(one.top, other.top);
	return wide > 0 && high > 0 ? wide * high : 0;
}
