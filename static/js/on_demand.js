/** Parts of the desk that are fetched when they are first wanted: card, tape, offers, mending, walls, tools. */

import { need } from './dom.js';
import { dress, eachOnceFetched, once } from './lazy.js';
import { pieceOf, rootOf, sizeOf } from './model/plan.js';
import { wouldStand } from './model/would_stand.js';

/** @import {Desk, Does, Drawn, Offer, Pose, Size, Spot, State} from './types.js' */
/** @import {Grips} from './view/grips.js' */

/**
 * @param {Desk} desk @param {Does} does @param {Grips} grips
 * @param {HTMLElement} margin with the card of the chosen piece @param {Record<string, string>} movements names by key
 */
export function onDemand(desk, does, grips, margin, movements) {
	const { store, sync, figure, library, tell } = desk;
	const { stage } = desk.viewport;
	const pieceActions = once(async () => (await import('./piece_actions.js')).pieceActions(desk, does));
	const actionOf = eachOnceFetched(pieceActions);
	const readLength = (/** @type {string} */ text) => sync.api.length(text, store.state.plan.units);
	const toDrawing = () => store.state.chosen && figure.focus(store.state.chosen);

	/** The card of the chosen piece, once there is one. @type {import('./panels/piece.js').PieceCard|null} */
	let card = null;
	const cardRoot = need(margin, '.piece-card', HTMLFormElement);
	// Nothing can be typed on it before it can take that.
	cardRoot.inert = true;
	const openCard = once(async () => {
		const { PieceCard } = await import('./panels/piece.js');
		card = new PieceCard(cardRoot, library, {
			shift: actionOf('shift'),
			face: actionOf('face'),
			edit: actionOf('edit'),
			belong: actionOf('belong'),
			length: readLength,
			leave: () => void toDrawing(),
		});
		card.update(store.state, null);
		cardRoot.inert = false;
		return card;
	});

	const openOffer = once(async () => {
		const { OfferForm } = await import('./panels/offer.js');
		const { placesPanel } = await import('./panels/places.js');
		const root = need(document, 'dialog.offer', HTMLDialogElement);
		const { units } = store.state.plan;
		const putOffer = actionOf('putOffer');
		return new OfferForm(root, library, units, readLength, {
			ask: (offer) => sync.api.fits(offer),
			put: putOffer,
			/** @param {HTMLElement} list @param {Offer} offer @param {(pose: Pose) => void} take */
			async places(list, offer, take) {
				let hasPlaces = false;
				const asked = sync.api.places(offer).then(({ places }) => {
					hasPlaces = places.length > 0;
					const hint = hasPlaces ? '' : 'No place to choose from was found.';
					return { spots: places.map(({ pose, sentence }) => ({ pose, says: sentence, poses: {} })), hint };
				});
				const size = { width: offer.width_mm, depth: offer.depth_mm };
				await placesPanel(list, asked, {
					draw: (spots, taken) => drawSpots(spots, size, taken),
					show: (_, at) => desk.ghosts.point(at),
					hide: () => desk.ghosts.point(-1),
					take: (spot) => take(spot.pose),
				});
				return hasPlaces;
			},
			clear: () => desk.ghosts.show([]),
		});
	});

	const openMending = once(async () => {
		const { MendPanel } = await import('./panels/mend.js');
		const root = need(document, '.mending', HTMLElement);
		const panel = new MendPanel(
			root,
			() => sync.api.mending(),
			() => sync.api.mendingNow(),
			async (command, revision) => {
				does.settleNudges();
				if (!(await sync.found([command], revision))) return;
				tell('All of these moves are made; Undo takes them back as one.');
			},
			(command) => desk.ghosts.show(command ? wouldStand([command], store.state.plan, library) : []),
		);
		store.subscribe((now, was) => now.plan !== was.plan && panel.shut());
		return panel;
	});

	const tools = once(async () => {
		dress('desk-tools.css');
		const { takeUpTools } = await import('./tools/tools.js');
		return takeUpTools(desk, does);
	});

	need(document, '.films', HTMLDetailsElement).addEventListener(
		'toggle',
		once(async () => {
			dress('section.css');
			const { showOnPlan } = await import('./tools/on_plan.js');
			showOnPlan(need(document, '.films-list', HTMLElement), desk, movements);
		}),
	);

	const wallsRoot = need(cardRoot, '.walls', HTMLElement);

	/** @param {Spot[]} spots @param {Size} size @param {(spot: Spot) => void} take */
	function drawSpots(spots, size, take) {
		const ghosts = spots.map(({ pose }, i) => ({ pose, size, says: String(i + 1) }));
		desk.ghosts.show(ghosts, (at) => spots[at] && take(spots[at]));
	}

	/** The place that is shown as a preview. @type {Spot|null} */
	let tried = null;

	function hideTried() {
		if (tried) sync.cancel(Object.keys(tried.poses));
		tried = null;
	}

	async function tryWalls() {
		const id = store.state.chosen;
		if (!id || does.movable().length === 0) return;
		const root = rootOf(store.state.plan, id);
		const piece = pieceOf(store.state.plan, root);
		if (!piece) return;
		const { placesPanel } = await import('./panels/places.js');
		const asked = sync.api.walls(id).then(({ places, left_out: leftOut }) => {
			const spots = places.flatMap(({ poses, sentence }) => {
				const pose = poses[root];
				return pose ? [{ pose, says: sentence, poses }] : [];
			});
			if (leftOut.length) {
				return { spots, hint: `The plan is so large that these were not tried: ${leftOut.join(', ')}.` };
			}
			return { spots, hint: spots.length ? '' : 'There is no wall here that its back can go to.' };
		});
		void placesPanel(wallsRoot, asked, {
			draw: (spots, take) => drawSpots(spots, sizeOf(piece, library), take),
			show(spot, at) {
				tried = spot;
				desk.ghosts.point(at);
				sync.try(spot.poses, performance.now());
			},
			hide() {
				desk.ghosts.point(-1);
				hideTried();
			},
			take(spot) {
				tried = null;
				wallsRoot.hidden = true;
				desk.ghosts.show([]);
				does.put(spot.poses, 'move', `move ${does.named(id)} to another place`);
				void toDrawing();
			},
		});
	}

	const tapeField = once(async () => {
		const { TapeField } = await import('./panels/tape.js');
		const input = need(stage, '.on-tape', HTMLInputElement);
		return new TapeField(input, readLength, tell);
	});

	/**
	 * @param {Element} tape @param {Partial<Drawn>} [drawn] a drag that the typing ends
	 */
	async function typeOn(tape, drawn = {}) {
		const field = await tapeField();
		const { begun = '', ...drag } = drawn;
		const text = need(tape, '.tape-figure', SVGTextElement);
		const at = text.getBoundingClientRect();
		const box = stage.getBoundingClientRect();
		field.open(
			/** @type {'left'|'right'|'back'|'front'} */ (tape.getAttribute('data-tape')),
			text.textContent ?? '',
			at.left + at.width / 2 - box.left,
			at.top + at.height / 2 - box.top,
			{
				set: (side, mm) => (drag.set ?? actionOf('stretch'))(side, mm),
				next() {
					void typeOn(grips.after(tape), drag);
				},
				done(byEnter) {
					if (byEnter) drag.keep?.();
					else drag.cancel?.();
					void toDrawing();
				},
				gone: () => drag.keep?.(),
			},
			begun,
		);
	}

	return {
		actionOf,
		openCard,
		openOffer,
		openMending,
		tools,
		tapeField,
		typeOn,
		/** Bring the card up to what is chosen; the first time it is fetched. @type {(now: State, was: State|null) => void} */
		updateCard(now, was) {
			// What is typed during a drag must find its field at the first digit.
			tapeField().catch(() => {});
			if (card) card.update(now, was);
			else void openCard();
		},
		/** Another piece is chosen, or none: what was tried for the last one goes. @param {boolean} none */
		choose(none) {
			wallsRoot.hidden = true;
			desk.ghosts.show([]);
			queueMicrotask(hideTried);
			cardRoot.hidden = none;
		},
		tryWalls,
	};
}
