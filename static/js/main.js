/** The desk: the one file that knows all its parts and joins them. */

import { PlanApi } from './api.js';
import { need, say } from './dom.js';
import { actions } from './actions.js';
import { carryFromShelf } from './input/carry.js';
import { handOnSheet } from './input/drag.js';
import { keyboard } from './input/keyboard.js';
import { dress, once, untilFetched } from './lazy.js';
import { stationOf } from './model/plan.js';
import { openCount } from './model/words.js';
import { wouldStand } from './model/would_stand.js';
import { onDemand } from './on_demand.js';
import { drawers } from './panels/drawers.js';
import { folds } from './panels/folds.js';
import { Header } from './panels/header.js';
import { Key } from './panels/key.js';
import { messages } from './panels/message.js';
import { Row } from './panels/row.js';
import { Shelf } from './panels/shelf.js';
import { SnagList } from './panels/snag_list.js';
import { ALL_KEPT, Store } from './state/store.js';
import { fetchStock, unfolded } from './stock.js';
import { Sync } from './sync.js';
import { Figure } from './view/figure.js';
import { Flags } from './view/flags.js';
import { Ghosts } from './view/ghosts.js';
import { Grips } from './view/grips.js';
import { Names } from './view/names.js';
import { scaleBar } from './view/scale.js';
import { underlay } from './view/sketch.js';
import { Viewport } from './view/viewport.js';

/** @import {Desk, RowActions, State} from './types.js' */

const PAN_PX = 60;

const page = unfolded(JSON.parse(need(document, '#page-data', HTMLScriptElement).textContent ?? ''));
const store = new Store({
	revision: page.revision,
	plan: page.plan,
	undo_says: page.undo_says,
	redo_says: page.redo_says,
	undo_to: page.undo_to,
	redo_to: page.redo_to,
	verdict: page.verdict,
	previewed: false,
	money: [],
	remedies: {},
	remediesOf: -1,
	preview: {},
	chosen: null,
	others: [],
	snag: null,
	whole: true,
	...ALL_KEPT,
});

const sheet = need(document, '#sheet', HTMLElement);
const stage = need(sheet, '.stage', HTMLElement);
const margin = need(document, '.margin', HTMLElement);
const drawing = need(stage, 'svg.figure', SVGSVGElement);
const overlay = need(stage, 'svg.overlay', SVGSVGElement);
const box = (drawing.getAttribute('viewBox') ?? '0 0 5000 5000').split(/[\s,]+/).map(Number);
const [x = 0, y = 0, width = 5000, height = 5000] = box;

const tell = messages(need(stage, '.message', HTMLElement));
const stock = await fetchStock(page.plan.units, tell);
const library = { ...stock.rows, ...page.library };
const figure = new Figure(drawing, library);
const viewport = new Viewport(stage, [drawing, overlay], {
	x0: x,
	y0: y,
	x1: x + width,
	y1: y + height,
});
const grips = new Grips(need(overlay, '.hand', SVGGElement), viewport, library);
const names = new Names(drawing, viewport);
/** What is lettered has changed: flags look for their places anew. */
const lettered = () => {
	names.stale();
	desk.figures.changed();
};
const flags = new Flags(need(overlay, '.flags', SVGGElement), viewport, () => [
	...names.boxes(),
	...grips.lettered,
	...desk.figures.boxes(),
]);
const sync = new Sync(
	new PlanApi(page.id),
	store,
	(markup) => {
		const inStage = stage.contains(document.activeElement);
		figure.replace(markup, store.state);
		lettered();
		// What had the focus may be gone from the drawing; keys then still count on the sheet.
		if (inStage && !stage.contains(document.activeElement)) stage.focus({ preventScroll: true });
	},
	page.tidy,
);
scaleBar(need(stage, '.scale-bar', HTMLElement), viewport, page.plan.units);

/** @type {Desk} */
const desk = {
	store,
	sync,
	viewport,
	figure,
	library,
	generic: page.generic_type,
	tell,
	typeOn: (tape, drawn) => void parts.typeOn(tape, drawn),
	tool: null,
	ghosts: new Ghosts(need(overlay, '.ghosts', SVGGElement)),
	figures: { boxes: () => [], changed: () => flags.show(store.state.verdict, store.state.snag) },
};
const does = actions(desk);
const parts = onDemand(desk, does, grips, margin, page.movements);
const { actionOf, openCard, tools } = parts;
const lay = underlay(drawing, viewport, sync.api.address);
const shelfRoot = need(document, '#shelf', HTMLElement);
const drawer = drawers(need(document, '.drawer-bar', HTMLElement), (px) => viewport.cover(px));

const snagDetail = once(() => import('./snag_detail.js'));

/** What a row of the list of snags can ask for. @type {RowActions} */
const rowActions = {
	choose: (key) => store.set({ snag: store.state.snag === key ? null : key }),
	remedy: actionOf('remedy'),
	wouldStand(key) {
		const { remedies, verdict, plan } = store.state;
		const snag = verdict.snags.find((one) => one.key === key);
		const offered = snag && (snag.remedy ?? remedies[snag.key]);
		desk.ghosts.show(offered ? wouldStand(offered.commands, plan, library) : []);
	},
	decline: actionOf('decline'),
	reopen: actionOf('reopen'),
	below: (...asked) => void snagDetail().then(({ fillBelow }) => fillBelow(desk, actionOf('settle'), ...asked)),
};
const snagList = new SnagList(
	need(document, '#slip', HTMLElement),
	(key) => new Row(key, store.state.plan.units, rowActions),
);
const header = new Header(need(document, '.desk-head', HTMLElement), (name) => void sync.rename(name));
const keyRoot = need(margin, '.key', HTMLDetailsElement);
const besideRoot = need(margin, '.beside', HTMLDetailsElement);
const beside = once(async () => {
	dress('picture.css');
	const { Beside } = await import('./panels/beside.js');
	return new Beside(besideRoot, sync.api, () => store.state);
});
const key = new Key(
	keyRoot,
	library,
	(id, beside) => {
		if (beside) store.toggle(id);
		else store.choose(id);
		if (!beside) figure.focus(id);
	},
	(id) => figure.point(id),
);

need(shelfRoot, '.none-found', HTMLElement).before(...stock.groups);
/** @type {HTMLElement[]} */
const shelfTogglers = [...document.querySelectorAll('button[data-fold="shelf"]')].filter(
	(one) => one instanceof HTMLElement,
);
const { openShelf } = folds(document.body, shelfTogglers, [keyRoot, besideRoot]);
for (const link of document.querySelectorAll('a[href="#find-kit"]')) link.addEventListener('click', openShelf);
// who comes by "Place the kit" finds the shelf open, however it was left
if (location.hash === '#find-kit') {
	openShelf();
	drawer.show('shelf');
}
new Shelf(
	shelfRoot,
	library,
	page.tallest_mm,
	page.plan.units,
	openShelf,
	(type) => {
		drawer.close();
		void actionOf('place')(type);
	},
	(type) => void actionOf('point')(type),
);
carryFromShelf(shelfRoot, { store, viewport, library, pxPerM: Number(shelfRoot.dataset['pxPerM']) }, (type, pose) => {
	drawer.close();
	void actionOf('setDown')(type, pose);
});

const pieceButton = need(document, '.drawer-bar [aria-controls="piece"]', HTMLButtonElement);
const handMoney = need(document, '.hand-money', HTMLElement);
const drawerCount = need(document, '.drawer-count', HTMLElement);

/** What changed decides what is touched. @type {(now: State, was: State|null) => void} */
const update = (now, was) => {
	if (now.preview !== was?.preview) figure.place(now);
	// The tools draw the chalk lines; without any there is nothing to fetch them for.
	if (now.plan !== was?.plan && now.plan.chalk.length) void tools();
	if (now.plan !== was?.plan || now.waiting !== was.waiting) figure.ahead(now);
	if (now.plan !== was?.plan) desk.ghosts.show([]);
	if (now.plan !== was?.plan) lay(page.sketch ? now.plan.picture : null);
	const chose = now.chosen !== was?.chosen || now.others !== was.others || now.whole !== was.whole;
	if (chose || now.preview !== was?.preview || now.plan !== was?.plan) grips.show(now);
	if (chose || now.verdict !== was?.verdict || now.snag !== was.snag) flags.show(now.verdict, now.snag);
	snagList.update(now);
	if (now.money !== was?.money) tellMoney(now.money);
	if (now.chosen) parts.updateCard(now, was);
	key.update(now, was);
	if (chose) {
		parts.choose(now.chosen === null);
		keyRoot.hidden = now.chosen !== null;
		pieceButton.hidden = now.chosen === null;
		if (now.chosen === null && pieceButton.getAttribute('aria-expanded') === 'true') drawer.close();
	}
	if (besideRoot.open) void beside().then((picture) => picture.update(now, was));
	// What waits is shown as previews are; whether it is kept is told all the same.
	const told = now.saving !== was?.saving || now.fault !== was.fault || now.deaf !== was.deaf;
	if (told || !now.previewed) header.update(now);
	if (now.previewed || now === was) return;
	say(drawerCount, String(openCount(now.verdict.counts)));
	const judged = now.verdict !== was?.verdict && now.plan === was?.plan;
	if (chose || judged || now.snag !== was?.snag) figure.decorate(now);
	if (now.snag !== was?.snag) showSnag(now);
};

/** @param {string[]} lines */
function tellMoney(lines) {
	handMoney.hidden = lines.length === 0;
	handMoney.replaceChildren(
		...lines.map((line) => Object.assign(document.createElement('span'), { textContent: line })),
	);
}

/** @param {State} now */
function showSnag(now) {
	const snag = now.verdict.snags.find((s) => s.key === now.snag);
	if (!snag) return;
	snagList.reveal(snag.key);
	if (snag.where) viewport.reveal(snag.where, Math.min(70, viewport.width / 4));
}

store.subscribe(update);
besideRoot.addEventListener('toggle', () => {
	if (besideRoot.open) void beside().then((picture) => picture.ask());
});
figure.decorate(store.state);
update(store.state, null);

handOnSheet(stage, desk);
// letters of another face are of another width
document.fonts.addEventListener('loadingdone', lettered);
void document.fonts.ready.then(lettered);
stage.addEventListener('mousedown', (event) => {
	if (event.target instanceof Element && !event.target.closest('button, input')) event.preventDefault();
});
stage.addEventListener('focusin', (event) => {
	const group = event.target instanceof Element ? event.target.closest('[data-piece]') : null;
	const id = group?.getAttribute('data-piece');
	const { chosen, others } = store.state;
	if (!id || id === chosen || others.includes(id)) return;
	store.choose(id);
	const piece = store.state.plan.pieces.find((p) => p.id === id);
	if (piece) viewport.reveal({ x: piece.pose.x_mm, y: piece.pose.y_mm }, 60);
});
keyboard({
	sheet,
	beside: margin,
	nudge(dx, dy, started) {
		// half an inch and five, where people measure in inches
		const k = store.state.plan.units === 'feet' ? 1.27 : 1;
		if (!does.nudge(dx * k, dy * k, started)) viewport.pan(-Math.sign(dx) * PAN_PX, -Math.sign(dy) * PAN_PX);
		return true;
	},
	enter: () => void openCard().then((opened) => opened.focus()),
	escape: () => {
		drawer.close();
		if ([sheet, margin].some((part) => part.contains(document.activeElement))) stage.focus({ preventScroll: true });
		store.set({ chosen: null, others: [], snag: null });
	},
});

/** @type {Record<string, () => unknown>} */
const presses = {
	undo: () => does.step('undo'),
	redo: () => does.step('redo'),
	larger: () => viewport.zoom(1.25),
	smaller: () => viewport.zoom(0.8),
	fit: () => viewport.fit(),
	whole() {
		const { chosen, plan, whole } = store.state;
		if (chosen && stationOf(plan, chosen).length > 1) store.set({ whole: !whole });
	},
	turn: () => actionOf('turn')(90),
	'turn-little': () => actionOf('turn')(15),
	copy: actionOf('copy'),
	pin: () => actionOf('flip')('pinned'),
	later: () => actionOf('flip')('later'),
	remove: actionOf('remove'),
	walls: parts.tryWalls,
	'move-to': () => tools().then((all) => all.moveTo()),
	several: () => tools().then((all) => all.several()),
	measure: () => tools().then((all) => all.measure()),
	chalk: () => tools().then((all) => all.chalk()),
	squares: () => tools().then((all) => all.squaredPaper()),
	'end-tool': () => tools().then((all) => all.end()),
	all() {
		const [chosen = null, ...others] = store.state.plan.pieces.map((piece) => piece.id);
		store.set({ chosen, others });
	},
	'close-picture': () => need(document, 'dialog.picture', HTMLDialogElement).close(),
	mend: () => parts.openMending().then((panel) => panel.open()),
	'let-go': () => {
		if (store.state.chosen) stage.focus({ preventScroll: true });
		store.choose(null);
	},
	offer: () => parts.openOffer().then((form) => form.open()),
};
document.addEventListener('click', (event) => {
	const pressed = event.target instanceof Element ? event.target.closest('[data-act]') : null;
	const act = pressed?.getAttribute('data-act') ?? '';
	if (pressed?.closest('.tools')) drawer.close();
	if (act.includes(':')) void tools().then((all) => all.arrange(act));
	else void presses[act]?.();
});

document.body.classList.toggle('is-feet', page.plan.units === 'feet');
sync.idle.later();
const deaf = () => store.set({ deaf: true });
const company = untilFetched(() => import('./company.js'), deaf);
void company.then(({ inCompany }) => inCompany(desk, page.id, page.name, page.silent_ms));
document.body.dataset['ready'] = 'yes';
