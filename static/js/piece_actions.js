/** What the desk can do to the plan beside moving: each ends in one command. Loaded when wanted. */

import { moves } from './model/commands.js';
import { corners, faces, gaps, shifted } from './model/geometry.js';
import { adds, edits, removes, reopens, settles, wishes } from './model/editing.js';
import { freshId, onHooks, setInto } from './model/placing.js';
import { inHand, nameOf, pieceOf, poseOf, shiftedAll, sizeOf, turnedAll } from './model/plan.js';

/** @import {Command, Does, Offer, Piece, Pose, Reply, Shared, Snag} from './types.js' */

const COPY_OFF_MM = 200;

/** @param {Shared} desk @param {Does} does */
export function pieceActions(desk, does) {
	const { store, sync, library, tell } = desk;
	const { named } = does;

	/** @param {string} key */
	const snagOf = (key) => store.state.verdict.snags.find((s) => s.key === key);

	/** @param {string} key @param {(snag: Snag) => Command|null} build */
	const onSnag = (key, build) => {
		const snag = snagOf(key);
		if (!snag) return;
		does.settleNudges();
		void sync.command(() => build(snag));
	};

	/** @param {string} id */
	const take = (id) => {
		store.choose(id);
		desk.figure.focus(id);
	};

	/**
	 * @param {string} type @param {Pose} pose @param {Partial<Piece>} [fields]
	 * @param {() => boolean} [mayTake] whether the hand is still free to take it up
	 * @param {string} [warns] what is told besides
	 */
	const setDown = async (type, pose, fields = {}, mayTake = () => true, warns = '') => {
		does.settleNudges();
		const id = freshId(store.state.plan, type);
		const name = fields.label || library[type]?.name || type;
		const given = fields.carried_by ? fields : null;
		const into = given ?? setInto(store.state.plan, type, pose, library);
		const done = await sync.command(() => adds({ id, type, pose, ...fields, ...into }, `add ${name}`));
		if (!done) {
			tell('');
			return;
		}
		if (mayTake()) take(id);
		const host = pieceOf(store.state.plan, into.carried_by ?? null);
		const alone = `${name} is in the room.`;
		tell(host ? `${name} is used with ${nameOf(host, library)} now.` : `${alone} ${warns}`.trim());
	};

	/** Ends when all that was pressed on the shelf is in the room. */
	let placed = Promise.resolve();

	/** @param {string} type @param {() => boolean} mayTake whether the hand is still free to take it up */
	const placeNow = async (type, mayTake) => {
		const row = library[type];
		if (!row) return;
		tell(`Looking for a place for ${row.name}.`, true);
		const middle = desk.viewport.middle;
		let pose = { x_mm: Math.round(middle.x), y_mm: Math.round(middle.y), angle_deg: 0 };
		/** @type {Partial<Piece>} */
		let fields = {};
		let warns = '';
		try {
			const reply = await seek(type);
			if (reply.place) pose = reply.place;
			if (reply.carried_by) fields = { carried_by: reply.carried_by };
			if (!reply.fits) warns = reply.sentence;
		} catch {
			// Where no place can be asked for, the middle will do.
		}
		desk.ghosts.show([]);
		await setDown(type, pose, fields, mayTake, warns);
	};

	/** What was asked last, and of which plan. @type {{asked: string, reply: Promise<Reply>}|null} */
	let sought = null;

	/** Where a kit type would be put now: asked once for each state of the plan. @param {string} type @returns {Promise<Reply>} */
	const seek = (type) => {
		const { revision, chosen } = store.state;
		const asked = [type, revision, chosen].join(' ');
		const { width_mm = 0, depth_mm = 0, height_mm = 0 } = library[type] ?? {};
		if (sought?.asked !== asked) {
			const reply = sync.api.fits({ width_mm, depth_mm, height_mm, type, joins: true, chosen });
			sought = { asked, reply };
			reply.catch(() => (sought = null));
		}
		return sought.reply;
	};

	/** The kit type under the pointer on the shelf. @type {string|null} */
	let pointed = null;

	/** Turn what is chosen about the middle of the first. @param {number} degrees */
	const turn = (degrees) => {
		does.settleNudges();
		const { chosen } = store.state;
		if (!chosen) return;
		const own = poseOf(store.state, chosen);
		const pivot = { x: own.x_mm, y: own.y_mm };
		does.put(turnedAll(store.state, does.movable(), pivot, degrees), 'turn');
	};

	/** Change fields of every chosen piece. @param {Partial<Piece>} fields */
	const edit = (fields) => {
		does.settleNudges();
		const { chosen, others } = store.state;
		void sync.command((plan) => {
			const all = [chosen, ...others].flatMap((id) => {
				const piece = pieceOf(plan, id);
				return (piece && edits(piece, fields, `change ${nameOf(piece, library)}`)) ?? [];
			});
			const [first] = all;
			return first ? { ...first, changes: all.flatMap((one) => one.changes) } : null;
		});
	};

	/** Turn a yes or no of the first chosen piece over, for all of them. @param {'pinned'|'later'} field */
	const flip = (field) => {
		const piece = pieceOf(store.state.plan, store.state.chosen);
		if (piece) edit({ [field]: !piece[field] });
	};

	return {
		setDown,
		turn,
		edit,
		flip,

		/** @param {number} angle */
		face(angle) {
			const { chosen } = store.state;
			if (chosen) turn(angle - poseOf(store.state, chosen).angle_deg);
		},

		/** @param {number} dx @param {number} dy */
		shift(dx, dy) {
			does.settleNudges();
			does.put(shiftedAll(store.state, does.movable(), dx, dy), 'move');
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
			if (tape) this.shift(tape.dx * (tape.gap - mm), tape.dy * (tape.gap - mm));
		},

		/** @param {string|null} host */
		belong(host) {
			does.settleNudges();
			const { chosen } = store.state;
			void sync.command((plan) => {
				const piece = pieceOf(plan, chosen);
				if (!piece) return null;
				const carrier = pieceOf(plan, host);
				const says = carrier
					? `put ${nameOf(piece, library)} into ${nameOf(carrier, library)}`
					: `take ${nameOf(piece, library)} out of its station`;
				const command = edits(piece, { carried_by: host }, says, 'carry');
				const hooks = carrier && library[piece.type]?.bar ? onHooks(carrier, piece.pose, library) : null;
				const laid = hooks && moves(plan, { [piece.id]: hooks }, 'move', says);
				if (command && laid) command.changes.push(...laid.changes);
				return command;
			});
		},

		/** Copy what is in the hand, a little to the side; the copy is then in the hand. */
		async copy() {
			does.settleNudges();
			const { chosen, others, plan } = store.state;
			if (!chosen) return;
			/** @type {Map<string, string>} */
			const fresh = new Map();
			const pieces = inHand(store.state).flatMap((id) => pieceOf(plan, id) ?? []);
			for (const { id, type } of pieces) fresh.set(id, freshId(plan, type, [...fresh.values()]));
			const says = `copy ${named(chosen)}`;
			const changes = pieces.flatMap((piece) => {
				const carried = piece.carried_by && (fresh.get(piece.carried_by) ?? null);
				const pose = shifted(piece.pose, COPY_OFF_MM, COPY_OFF_MM);
				const id = fresh.get(piece.id) ?? piece.id;
				return adds({ ...piece, id, pose, carried_by: carried, pinned: false }, says).changes;
			});
			const done = await sync.command(() => ({ name: 'copy', says, changes }));
			if (!done) return;
			take(fresh.get(chosen) ?? chosen);
			store.set({ others: others.flatMap((id) => fresh.get(id) ?? []) });
		},

		remove() {
			does.settleNudges();
			const { chosen, others, plan } = store.state;
			if (!chosen) return;
			const ids = inHand(store.state);
			const staying = ids.find((id) => pieceOf(plan, id)?.stays);
			if (staying) {
				tell(`${named(staying)} stays in this room. Take it out under The room, What is in it.`);
				return;
			}
			const what = others.length ? `${ids.length} pieces` : named(chosen);
			void sync.command((now) => removes(now, ids, `remove ${what}`));
			tell(`${what} removed. Undo brings it back.`);
		},

		/** @param {string} key */
		remedy(key) {
			const remedy = snagOf(key)?.remedy ?? store.state.remedies[key];
			const { remediesOf, revision } = store.state;
			if (!remedy) return;
			// What was sought for an earlier state of the plan may no longer mend anything.
			if (remediesOf !== revision) {
				tell('The plan has changed since: what helps now is being looked for.');
				return;
			}
			does.settleNudges();
			void sync.found(remedy.commands, remediesOf).then((done) => done && tell(remedy.sentence));
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

		/**
		 * Put a kit type where there is room for it, else into the middle of what is seen; a bar or
		 * a bench into the rack it is used in. Who has gone on to something else is left there.
		 * Several in a row come in the order in which they were pressed: each finds the ones before.
		 * @param {string} type
		 */
		place(type) {
			const from = document.activeElement;
			const mayTake = () => [from, document.body].includes(document.activeElement);
			placed = placed.catch(() => undefined).then(() => placeNow(type, mayTake));
			return placed;
		},

		/**
		 * Show as a ghost where a kit type would be put; null: none is pointed at.
		 * @param {string|null} type
		 */
		async point(type) {
			pointed = type;
			desk.ghosts.show([]);
			const row = type === null ? null : library[type];
			if (!type || !row) return;
			try {
				const { place, fits } = await seek(type);
				if (pointed !== type || !place) return;
				const says = fits ? row.name : `${row.name}: too little room`;
				desk.ghosts.show([{ pose: place, size: { width: row.width_mm, depth: row.depth_mm }, says }]);
			} catch {
				// No ghost is shown where no place can be asked for; a click then says why.
			}
		},

		/** @param {Offer} offer @param {Pose} place */
		putOffer({ type, ...sizes }, place) {
			const kind = type ?? desk.generic;
			if (kind) void setDown(kind, place, sizes);
			else tell('Choose what it is like, so that it can be drawn.');
		},
	};
}
