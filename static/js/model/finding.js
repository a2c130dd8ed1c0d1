/**
 * Finding a thing by what people call it: by the beginnings of words, by other forms of them, and
 * with one slip of the hand; and where no thing has all words, by the words that tell most.
 */

const SLIP_FROM = 4;
const NEAREST = 3;

/** How well a word that was typed agrees with one that is there: the less the better. */
const FIT = { whole: 0, begins: 1, form: 2, within: 3, slip: 4 };
/** What falls off a word in its other forms: folding, folded, foldable; rowing, rower; shelves. */
const ENDING = /(ing|able|ers|er|ed|es|e|s|y|ies)$/;
const STEM_LEAST = 3;
/** With a word that no thing has, what has at least this share of the best is found. */
const NEARLY = 0.6;
const PARTIAL = 40;

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

/** @type {Map<string, string>} what was asked before: the words of a shelf are few */
const stems = new Map();

/** The part of a word that its forms share. @param {string} word */
function stem(word) {
	const known = stems.get(word);
	if (known !== undefined) return known;
	const short = word.replace(ENDING, '');
	const made = short.length < STEM_LEAST ? word : short.replace(/(\p{L})\1$/u, '$1');
	stems.set(word, made);
	return made;
}

/** @type {WeakMap<Named, {places: string[][], all: string[]}>} */
const read = new WeakMap();

/** The words of a thing: each of its names, and all that is said of it. @param {Named} thing */
function allWordsOf(thing) {
	const known = read.get(thing);
	if (known) return known;
	const places = [thing.name, ...thing.called.split(',')].map(wordsOf);
	const made = { places, all: [...places.flat(), ...wordsOf(thing.rest)] };
	read.set(thing, made);
	return made;
}

/** Whether two words differ by one slip. @param {string} a @param {string} b */
function oneSlip(a, b) {
	return Math.abs(a.length - b.length) < 2 && slips(a, b) === 1;
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
		else if (stem(word) === stem(typed)) now = FIT.form;
		else if (typed.length >= SLIP_FROM && word.includes(typed)) now = FIT.within;
		else if (typed.length >= SLIP_FROM && oneSlip(typed, word)) now = FIT.slip;
		else if (typed.length > SLIP_FROM && oneSlip(stem(typed), stem(word))) now = FIT.slip;
		else if (typed.length > SLIP_FROM && oneSlip(typed, word.slice(0, typed.length))) now = FIT.slip + 1;
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
	const { places, all } = allWordsOf(thing);
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
		const run = words.join('');
		if (sum === Infinity && joined.length >= SLIP_FROM && run.startsWith(joined)) sum = FIT.begins + 1;
		if (sum === Infinity && joined.length > SLIP_FROM && oneSlip(joined, run)) sum = FIT.slip + 1;
		if (sum === Infinity) return;
		sum += (words.length - typed.length) / 10;
		if (best === null || sum < best) best = sum;
	});
	if (best !== null) return best;
	const fits = typed.map((one) => fit(one, all));
	return fits.every((how) => how !== null) ? 20 + fits.reduce((sum, how) => sum + how, 0) : null;
}

/**
 * Tell how well each thing is found by a text. Where no thing has all its words, those count that
 * fewest things have: "beer fridge" finds the fridge.
 * @param {readonly Named[]} things @param {string} text
 * @returns {(number|null)[]} in the order of the things, the least the best; null for not at all
 */
export function ranks(things, text) {
	const whole = things.map((thing) => rank(thing, text));
	if (whole.some((by) => by !== null)) return whole;
	const typed = wordsOf(text);
	const fits = typed.map((one) => things.map((thing) => fit(one, allWordsOf(thing).all)));
	const tells = fits.map((row) => 1 / Math.max(1, row.filter((how) => how !== null).length));
	const sums = things.map((_, i) =>
		fits.reduce((sum, row, n) => {
			const how = row[i] ?? null;
			return how === null ? sum : sum + (tells[n] ?? 0) / (1 + how);
		}, 0),
	);
	const best = Math.max(...sums);
	return sums.map((sum) => (best > 0 && sum >= best * NEARLY ? PARTIAL + (1 - sum / best) : null));
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
