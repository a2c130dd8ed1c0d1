/**
 * Keeps the focus in the page for who goes by keys: where what had it is taken away, shut or can no
 * longer be pressed, the focus goes to the same thing in what came instead, else to what follows it.
 * Who set it on purpose comes first: this looks only when all of that has run.
 */

const TAKES = 'a[href], button, input:not([type="hidden"]), select, textarea, summary, h1, h2, h3';
/** In the drawing the focus takes a piece into the hand, which nothing but a hand does. */
const DRAWN = 'svg *';

/** @type {Element|null} */
let held = null;
/** What had the focus before that. @type {Element|null} */
let before = null;
/** What had the focus when something was opened. @type {WeakMap<Element, Element>} */
const openers = new WeakMap();
let byPointer = false;

/** @param {Element|null} one @returns {one is HTMLElement} whether the focus can go there */
function takes(one) {
	return (
		one instanceof HTMLElement &&
		one.isConnected &&
		one.matches(TAKES) &&
		(one.tabIndex >= 0 || (one.matches('h1, h2, h3') && one.hasAttribute('tabindex'))) &&
		!one.matches(`:disabled, [inert] *, ${DRAWN}`) &&
		one.getClientRects().length > 0
	);
}

/** @param {Element} one @returns {HTMLElement|null} itself or the first inside it that can have the focus */
function firstIn(one) {
	return [one, ...one.querySelectorAll(TAKES)].find(takes) ?? null;
}

/** Hidden fields that do not say what a form is about. */
const NO_IDS = ['of', 'revision'];

/** What tells a thing from its like: what it is, what it says, and of what. @param {Element} one */
function marksOf(one) {
	const form = one.closest('form');
	const about = [...(form?.querySelectorAll('input[type="hidden"]') ?? [])].map((each) =>
		each instanceof HTMLInputElement && !NO_IDS.includes(each.name) ? each.value : '',
	);
	const own = ['id', 'name', 'value', 'data-act', 'href'].map((name) => one.getAttribute(name) ?? '');
	const row = one.closest('[data-key]')?.getAttribute('data-key') ?? '';
	return [one.tagName, one instanceof HTMLInputElement ? '' : one.textContent, ...own, row, ...about].join('\n');
}

/**
 * Where something was that has gone: what held it, and what came next there.
 * @param {Element} gone @param {MutationRecord[]} records
 * @returns {{parent: Element, next: Node|null}|null}
 */
function placeOf(gone, records) {
	/** @type {{parent: Element, next: Node|null}|null} */
	let place = null;
	for (let node = /** @type {Node} */ (gone); !node.isConnected; node = place.parent) {
		const top = node.getRootNode();
		const record = records.find(({ removedNodes }) => [...removedNodes].includes(/** @type {ChildNode} */ (top)));
		if (!(record?.target instanceof Element)) return null;
		const near = [...record.addedNodes, record.nextSibling].find((one) => one?.parentNode === record.target);
		const after = record.previousSibling?.parentNode === record.target ? record.previousSibling.nextSibling : null;
		place = { parent: record.target, next: near ?? after };
	}
	return place;
}

/**
 * What is nearest to a place: what follows in what holds it, then what comes before, then further out.
 * @param {Element|null} parent @param {Node|null} next
 */
function nearest(parent, next) {
	for (
		let out = parent, at = next;
		out && out !== document.documentElement;
		at = out.nextSibling, out = out.parentElement
	) {
		const inside = [...out.children];
		const from = inside.findIndex(
			(one) => at && (one === at || at.compareDocumentPosition(one) & Node.DOCUMENT_POSITION_FOLLOWING),
		);
		const cut = from < 0 ? inside.length : from;
		for (const one of [...inside.slice(cut), ...inside.slice(0, cut).reverse()]) {
			const found = firstIn(one);
			if (found) return found;
		}
	}
	return null;
}

/** @param {Element} gone @param {MutationRecord[]} records @returns {HTMLElement|null} */
function instead(gone, records) {
	const shut = gone.closest('[hidden]');
	if (shut) {
		const opener = shut === gone ? null : (openers.get(shut) ?? null);
		return takes(opener) ? opener : nearest(shut.parentElement, shut.nextSibling);
	}
	if (gone.isConnected) return nearest(gone.parentElement, gone.nextSibling);
	const place = placeOf(gone, records);
	if (!place) return null;
	const came = records.flatMap(({ addedNodes }) => [...addedNodes]).filter((one) => one instanceof Element);
	const marks = marksOf(gone);
	const same = came
		.flatMap((one) => [one, ...one.querySelectorAll(gone.tagName)])
		.find((one) => takes(one) && marksOf(one) === marks);
	return same instanceof HTMLElement ? same : nearest(place.parent, place.next);
}

/** @param {MutationRecord[]} records */
function look(records) {
	for (const { type, target } of records) {
		if (type !== 'attributes' || !(target instanceof HTMLElement) || target.hidden) continue;
		const opener = held && target.contains(held) ? before : held;
		if (opener) openers.set(target, opener);
	}
	const now = document.activeElement;
	if (!held || byPointer || (now && now !== document.body && now !== held)) return;
	if (held.isConnected && !held.matches(':disabled') && !held.closest('[hidden]')) return;
	instead(held, records)?.focus();
}

addEventListener('pointerdown', () => (byPointer = true), { capture: true });
addEventListener('keydown', () => (byPointer = false), { capture: true });
// who presses by voice or by a reader of the screen has no pointer either
addEventListener('click', ({ detail }) => detail === 0 && (byPointer = false), { capture: true });
addEventListener('focusin', ({ target }) => {
	if (target instanceof Element && target !== held) [before, held] = [held, target];
});
new MutationObserver(look).observe(document.body, {
	childList: true,
	subtree: true,
	attributeFilter: ['hidden', 'disabled'],
});

export {};
