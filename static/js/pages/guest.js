/** The guest's page: the plan with its flags and letters, the snags in words, what is said. */

import { ask, PlanApi } from '../api.js';
import { button, el, need, say, sv } from '../dom.js';
import { gestures } from '../input/gestures.js';
import { follow } from '../live.js';
import { countWords } from '../model/words.js';
import { messages } from '../panels/message.js';
import { RemarksPanel } from '../panels/remarks.js';
import { Flags } from '../view/flags.js';
import { Letters } from '../view/letters.js';
import { Names } from '../view/names.js';
import { underlay } from '../view/sketch.js';
import { Viewport } from '../view/viewport.js';

/** @import {Picture, Talk, Verdict} from '../types.js' */

/**
 * @type {{id: string, rights: 'look'|'comment'|'edit', name: string, revision: number,
 *   verdict: Verdict, said: Talk, picture: Picture|null, sketch: boolean}}
 */
const page = JSON.parse(need(document, '#page-data', HTMLScriptElement).textContent ?? '');
const api = new PlanApi(page.id);
const stage = need(document, '.stage', HTMLElement);
const drawing = need(stage, 'svg.figure', SVGSVGElement);
const overlay = need(stage, 'svg.overlay', SVGSVGElement);
const tell = messages(need(stage, '.message', HTMLElement));
const lineState = need(document, '.line-state', HTMLElement);

const [x = 0, y = 0, width = 5000, height = 5000] = (drawing.getAttribute('viewBox') ?? '').split(/[\s,]+/).map(Number);
const viewport = new Viewport(stage, [drawing, overlay], { x0: x, y0: y, x1: x + width, y1: y + height });
const names = new Names(drawing, viewport);
const flags = new Flags(need(overlay, '.flags', SVGGElement), viewport, () => names.boxes());
const lay = underlay(drawing, viewport, api.address);
const letters = new Letters(overlay, viewport, (id) => panel.choose(id));
let { revision, verdict } = page;
/** @type {string|null} */
let chosen = null;
let pointing = false;

const panel = new RemarksPanel(need(document, '#said', HTMLElement), {
	plan: page.id,
	may: page.rights !== 'look',
	revision: () => revision,
	draw: (remarks, id) => letters.show(remarks, id),
	mark: (at) => letters.place(at),
	point(on) {
		pointing = on;
		if (!on) return;
		stage.scrollIntoView({ block: 'nearest' });
		tell('Tap the place on the plan that it is about.');
	},
	reveal(remark) {
		stage.scrollIntoView({ block: 'nearest' });
		viewport.reveal(remark, 60);
	},
});

gestures(
	stage,
	(event) => {
		if (event.target instanceof Element && event.target.closest('button')) return null;
		viewport.look();
		const start = { x: event.clientX, y: event.clientY };
		const key = event.target instanceof Element ? event.target.closest('[data-snag]') : null;
		let last = start;
		return {
			move(e) {
				viewport.pan(e.clientX - last.x, e.clientY - last.y);
				last = { x: e.clientX, y: e.clientY };
			},
			tap() {
				if (pointing) {
					pointing = false;
					panel.put(viewport.toPlan(start.x, start.y));
				} else if (key) choose(key.getAttribute('data-snag'));
			},
		};
	},
	(factor, px, py, dx, dy) => {
		viewport.pan(dx, dy);
		viewport.zoom(factor, px, py);
	},
);
const sizes = /** @type {Record<string, () => void>} */ ({
	larger: () => viewport.zoom(1.25),
	smaller: () => viewport.zoom(0.8),
	fit: () => viewport.fit(),
});
stage.addEventListener('click', (event) => {
	const pressed = event.target instanceof Element ? event.target.closest('[data-act]') : null;
	sizes[pressed?.getAttribute('data-act') ?? '']?.();
});

/** @param {string|null} key of a snag */
function choose(key) {
	chosen = key === chosen ? null : key;
	list();
	const snag = verdict.snags.find((one) => one.key === chosen);
	if (snag?.where) viewport.reveal(snag.where, 60);
	document.querySelector('.snag-words .is-chosen')?.scrollIntoView({ block: 'nearest' });
}

function list() {
	flags.show(verdict, chosen);
	say(need(document, '#counts', HTMLElement), countWords(verdict.counts));
	need(document, '#no-snags', HTMLElement).hidden = verdict.snags.length > 0;
	const rows = verdict.snags.map((snag) => {
		const number = button('', '', () => choose(snag.key), String(snag.number));
		number.setAttribute('aria-label', `${snag.severity} ${snag.number}: show it on the plan`);
		const look = `${snag.severity}${snag.settled ? ' is-settled' : ''}${snag.key === chosen ? ' is-chosen' : ''}`;
		const lines = (snag.lines ?? []).map((line) => el('li', {}, line));
		const sentence = lines.length ? el('ul', { class: 'said-lines' }, lines) : document.createTextNode(snag.sentence);
		const words = el('div', {}, [el('b', {}, `${snag.who} (${snag.severity})`), sentence]);
		return el('li', { class: look, 'data-key': snag.key }, [number, words]);
	});
	need(document, '.snag-words', HTMLElement).replaceChildren(...rows);
}

/** Letter each piece once more over all of them: in a small drawing names run over what is beside. */
function raiseNames() {
	const above = [...drawing.querySelectorAll('.layer-kit > .piece')].flatMap((piece) => {
		const transform = piece.getAttribute('transform') ?? '';
		const own = [...piece.querySelectorAll('.name')].map((name) => name.cloneNode(true));
		return own.length ? [sv('g', { transform }, /** @type {SVGElement[]} */ (own))] : [];
	});
	drawing.querySelector('.layer-kit')?.append(sv('g', { class: 'names-above' }, above));
}

const room = need(document, '#picture', HTMLElement);
let [roomNear, roomDrawn, roomAsked] = [false, -1, false];
/** Show the room as a picture once somebody comes to it, and again where it has changed. */
async function drawRoom() {
	if (!roomNear || roomAsked || roomDrawn === revision) return;
	roomAsked = true;
	const wanted = revision;
	try {
		const { svg } = await ask('/guest/picture');
		const drawn = new DOMParser().parseFromString(svg, 'image/svg+xml').documentElement;
		room.replaceChildren(document.importNode(drawn, true));
		roomDrawn = wanted;
	} catch (error) {
		say(lineState, error instanceof Error ? error.message : String(error));
	}
	roomAsked = false;
	if (roomDrawn === wanted) await drawRoom();
}
new IntersectionObserver(
	(seen) => {
		roomNear = seen.some((one) => one.isIntersecting);
		void drawRoom();
	},
	{ rootMargin: '600px' },
).observe(room);

let reading = false;
/** Show the plan as it stands, and once more if it changed while it was read. @param {number} wanted */
async function read(wanted) {
	if (reading || wanted <= revision) return;
	reading = true;
	try {
		const answer = await api.read();
		const fresh = new DOMParser().parseFromString(answer.drawing, 'image/svg+xml').documentElement;
		drawing.replaceChildren(...[...fresh.childNodes].map((node) => document.importNode(node, true)));
		raiseNames();
		names.stale();
		({ revision, verdict } = answer);
		lay(page.sketch ? answer.plan.picture : null);
		say(need(document, '#name', HTMLElement), answer.plan.name);
		list();
		panel.show(panel.talk);
		void drawRoom();
		for (const sheet of document.querySelectorAll('.sheet-picture')) {
			if (!(sheet instanceof HTMLImageElement)) continue;
			const fresh = new URL(sheet.src);
			fresh.searchParams.set('of', String(revision));
			sheet.src = String(fresh);
		}
		document.body.dataset['revision'] = String(revision);
		say(lineState, '');
	} catch (error) {
		say(lineState, error instanceof Error ? error.message : String(error));
	}
	reading = false;
}

raiseNames();
lay(page.sketch ? page.picture : null);
list();
panel.show(page.said);
const others = need(document, '.others', HTMLElement);
let remarkCount = -1;
follow(page.id, (news) => {
	say(lineState, news ? '' : 'The line is broken; what you see may be old.');
	if (!news) return;
	if (news.revision !== null) void read(news.revision);
	if (remarkCount >= 0 && news.said !== remarkCount) void panel.read();
	remarkCount = news.said;
	const rest = news.who.filter((name) => name !== page.name);
	others.hidden = rest.length === 0;
	say(others, rest.length ? `also looking: ${rest.join(', ')}` : '');
});
document.body.dataset['ready'] = 'yes';
document.body.dataset['revision'] = String(revision);
