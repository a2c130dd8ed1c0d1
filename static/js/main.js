/** The desk: the one file that knows all its parts and joins them. */

import { PlanApi } from './api.js';
import { need, say } from './dom.js';
import { actions } from './actions.js';
import { carryFromShelf } from './input/carry.js';
import { handOnSheet } from './input/drag.js';
import { keyboard } from './input/keyboard.js';
import { openCount } from './model/words.js';
import { drawers } from './panels/drawers.js';
import { Header } from './panels/header.js';
import { Key } from './panels/key.js';
import { messages } from './panels/message.js';
import { PieceCard } from './panels/piece.js';
import { Shelf } from './panels/shelf.js';
import { Slip, clearSentence } from './panels/slip.js';
import { TapeField } from './panels/tape.js';
import { Store } from './state/store.js';
import { Sync } from './sync.js';
import { Figure } from './view/figure.js';
import { Flags } from './view/flags.js';
import { Hand } from './view/hand.js';
import { scaleBar } from './view/scale.js';
import { Viewport } from './view/viewport.js';

/** @import {PageData, State} from './types.js' */

const SHELF_PX_PER_M = 30;

const page = /** @type {PageData} */ (
	JSON.parse(need(document, '#page-data', HTMLScriptElement).textContent ?? '')
);
const { library } = page;
const store = new Store({
	revision: page.revision,
	plan: page.plan,
	canUndo: page.can_undo,
	canRedo: page.can_redo,
	undoSays: page.undo_says ?? '',
	redoSays: page.redo_says ?? '',
	verdict: page.verdict,
	trying: false,
	remedies: {},
	preview: {},
	chosen: null,
	snag: null,
	whole: true,
	saving: 'saved',
	fault: '',
});

const sheet = need(document, '#sheet', HTMLElement);
const stage = need(sheet, '.stage', HTMLElement);
const drawing = need(stage, 'svg.figure', SVGSVGElement);
const overlay = need(stage, 'svg.overlay', SVGSVGElement);
const box = (drawing.getAttribute('viewBox') ?? '0 0 5000 5000').split(/[\s,]+/).map(Number);
const [x = 0, y = 0, width = 5000, height = 5000] = box;

const tell = messages(need(stage, '.message', HTMLElement));
const figure = new Figure(drawing, library);
const viewport = new Viewport(stage, [drawing, overlay], {
	x0: x,
	y0: y,
	x1: x + width,
	y1: y + height,
});
const hand = new Hand(need(overlay, '.hand', SVGGElement), viewport, library);
const flags = new Flags(need(overlay, '.flags', SVGGElement), viewport, () => hand.lettered);
const sync = new Sync(new PlanApi(page.id), store, (markup) => {
	const inStage = stage.contains(document.activeElement);
	figure.replace(markup, store.state);
	// What had the focus may be gone from the drawing; keys then still count on the sheet.
	if (inStage && !stage.contains(document.activeElement)) stage.focus({ preventScroll: true });
});
scaleBar(need(stage, '.scale-bar', HTMLElement), viewport, page.plan.units);

const shelfRoot = need(document, '#shelf', HTMLElement);
const drawer = drawers(need(document, '.drawer-bar', HTMLElement), (px) => viewport.cover(px));
const does = actions({ store, sync, viewport, figure, library, tell, generic: page.generic_type });

const slip = new Slip(need(document, '#slip', HTMLElement), {
	choose: (key) => store.set({ snag: store.state.snag === key ? null : key }),
	remedy: does.remedy,
	decline: does.decline,
	settle: does.settle,
	reopen: does.reopen,
});
const header = new Header(need(document, '.desk-head', HTMLElement), {
	rename: (name) => void sync.rename(name),
	undo: does.undo,
	redo: does.redo,
});
const key = new Key(sheet, library, (id) => {
	store.set({ chosen: id });
	figure.focus(id);
});
const card = new PieceCard(need(sheet, '.piece-card', HTMLFormElement), library, {
	shift: does.shift,
	face: does.face,
	edit: does.edit,
	belong: does.belong,
	refuse: tell,
});
/** @type {import('./panels/offer.js').OfferForm|null} */
let offer = null;

/** The form for an offer is fetched when somebody asks for it. */
async function openOffer() {
	const { OfferForm } = await import('./panels/offer.js');
	const root = need(document, 'dialog.offer', HTMLDialogElement);
	offer ??= new OfferForm(root, library, (asked) => sync.api.fits(asked), does.putOffer);
	offer.open();
}

new Shelf(shelfRoot, SHELF_PX_PER_M, (type) => {
	drawer.close();
	void does.place(type);
});
carryFromShelf(shelfRoot, { store, stage, viewport, library, pxPerM: SHELF_PX_PER_M }, (type, pose) => {
	drawer.close();
	does.setDown(type, pose);
});

const onTape = new TapeField(need(stage, '.on-tape', HTMLInputElement), does.stretch, tell, () => {
	if (store.state.chosen) figure.focus(store.state.chosen);
});

/** @param {Element} tape */
function typeOn(tape) {
	const text = need(tape, '.tape-figure', SVGTextElement);
	const at = text.getBoundingClientRect();
	const box = stage.getBoundingClientRect();
	onTape.open(
		/** @type {'left'|'right'|'back'|'front'} */ (tape.getAttribute('data-tape')),
		text.textContent ?? '',
		at.left + at.width / 2 - box.left,
		at.top + at.height / 2 - box.top,
	);
}

const keyRoot = need(sheet, '.key', HTMLElement);
const pieceButton = need(document, '.drawer-bar [aria-controls="piece"]', HTMLButtonElement);
const drawerCount = need(document, '.drawer-count', HTMLElement);
const noSnags = need(document, '.no-snags', HTMLElement);

/** What changed decides what is touched. @type {(now: State, was: State|null) => void} */
const update = (now, was) => {
	if (now.preview !== was?.preview) figure.place(now);
	const handed = now.preview !== was?.preview || now.chosen !== was.chosen;
	if (handed || now.whole !== was?.whole || now.plan !== was?.plan) hand.show(now);
	const flagged = now.verdict !== was?.verdict || now.snag !== was.snag;
	if (flagged || now.chosen !== was.chosen) flags.show(now.verdict, now.snag);
	slip.update(now);
	card.update(now, was);
	key.update(now, was);
	if (now.chosen !== was?.chosen) {
		card.root.hidden = now.chosen === null;
		keyRoot.hidden = now.chosen !== null;
		pieceButton.hidden = now.chosen === null;
		if (now.chosen === null && pieceButton.getAttribute('aria-expanded') === 'true') drawer.close();
	}
	if (now.trying || now === was) return;
	header.update(now);
	say(drawerCount, String(openCount(now.verdict.counts)));
	if (!noSnags.hidden) say(noSnags, clearSentence(now));
	const chose = now.chosen !== was?.chosen || now.whole !== was?.whole || now.snag !== was?.snag;
	if (chose || (now.verdict !== was?.verdict && now.plan === was?.plan)) figure.decorate(now);
	if (now.snag !== was?.snag) showSnag(now);
};

/** @param {State} now */
function showSnag(now) {
	const snag = now.verdict.snags.find((s) => s.key === now.snag);
	if (!snag) return;
	slip.reveal(snag.key);
	if (snag.where) viewport.reveal(snag.where, Math.min(70, viewport.width / 4));
}

store.subscribe(update);
figure.decorate(store.state);
update(store.state, null);

handOnSheet(stage, { store, sync, viewport, figure, library, tell, typeOn });
stage.addEventListener('mousedown', (event) => {
	if (event.target instanceof Element && !event.target.closest('button')) event.preventDefault();
});
stage.addEventListener('focusin', (event) => {
	const group = event.target instanceof Element ? event.target.closest('[data-piece]') : null;
	const id = group?.getAttribute('data-piece');
	if (!id || id === store.state.chosen) return;
	store.set({ chosen: id });
	const piece = store.state.plan.pieces.find((p) => p.id === id);
	if (piece) viewport.reveal({ x: piece.pose.x_mm, y: piece.pose.y_mm }, 60);
});
card.root.addEventListener('leave', () => store.state.chosen && figure.focus(store.state.chosen));
keyboard({
	sheet,
	nudge: does.nudge,
	enter: () => card.focus(),
	escape: () => {
		drawer.close();
		if (sheet.contains(document.activeElement)) stage.focus({ preventScroll: true });
		store.set({ chosen: null, snag: null });
	},
});

/** @type {Record<string, () => void>} */
const presses = {
	larger: () => viewport.zoom(1.25),
	smaller: () => viewport.zoom(0.8),
	fit: () => viewport.fit(),
	whole: () => store.set({ whole: !store.state.whole }),
	turn: () => does.turn(90),
	'turn-little': () => does.turn(15),
	copy: does.copy,
	pin: does.pin,
	remove: does.remove,
	'let-go': () => {
		const id = store.state.chosen;
		store.set({ chosen: null });
		if (id) stage.focus({ preventScroll: true });
	},
	offer: () => void openOffer(),
};
for (const [act, press] of Object.entries(presses)) {
	need(document, `[data-act="${act}"]`, HTMLButtonElement).addEventListener('click', press);
}

void sync.waysOut();
document.body.dataset['ready'] = 'yes';
