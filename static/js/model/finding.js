/** Finding a thing by what people call it: by the beginnings of words, and with one slip of the hand. */

const SLIP_FROM = 4;
const NEAREST = 3;

/** How well a word that was typed agrees with one that is there: the less the better. */
const FIT = { whole: 0, begins: 1, within: 3, slip: 4 };

/**
 * @typedef {{name: string, called: string, rest: string}} Named what a thing is called, its other
 * names between commas, and whatever else is said of it
 */

/** @param {string} text @returns {string[]} */
export function wordsOf(text) {
	return text
		.toLowerCase()
		.normalize('NFKD')
		.replace(/[\u0300-\u036f’']/g, '')
		.split(/[^\p{L}\p{N}]+/u)
		.filter(Boolean);
}

/**
 * Tell by how many single slips (a letter too many, too few, another, two in the wrong order) two
 * words differ: Damerau's distance, at most two.
 * @param {string} a @param {string} b
 */
export function slips(a, b) {
	if (Math.abs(a.length - b.length) > 2) return 3;
	/** @type {number[][]} */
	const table = [Array.from({ length: b.length + 1 }, (_, j) => j)];
	for (let i = 1; i <= a.length; i += 1) {
		const row = [i];
		for (let j = 1; j <= b.length; j += 1) {
			const same = a[i - 1] === b[j - 1] ? 0 : 1;
			let least = Math.min(at(table, i - 1, j) + 1, (row[j - 1] ?? 0) + 1, at(table, i - 1, j - 1) + same);
			if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1])
				least = Math.min(least, at(table, i - 2, j - 2) + 1);
			row.push(least);
		}
		table.push(row);
	}
	return at(table, a.length, b.length);
}

/** @param {number[][]} table @param {number} i @param {number} j */
function at(table, i, j) {
	return table[i]?.[j] ?? 0;
}

/**
 * @param {string} typed @param {string[]} words
 * @returns {number|null} how well the word agrees with the best of them; null for not at all
 */
function fit(typed, words) {
	/** @type {number|null} */
	let best = null;
	for (const word of words) {
		let now = null;
		if (word === typed) now = FIT.whole;
		else if (word.startsWith(typed)) now = FIT.begins;
		else if (typed.length >= SLIP_FROM && word.includes(typed)) now = FIT.within;
		else if (typed.length >= SLIP_FROM && slips(typed, word) === 1) now = FIT.slip;
		else if (typed.length > SLIP_FROM && slips(typed, word.slice(0, typed.length)) === 1) now = FIT.slip + 1;
		if (now !== null && (best === null || now < best)) best = now;
	}
	return best;
}

/**
 * @param {Named} thing @param {string} text
 * @returns {number|null} how well a thing is found by a text, the least the best; null for not at all
 */
export function rank(thing, text) {
	const typed = wordsOf(text);
	const places = [thing.name, ...thing.called.split(',')].map(wordsOf);
	const joined = typed.join('');
	/** @type {number|null} */
	let best = null;
	places.forEach((words, place) => {
		if (!words.length) return;
		let sum = place ? 1 : 0;
		for (const one of typed) {
			const how = fit(one, words);
			if (how === null) {
				sum = Infinity;
				break;
			}
			sum += how;
		}
		// "tread mill" is one word in two, "pullup" two in one
		if (sum === Infinity && joined.length >= SLIP_FROM && words.join('').startsWith(joined)) sum = FIT.begins + 1;
		if (sum === Infinity) return;
		sum += (words.length - typed.length) / 10;
		if (best === null || sum < best) best = sum;
	});
	if (best !== null) return best;
	const all = [...places.flat(), ...wordsOf(thing.rest)];
	const fits = typed.map((one) => fit(one, all));
	return fits.every((how) => how !== null) ? 20 + fits.reduce((sum, how) => sum + how, 0) : null;
}

/**
 * Name the things that come nearest to a text that finds none.
 * @template {Named} T
 * @param {T[]} things @param {string} text @returns {T[]}
 */
export function nearest(things, text) {
	const typed = wordsOf(text);
	const far = (/** @type {T} */ thing) => {
		const words = wordsOf(`${thing.name} ${thing.called}`);
		return Math.min(
			...typed.map((one) => Math.min(...words.map((word) => slips(one, word) + (word[0] === one[0] ? 0 : 1)))),
		);
	};
	return things
		.map((thing) => ({ thing, by: far(thing) }))
		.sort((a, b) => a.by - b.by)
		.slice(0, NEAREST)
		.map((one) => one.thing);
}
