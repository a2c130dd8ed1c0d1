/** Pieces as the hand took them: what is moved is moved from there, whatever others did to them since. */

/** @import {Command, Piece, Plan, Pose} from '../types.js' */

export class TakenPieces {
	/** @type {Map<string, {piece: Piece, seen: number}>} */
	#taken = new Map();

	/**
	 * The hand takes pieces of a plan, where it does not hold them yet.
	 * @param {string[]} ids @param {Plan} plan @param {number} seen the revision that it is shown in
	 */
	take(ids, plan, seen) {
		for (const id of ids) {
			const piece = this.#taken.has(id) ? null : plan.pieces.find((p) => p.id === id);
			if (piece) this.#taken.set(id, { piece, seen });
		}
	}

	/** @param {string[]} ids */
	letGo(ids) {
		for (const id of ids) this.#taken.delete(id);
	}

	/** Let all go but those that are shown elsewhere. @param {Record<string, Pose>} preview */
	keepOnly(preview) {
		this.letGo([...this.#taken.keys()].filter((id) => !(id in preview)));
	}

	/**
	 * A plan with these pieces as the hand took them, and the revision in which they were seen.
	 * @param {string[]} ids @param {Plan} plan @param {number} revision
	 */
	asTaken(ids, plan, revision) {
		const taken = ids.flatMap((id) => this.#taken.get(id) ?? []);
		const rest = plan.pieces.filter((p) => !taken.some(({ piece }) => piece.id === p.id));
		return {
			plan: { ...plan, pieces: [...rest, ...taken.map(({ piece }) => piece)] },
			seen: Math.min(revision, ...taken.map((one) => one.seen)),
		};
	}

	/** What the hand holds on by an own command. @param {Command} command @param {{plan: Plan, revision: number}} to */
	follow(command, to) {
		for (const { path } of command.changes) {
			const id = path[1] ?? '';
			const piece = to.plan.pieces.find((p) => p.id === id);
			if (!this.#taken.has(id) || path[0] !== 'pieces') continue;
			if (piece) this.#taken.set(id, { piece, seen: to.revision });
			else this.#taken.delete(id);
		}
	}
}
