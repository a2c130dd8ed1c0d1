/** What the desk can do to the plan: each ends in one command. */

import { adds, edits, moves, removes, reopens, settles, wishes } from './model/commands.js';
import { corners, faces, gaps, shifted } from './model/geometry.js';
import {
	freshId,
	movingWith,
	nameOf,
	onHooks,
	pieceOf,
	poseOf,
	shiftedAll,
	sizeOf,
	turnedAll,
} from './model/plan.js';

/** @import {Command, KitRow, Offer, Piece, Pose, Snag} from './types.js' */
/** @import {Store} from './state/store.js' */
/** @import {Sync} from './sync.js' */
/** @import {Figure} from './view/figure.js' */
/** @import {Viewport} from './view/viewport.js' */

const NUDGE_REST_MS = 450;
const COPY_OFF_MM = 200;

/**
 * @param {{store: Store, sync: Sync, viewport: Viewport, figure: Figure, library: Record<string,
 *   KitRow>, tell: (text: string) => void, generic: string|null}} desk
 */
export function actions(desk) {
	const { store, sync, library, tell } = desk;
	let nudging = 0;
	/** @type {string[]} */
	let nudged = [];

	/** @param {string} id */
	const named = (id) => {
		const piece = pieceOf(store.state.plan, id);
		return piece ? nameOf(piece, library) : id;
	};

	/** Save nudges that still wait, so that what follows comes after them. */
	const settleNudges = () => {
		if (nudged.length === 0) return;
		clearTimeout(nudging);
		const ids = nudged;
		nudged = [];
		void sync.keep(ids, 'move', `move ${named(ids[0] ?? '')}`);
	};

	/** @returns {string[]} ids that move with the chosen piece; none if it is pinned */
	const inHand = () => {
		const { chosen, plan, whole } = store.state;
		if (!chosen) return [];
		const ids = movingWith(plan, chosen, whole);
		const pinned = ids.find((id) => pieceOf(plan, id)?.pinned);
		if (pinned) tell(`${named(pinned)} is pinned down. Unpin it to move it.`);
		return pinned ? [] : ids;
	};

	/** @param {Record<string, Pose>} poses @param {'move'|'turn'} name */
	const put = (poses, name) => {
		const ids = Object.keys(poses);
		if (ids.length === 0) return;
		sync.try(poses, performance.now());
		void sync.keep(ids, name, `${name} ${named(ids[0] ?? '')}`);
	};

	/** @param {string} key */
	const snagOf = (key) => store.state.verdict.snags.find((s) => s.key === key);

	/** @param {(snag: Snag) => Command|null} build */
	const onSnag = (/** @type {string} */ key, build) => {
		const snag = snagOf(key);
		if (!snag) return;
		settleNudges();
		void sync.command(() => build(snag));
	};

	/** @param {string} type @param {Pose} pose @param {Partial<Piece>} [fields] */
	const setDown = async (type, pose, fields = {}) => {
		settleNudges();
		const id = freshId(store.state.plan, type);
		const name = fields.label || library[type]?.name || type;
		const done = await sync.command(() => adds({ id, type, pose, ...fields }, `add ${name}`));
		if (!done) return;
		store.set({ chosen: id });
		desk.figure.focus(id);
		tell(`${name} stands in the room.`);
	};

	/** @param {number} degrees */
	const turn = (degrees) => {
		settleNudges();
		const { chosen } = store.state;
		if (!chosen) return;
		const own = poseOf(store.state, chosen);
		put(turnedAll(store.state, inHand(), { x: own.x_mm, y: own.y_mm }, degrees), 'turn');
	};

	/** @param {number} angle */
	const face = (angle) => {
		const { chosen } = store.state;
		if (chosen) turn(angle - poseOf(store.state, chosen).angle_deg);
	};

	/** @param {Partial<Piece>} fields */
	const edit = (fields) => {
		settleNudges();
		const { chosen } = store.state;
		void sync.command((plan) => {
			const piece = pieceOf(plan, chosen);
			return piece ? edits(piece, fields, `change ${nameOf(piece, library)}`) : null;
		});
	};

	return {
		undo: () => {
			settleNudges();
			void sync.step('undo');
		},
		redo: () => {
			settleNudges();
			void sync.step('redo');
		},

		/**
		 * @param {number} dx @param {number} dy @param {number} started
		 * @returns {boolean} whether something was in the hand
		 */
		nudge(dx, dy, started) {
			if (!store.state.chosen) return false;
			const ids = inHand();
			if (ids.length === 0) return true;
			if (nudged.length && nudged.join() !== ids.join()) settleNudges();
			nudged = ids;
			for (const id of ids) sync.holding.add(id);
			sync.try(shiftedAll(store.state, ids, dx, dy), started);
			clearTimeout(nudging);
			nudging = setTimeout(settleNudges, NUDGE_REST_MS);
			return true;
		},

		/** @param {number} dx @param {number} dy */
		shift(dx, dy) {
			settleNudges();
			put(shiftedAll(store.state, inHand(), dx, dy), 'move');
		},

		/**
		 * Move until the tape on that side has this length.
		 * @param {'left'|'right'|'back'|'front'} side @param {number} mm
		 */
		stretch(side, mm) {
			const piece = pieceOf(store.state.plan, store.state.chosen);
			if (!piece) return;
			const points = corners(poseOf(store.state, piece.id), sizeOf(piece, library));
			const tape = gaps(faces(store.state.plan.room), points).find((gap) => gap.side === side);
			if (!tape) return;
			const by = tape.gap - mm;
			settleNudges();
			put(shiftedAll(store.state, inHand(), tape.dx * by, tape.dy * by), 'move');
		},

		turn,
		face,
		edit,

		/** @param {string|null} host */
		belong(host) {
			settleNudges();
			const { chosen } = store.state;
			void sync.command((plan) => {
				const piece = pieceOf(plan, chosen);
				if (!piece) return null;
				const carrier = pieceOf(plan, host);
				const says = carrier
					? `put ${nameOf(piece, library)} into ${nameOf(carrier, library)}`
					: `take ${nameOf(piece, library)} out of its station`;
				const command = edits(piece, { carried_by: host }, says, 'carry');
				const hooks =
					carrier && library[piece.type]?.bar ? onHooks(carrier, piece.pose, library) : null;
				const laid = hooks && moves(plan, { [piece.id]: hooks }, 'move', says);
				if (command && laid) command.changes.push(...laid.changes);
				return command;
			});
		},

		pin() {
			const piece = pieceOf(store.state.plan, store.state.chosen);
			if (piece) edit({ pinned: !piece.pinned });
		},

		/** Copy what is in the hand, a little to the side; the copy is then in the hand. */
		async copy() {
			settleNudges();
			const { chosen, plan, whole } = store.state;
			if (!chosen) return;
			const ids = movingWith(plan, chosen, whole);
			/** @type {Map<string, string>} */
			const fresh = new Map();
			for (const id of ids) {
				const type = pieceOf(plan, id)?.type ?? 'piece';
				fresh.set(id, freshId(plan, type, [...fresh.values()]));
			}
			const copies = ids.flatMap((id) => {
				const piece = pieceOf(plan, id);
				if (!piece) return [];
				const carried = piece.carried_by && (fresh.get(piece.carried_by) ?? null);
				const pose = shifted(piece.pose, COPY_OFF_MM, COPY_OFF_MM);
				return [
					{ ...piece, id: fresh.get(id) ?? id, pose, carried_by: carried, pinned: false },
				];
			});
			const says = `copy ${named(chosen)}`;
			const changes = copies.flatMap((piece) => adds(piece, says, 'copy').changes);
			const done = await sync.command(() => ({ name: 'copy', says, changes }));
			const id = fresh.get(chosen);
			if (!done || !id) return;
			store.set({ chosen: id });
			desk.figure.focus(id);
		},

		remove() {
			settleNudges();
			const { chosen, plan, whole } = store.state;
			if (!chosen) return;
			const ids = movingWith(plan, chosen, whole);
			const staying = ids.find((id) => pieceOf(plan, id)?.stays);
			if (staying) {
				tell(`${named(staying)} stays in this room; it is not taken out.`);
				return;
			}
			const says = `remove ${named(chosen)}`;
			void sync.command((now) => removes(now, ids, says));
			tell(`${named(chosen)} is removed. Undo brings it back.`);
		},

		/** @param {string} key */
		remedy(key) {
			const remedy = snagOf(key)?.remedy ?? store.state.remedies[key];
			if (!remedy) return;
			settleNudges();
			void sync.commands(remedy.commands);
			tell(remedy.sentence);
		},

		/** @param {string} key */
		decline(key) {
			onSnag(key, (snag) => {
				if (!snag.person || !snag.movement) return null;
				return wishes(store.state.plan, snag.person, snag.movement, 'no', `${snag.who}: not wanted`);
			});
		},

		/** @param {string} key @param {string} reason */
		settle(key, reason) {
			const now = new Date();
			const two = (/** @type {number} */ n) => String(n).padStart(2, '0');
			const day = `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
			onSnag(key, (snag) => settles(store.state.plan, snag, reason, day));
		},

		/** @param {string} key */
		reopen(key) {
			onSnag(key, (snag) => reopens(store.state.plan, snag));
		},

		setDown,

		/**
		 * Put a kit type where there is room for it, else into the middle of what is seen.
		 * @param {string} type
		 */
		async place(type) {
			const row = library[type];
			if (!row) return;
			const middle = desk.viewport.middle;
			let pose = { x_mm: Math.round(middle.x), y_mm: Math.round(middle.y), angle_deg: 0 };
			try {
				const { width_mm, depth_mm, height_mm } = row;
				const reply = await sync.api.fits({ width_mm, depth_mm, height_mm, type });
				if (reply.place) pose = reply.place;
			} catch {
				// Where no place can be asked for, the middle will do.
			}
			await setDown(type, pose);
		},

		/** @param {Offer} offer @param {Pose} place */
		putOffer(offer, place) {
			const { type, ...sizes } = offer;
			const kind = type ?? desk.generic;
			if (!kind) {
				tell('Choose what it is like, so that it can be drawn.');
				return;
			}
			void setDown(kind, place, sizes);
		},
	};
}

