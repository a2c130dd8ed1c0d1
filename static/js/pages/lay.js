/**
 * Laying: a tick goes out behind the hand. Without a signal it waits on this device, the next pieces
 * are shown from what was fetched before, and it goes out later in its turn.
 */

/** @typedef {{edit: string, of: string, piece: string}} Tick */

const STORED_AS = `lay.${location.pathname}`;
/** Pieces that are fetched ahead: an hour in a garage without a signal. */
const AHEAD = 12;
const AGAIN_MS = 15_000;

/** Pages of pieces that were fetched ahead, by number. @type {Map<string, Document>} */
const pages = new Map();
let sending = false;

/** @returns {Tick[]} what is still to be sent, in its order */
function waiting() {
	try {
		/** @type {unknown} */
		const stored = JSON.parse(localStorage.getItem(STORED_AS) ?? '[]');
		return Array.isArray(stored) ? stored : [];
	} catch {
		return [];
	}
}

/** @param {Tick[]} ticks */
function keep(ticks) {
	if (ticks.length) localStorage.setItem(STORED_AS, JSON.stringify(ticks));
	else localStorage.removeItem(STORED_AS);
}

/** @param {string} words */
function tell(words) {
	const place = document.querySelector('[data-waits]');
	if (place) place.textContent = words;
}

function tellWaiting() {
	const ticks = waiting();
	if (!ticks.length) return tell('');
	const numbers = ticks.map((tick) => tick.piece).join(', ');
	const one = ticks.length === 1;
	tell(
		`No signal: ${one ? 'piece' : 'pieces'} ${numbers} ${one ? 'is' : 'are'} kept here as laid and told as soon as there is one.`,
	);
}

/**
 * @param {Tick} tick
 * @returns {Promise<Response|null>} the answer, null where there was none
 */
async function send(tick) {
	const body = new FormData();
	for (const [name, value] of Object.entries(tick)) body.set(name, value);
	try {
		const reply = await fetch(location.pathname, { method: 'POST', body });
		return reply.status >= 500 ? null : reply;
	} catch {
		return null;
	}
}

/** Send what waits, in its order; then show the floor as it is kept. */
async function sendAll() {
	if (sending) return;
	sending = true;
	try {
		for (let [first] = waiting(); first; [first] = waiting()) {
			const reply = await send(first);
			if (!reply) return tellWaiting();
			keep(waiting().slice(1));
			if (!reply.ok) {
				const faults = read(await reply.text()).querySelector('.faults');
				return tell(`Piece ${first.piece} was not kept. ${faults?.textContent?.trim() ?? ''}`);
			}
			if (!waiting().length) location.assign(reply.url);
		}
	} finally {
		sending = false;
	}
}

/** @param {string} text @returns {Document} */
function read(text) {
	return new DOMParser().parseFromString(text, 'text/html');
}

/** @param {Document} page @returns {string} the number of the piece that comes after */
function next(page) {
	return page.querySelector('[data-next]')?.getAttribute('data-next') ?? '';
}

async function fetchAhead() {
	let number = next(document);
	const of = new URLSearchParams(location.search).get('of') ?? '';
	for (let i = 0; number && i < AHEAD; i++) {
		try {
			const reply = await fetch(`${location.pathname}?of=${encodeURIComponent(of)}&at=${number}`);
			if (!reply.ok) return;
			const page = read(await reply.text());
			pages.set(number, page);
			number = next(page);
		} catch {
			return;
		}
	}
}

/** Show a piece from what was fetched ahead. @param {string} number */
function show(number) {
	const page = pages.get(number);
	for (const part of ['main', '.top .here']) {
		const [old, fresh] = [document.querySelector(part), page?.querySelector(part)];
		if (old && fresh) old.replaceChildren(...[...fresh.childNodes].map((node) => document.importNode(node, true)));
	}
	window.scrollTo(0, 0);
}

document.addEventListener('submit', (event) => {
	const form = event.target;
	if (!(form instanceof HTMLFormElement) || form.dataset['lies'] === undefined) return;
	event.preventDefault();
	const data = new FormData(form);
	const [edit, of, piece] = ['edit', 'of', 'piece'].map((name) => String(data.get(name) ?? ''));
	if (!edit || of === undefined || !piece) return;
	const others = waiting().filter((tick) => tick.piece !== piece || tick.of !== of);
	keep([...others, { edit, of, piece }]);
	void sendAll().then(() => {
		if (!waiting().length) return;
		const after = next(document);
		if (pages.has(after)) show(after);
		tellWaiting();
	});
});
window.addEventListener('online', () => void sendAll());
setInterval(() => {
	if (waiting().length) void sendAll();
}, AGAIN_MS);
if (waiting().length) void sendAll();
else void fetchAhead();

export {};
