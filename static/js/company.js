/** The desk in company: it follows what others do, shows who looks, remarks, and clashes. */

import { el, say } from './dom.js';
import { dress } from './lazy.js';
import { follow } from './live.js';
import { chooseBetween } from './panels/conflict.js';
import { RemarksPanel } from './panels/remarks.js';
import { WaitingPanel } from './panels/waiting.js';
import { Letters } from './view/letters.js';

/** @import {Desk, News, Tool} from './types.js' */

const ON_A_PHONE = '(max-width: 700px)';

/** Who voted for what, as one text. @param {RemarksPanel} panel */
const voted = ({ talk }) => talk.votes.map(({ who, choice }) => `${who} ${choice}`).join('; ');

/**
 * @param {Desk} desk @param {string} plan id @param {string} own name of who looks here
 * @param {number} [silentMs] after which a line that says nothing is given up
 */
export function inCompany(desk, plan, own, silentMs) {
	const { store, sync, viewport } = desk;
	const dressed = dress('company.css');
	sync.onBoth = (both) => void chooseBetween(both, (chosen) => sync.insist(chosen));

	const overlay = viewport.stage.querySelector('svg.overlay');
	const slip = document.querySelector('#slip');
	if (!(overlay instanceof SVGElement) || !slip) return;
	const letters = new Letters(overlay, viewport, (id) => panel.choose(id));
	/** @type {Tool} */
	const pencil = {
		press: (event, drag) => ({
			...drag,
			tap: () => {
				desk.tool = null;
				panel.put(viewport.toPlan(event.clientX, event.clientY));
			},
		}),
	};
	const root = el('details', { class: 'talk', 'aria-label': 'Remarks', hidden: '' });
	// undressed its head would be as large as that of a page
	void dressed.then(() => root.removeAttribute('hidden'));
	document.querySelector('#remarks')?.append(root);
	// on a phone the list has a drawer of its own, which shows all of it
	if (matchMedia(ON_A_PHONE).matches) root.setAttribute('open', '');
	const waits = el('details', { class: 'waits', 'aria-label': 'Changes not kept yet' });
	slip.insertBefore(waits, slip.querySelector('.slip-foot'));
	const waiting = new WaitingPanel(waits, (id) => void sync.drop(id));
	store.subscribe((now) => waiting.show(now.waiting));
	waiting.show(store.state.waiting);
	const panel = new RemarksPanel(root, {
		plan,
		may: true,
		revision: () => store.state.revision,
		draw: (remarks, chosen) => letters.show(remarks, chosen),
		mark: (at) => letters.place(at),
		point(on) {
			if (on) desk.tell('Click the place on the plan that it is about.');
			desk.tool = on ? pencil : null;
		},
		reveal: (remark) => viewport.reveal(remark, 70),
	});

	/** Read what is said; a remark or a vote that is new opens the list. */
	const hear = async () => {
		const known = panel.talk.remarks.length;
		const votes = voted(panel);
		await panel.read();
		const more = panel.talk.remarks.length > known || voted(panel) !== votes;
		if (more) root.setAttribute('open', '');
	};

	// Without a network nothing can be fetched: what the hand may ask for then is fetched now.
	for (const part of ['./piece_actions.js', './panels/piece.js', './panels/tape.js']) import(part).catch(() => {});

	const others = el('p', { class: 'others', role: 'status', hidden: '' });
	document.querySelector('.desk-head .who')?.before(others);
	let remarkCount = -1;
	let broken = false;
	/** @param {News|null} news */
	const heard = (news) => {
		if (store.state.deaf === Boolean(news)) store.set({ deaf: !news });
		if (!news) {
			broken = true;
			return;
		}
		if (broken && sync.outbox.count) sync.awake();
		broken = false;
		if (news.revision !== null) sync.fresh(news.revision);
		if (news.said !== remarkCount) void hear();
		remarkCount = news.said;
		const rest = news.who.filter((name) => name !== own);
		others.hidden = rest.length === 0;
		say(others, rest.length ? `also looking: ${rest.join(', ')}` : '');
	};
	follow(plan, heard, silentMs);
}
