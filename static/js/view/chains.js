/**
 * Puts the figures of chains clear of ticks, walls and one another where letters are larger than
 * they were placed for: how large they are beside the room is known only in the window.
 */

/** @typedef {{left: number, top: number, right: number, bottom: number}} Box on the screen, in px */

/** How far a figure may go outwards from the walls, and along its chain, in px. */
const ASIDE_PX = [0, 5, 10, 15, 20, 26, 32];
const ALONG_PX = [0, -7, 7, -14, 14, -21, 21, -28, 28];
/** A figure is sooner sought outwards than along, where it may be taken for its neighbour's. */
const ALONG_COSTS = 1.2;
/** How near to a figure its own chain runs, in px. */
const NEAR_PX = 6;
const WAYS = ASIDE_PX.flatMap((out) => ALONG_PX.map((along) => ({ out, along }))).sort((a, b) => costOf(a) - costOf(b));

/** @param {{out: number, along: number}} way */
function costOf(way) {
	return way.out + Math.abs(way.along) * ALONG_COSTS;
}

/**
 * Move figures where they lie over ticks, walls or one another: long ones stay, for they have the room.
 * @param {SVGElement | null} figure
 * @returns {Box[]} where they stand then
 */
export function clearChains(figure) {
	const texts = [...(figure?.querySelectorAll('.dimt') ?? [])].filter((one) => one instanceof SVGElement);
	for (const text of texts) text.style.translate = '';
	const wall = figure?.querySelector('.layer-walls');
	const screen = wall instanceof SVGGElement ? wall.getScreenCTM() : null;
	if (!figure || !wall || !screen?.a) return [];
	const frame = figure.getBoundingClientRect();
	const walls = boxOf(wall);
	const ticks = [...figure.querySelectorAll('.tick')].map(boxOf).filter((box) => box.right > box.left);
	const lines = [...figure.querySelectorAll('.dim:not(.witness)')].map(boxOf);
	const solid = solids(wall, screen.inverse());
	const px = screen.a;
	const seen = texts
		.map((text) => ({ text, box: boxOf(text) }))
		.filter(({ box }) => box.right > box.left)
		.sort((a, b) => crossed(a.box, ticks) - crossed(b.box, ticks) || sizeOf(b.box) - sizeOf(a.box));
	/** @type {Box[]} */
	const placed = [];
	for (const { text, box } of seen) {
		const [ox, oy] = outwards(box, walls);
		/** @param {{out: number, along: number}} way */
		const shift = ({ out, along }) => ({ x: ox * out + Math.abs(oy) * along, y: oy * out + Math.abs(ox) * along });
		// on the line of another chain it would be taken for one of its figures
		const foreign = lines.filter((line) => !shared(grown(line, 1), grown(box, NEAR_PX)));
		const free = WAYS.map(shift).find(({ x, y }) => {
			const moved = shifted(box, x, y);
			return (
				within(moved, frame) &&
				!crossed(moved, ticks) &&
				!crossed(moved, placed) &&
				!foreign.some((line) => shared(grown(line, 1), moved)) &&
				!solid(moved)
			);
		});
		if (free && (free.x || free.y)) text.style.translate = `${free.x / px}px ${free.y / px}px`;
		placed.push(free ? shifted(box, free.x, free.y) : box);
	}
	return placed;
}

/**
 * Whether a box on the screen meets a wall that is filled.
 * @param {Element} walls @param {DOMMatrix} toRoom @returns {(box: Box) => boolean}
 */
function solids(walls, toRoom) {
	const paths = [...walls.querySelectorAll('path.wall')].filter((one) => one instanceof SVGGeometryElement);
	return ({ left, right, top, bottom }) => {
		const middle = { x: (left + right) / 2, y: (top + bottom) / 2 };
		const at = [middle.x, left, right].flatMap((x) => [middle.y, top, bottom].map((y) => new DOMPoint(x, y)));
		return at.map((one) => one.matrixTransform(toRoom)).some((one) => paths.some((path) => path.isPointInFill(one)));
	};
}

/** @param {Box} box @param {Box} frame */
function within(box, frame) {
	return box.left >= frame.left && box.right <= frame.right && box.top >= frame.top && box.bottom <= frame.bottom;
}

/** @param {Box} box @param {Box} walls @returns {[number, number]} the way out from the walls */
function outwards(box, walls) {
	const [x, y] = [(box.left + box.right) / 2, (box.top + box.bottom) / 2];
	if (y < walls.top) return [0, -1];
	if (y > walls.bottom) return [0, 1];
	return x < (walls.left + walls.right) / 2 ? [-1, 0] : [1, 0];
}

/** @param {Element} one @returns {Box} */
export function boxOf(one) {
	const { left, top, right, bottom } = one.getBoundingClientRect();
	return { left, top, right, bottom };
}

/** @param {Box} box */
function sizeOf(box) {
	return Math.max(box.right - box.left, box.bottom - box.top);
}

/** @param {Box} box @param {number} x @param {number} y @returns {Box} */
export function shifted(box, x, y) {
	return { left: box.left + x, right: box.right + x, top: box.top + y, bottom: box.bottom + y };
}

/** @param {Box} box @param {number} by px on each side */
function grown({ left, top, right, bottom }, by) {
	return { left: left - by, top: top - by, right: right + by, bottom: bottom + by };
}

/** How many others a box meets. @param {Box} box @param {Box[]} others */
export function crossed(box, others) {
	return others.filter((other) => shared(box, other) > 0).length;
}

/** @param {Box} one @param {Box} other @returns {number} what they share, in square px */
export function shared(one, other) {
	const wide = Math.min(one.right, other.right) - Math.max(one.left, other.left);
	const high = Math.min(one.bottom, other.bottom) - Math.max(one.top, other.top);
	return wide > 0 && high > 0 ? wide * high : 0;
}
