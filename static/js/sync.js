/** Keeping the desk and the server of one mind: trying while dragging, saving, ways out. */

import { ApiError } from './api.js';
import { applied } from './model/apply.js';
import { moves } from './model/commands.js';
import { Outbox, isAway, mayBeLater } from './outbox.js';
import { IdleWork } from './idle_work.js';
import { TakenPieces } from './state/taken_pieces.js';
import { Looks, lookOf } from './state/looks.js';
import { PreviewJudge } from './preview_judge.js';

/** @import {Answer, Both, Command, Plan, Pose, State} from './types.js' */
/** @import {Look} from './state/looks.js' */
/** @import {Known} from './preview_judge.js' */
/** @import {PlanApi} from './api.js' */
/** @import {Store} from './state/store.js' */

const SLOW_MS = 120;
const AGAIN_MS = 3000;
const MEANWHILE = 'the plan was changed in another window; this is the plan now';

export class Sync {
	/** @type {PreviewJudge} */
	#judge;
	/** @type {Promise<unknown>} */
	#queue = Promise.resolve();
	#queued = 0;
	/** How many of those are steps that the page shows already. */
	#ahead = 0;
	/** The newest revision that the page was told of and has not read. */
	#heardOf = 0;
	#looks = new Looks();
	/** The drawing that is shown; '' is the one that the page came with. */
	#drawing = '';
	/** @type {Map<string, number>} */
	#pending = new Map();
	#asleep = 0;
	/** The verdict on how the plan is saved, or will be. @type {Known} */
	#committed;

	/** Pieces as they stood when the hand took them. */
	#taken = new TakenPieces();

	/** What was refused for good: to be read until the hand does something else. */
	#refusal = '';

	/** Told where two changed one place. @type {(both: Both) => void} */
	onBoth = () => {};

	/** Ids that are in the hand now: their preview outlives an answer. @type {Set<string>} */
	holding = new Set();

	/**
	 * @param {PlanApi} api @param {Store} store
	 * @param {(drawing: string) => void} onDrawing shows a drawing, its pieces where the plan has them
	 * @param {boolean} tidy whether the names of the drawing that the page came with are in their places
	 */
	constructor(api, store, onDrawing, tidy) {
		this.api = api;
		this.store = store;
		this.onDrawing = onDrawing;
		this.#committed = { verdict: store.state.verdict, revision: store.state.revision };
		this.#looks.here = store.state.revision;
		this.#looks.keep(store.state.revision, { ...store.state, drawing: '', tidy });
		this.idle = new IdleWork(api, store, {
			busy: () => this.#queued > 0 || this.holding.size > 0,
			draw: (drawing) => {
				const look = this.#looks.at(this.store.state.revision);
				if (look) this.#looks.keep(this.store.state.revision, { ...look, drawing, tidy: true });
				this.#draw(drawing);
			},
			knows: (revision) => this.#looks.at(revision) !== undefined,
			learn: (revision, answer) => this.#looks.keep(revision, lookOf(answer, '')),
		});
		this.idle.untidy = !tidy;
		this.outbox = new Outbox(api);
		this.#judge = new PreviewJudge(api, (verdict, money) => store.set({ verdict, money, previewed: true }));
		if (this.outbox.count) queueMicrotask(() => this.awake());
	}

	/**
	 * Show pieces elsewhere and ask what the judge says of it.
	 * @param {Record<string, Pose>} poses
	 * @param {number} started when the handler of the pointer or key began
	 */
	try(poses, started) {
		const { plan, revision } = this.store.state;
		// What is shown ahead of the program is a revision still to come.
		this.#taken.take(Object.keys(poses), plan, this.#ahead ? Infinity : revision);
		const preview = { ...this.store.state.preview, ...poses };
		// The judge is asked first, so that he thinks while the pieces are drawn elsewhere.
		this.#judge.ask(preview, started, this.#committed);
		this.store.set({ preview });
	}

	/** Forget the preview of these pieces and show what is saved. @param {string[]} ids */
	cancel(ids) {
		const preview = { ...this.store.state.preview };
		for (const id of ids) {
			this.holding.delete(id);
			delete preview[id];
		}
		this.#taken.letGo(ids);
		this.#judge.forget();
		this.store.set({ preview, verdict: this.#committed.verdict, money: [], previewed: false });
	}

	/**
	 * Save where pieces are shown now.
	 * @param {string[]} ids @param {'move'|'turn'} name @param {string} says
	 * @param {(command: Command, plan: Plan) => Command} [complete] what else belongs to that command
	 */
	keep(ids, name, says, complete = (command) => command) {
		const poses = Object.fromEntries(
			ids.flatMap((id) => {
				const pose = this.store.state.preview[id];
				return pose ? [[id, pose]] : [];
			}),
		);
		for (const id of ids) {
			this.holding.delete(id);
			this.#pending.set(id, (this.#pending.get(id) ?? 0) + 1);
		}
		return this.#run(async () => {
			for (const id of ids) this.#pending.set(id, (this.#pending.get(id) ?? 1) - 1);
			const { plan, seen } = this.#taken.asTaken(ids, this.store.state.plan, this.store.state.revision);
			const command = moves(plan, poses, name, says);
			if (command) return this.#send(complete(command, plan), seen);
			this.cancel(ids);
			return null;
		});
	}

	/**
	 * Send a command, or let it wait while the program does not answer.
	 * @param {Command} command @param {number} [seen] the revision that it was made on
	 * @param {boolean} [asFound] a search found it in that
	 * @returns {Promise<Answer|null>}
	 */
	async #send(command, seen = this.store.state.revision, asFound = false) {
		if (!this.outbox.count) {
			try {
				const answer = await this.api.command(command, seen, asFound);
				this.#taken.follow(command, answer);
				return answer;
			} catch (error) {
				if (!mayBeLater(error)) throw error;
				this.outbox.hinder(error);
			}
		}
		this.outbox.add(command, seen, asFound);
		const plan = applied(this.store.state.plan, command);
		this.#taken.follow(command, { plan, revision: this.store.state.revision });
		this.store.set({ plan, waiting: [...this.outbox.all] });
		this.#wake();
		return null;
	}

	/** @param {Both} both @returns {Promise<boolean>} put through what was meant, on how it stands now */
	insist({ command, revision }) {
		return this.#run(async () => (command ? this.#send(command, revision) : null));
	}

	/** Somebody has made a newer revision: show it. @param {number} revision */
	fresh(revision) {
		this.#heardOf = Math.max(this.#heardOf, revision);
		// Own changes are told of too, often before their answer is here: those are waited for.
		if (this.#queued === 0 && this.#heardOf > this.store.state.revision && !this.outbox.count) {
			this.#heardOf = 0;
			void this.#run(() => this.api.read(), true);
		}
	}

	/** The program seems to answer again: send what waits. */
	awake() {
		clearTimeout(this.#asleep);
		void this.#run(async () => {
			const answer = await this.outbox.send(
				(both) => this.onBoth(both),
				(fault) => (this.#refusal = this.#refusal ? `${this.#refusal}; ${fault}` : fault),
				(taken) => this.#note(taken),
			);
			return answer ?? this.api.read();
		}, true);
	}

	/**
	 * Let a change go that waits, and show what will be kept.
	 * @param {number} [id] none: the last one, and what is kept already where none waits any more
	 */
	drop(id) {
		return this.#run(async () => {
			const last = id ?? this.outbox.all.at(-1)?.id;
			if (last === undefined) return this.api.step('undo', true);
			const { revision, preview, plan: was } = this.store.state;
			const base = this.#looks.at(revision)?.plan;
			this.outbox.drop(last);
			if (!base) return this.api.read();
			const plan = this.outbox.all.reduce((so, { command }) => applied(so, command), base);
			const held = Object.entries(preview).filter(([one]) => this.holding.has(one));
			const moved = was.pieces.flatMap(({ id: one }) => {
				const pose = plan.pieces.find((piece) => piece.id === one)?.pose;
				return pose ? [/** @type {[string, Pose]} */ ([one, pose])] : [];
			});
			this.#taken.keepOnly({});
			this.store.set({ plan, preview: { ...Object.fromEntries(moved), ...Object.fromEntries(held) } });
			return null;
		});
	}

	/** Whether all is saved, in the words of the header. */
	#standing() {
		const waiting = [...this.outbox.all];
		const fault = [this.#refusal, this.outbox.words].filter(Boolean).join('; ');
		return { saving: /** @type {'saved'|'failed'} */ (fault ? 'failed' : 'saved'), fault, waiting };
	}

	/**
	 * Carry out the command that `build` makes of the plan as it is when its turn comes.
	 * @param {(plan: Plan) => Command|null} build
	 */
	command(build) {
		return this.#run(async () => {
			const command = build(this.store.state.plan);
			return command ? this.#send(command) : null;
		});
	}

	/**
	 * Carry out what a search found, if the plan is still the one in which it was found.
	 * @param {Command[]} commands @param {number} seen the revision of that
	 * @returns {Promise<boolean>} whether it was saved
	 */
	async found(commands, seen) {
		for (const command of commands) {
			const at = command === commands[0] ? seen : this.store.state.revision;
			if (!(await this.#run(() => this.#send(command, at, true)))) return false;
		}
		return true;
	}

	/** @param {'undo'|'redo'} way */
	step(way) {
		if (way === 'undo' && this.outbox.count) return this.drop();
		const look = this.#ahead === this.#queued ? this.#looks.step(way)?.look : null;
		if (!look) return this.#run(() => this.api.step(way, true));
		this.#ahead += 1;
		this.#show(look);
		return this.#run(async () => {
			try {
				const answer = await this.api.step(way, false);
				return look.tidy ? { ...answer, drawing: look.drawing } : answer;
			} finally {
				this.#ahead -= 1;
			}
		});
	}

	/** @param {string} name */
	rename(name) {
		return this.#run(async () => {
			const answer = await this.api.rename(name);
			return 'verdict' in answer && 'plan' in answer && 'drawing' in answer
				? /** @type {Answer} */ (answer)
				: this.api.read();
		});
	}

	/**
	 * @param {() => Promise<Answer|null>} request
	 * @param {boolean} [byItself] nobody's hand asked for it
	 * @returns {Promise<boolean>} whether it was saved
	 */
	#run(request, byItself = false) {
		this.#queued += 1;
		const done = this.#queue.then(async () => {
			if (!byItself) this.#refusal = '';
			// Told only where it takes long enough to be read.
			const slow = byItself ? 0 : setTimeout(() => this.store.set({ saving: 'saving', fault: '' }), SLOW_MS);
			try {
				// Cleared before the plan may be read anew: the word of a fault is not written over meanwhile.
				const answer = await request().finally(() => clearTimeout(slow));
				if (answer) this.#accept(answer);
				this.store.set(this.#standing());
				return true;
			} catch (error) {
				await this.#refused(error, byItself);
				return false;
			} finally {
				this.#queued -= 1;
				this.fresh(0);
			}
		});
		this.#queue = done;
		void done.then(() => this.idle.later());
		return done;
	}

	/** Go on from a plan that is kept while what is shown has more in it. @param {Answer} answer */
	#note(answer) {
		this.#looks.keep(answer.revision, lookOf(answer, this.#drawing));
		this.#looks.here = answer.revision;
		this.store.set({ revision: answer.revision });
	}

	/** @param {Answer} answer */
	#accept(answer) {
		const { revision } = answer;
		const look = lookOf(answer, this.#drawing);
		this.#looks.keep(revision, look);
		if (this.#ahead) {
			// Later steps are shown already: only the newest answer is.
			this.store.set({ revision });
			return;
		}
		this.#looks.here = revision;
		this.#show(look, { revision });
		this.idle.later();
	}

	/** @param {Look} look @param {Partial<State>} [beside] */
	#show(look, beside = {}) {
		const { plan, verdict, undo_to, redo_to, undo_says, redo_says } = look;
		const preview = Object.fromEntries(
			Object.entries(this.store.state.preview).filter(
				([id]) => this.holding.has(id) || (this.#pending.get(id) ?? 0) > 0,
			),
		);
		this.#taken.keepOnly(preview);
		this.#judge.forget();
		// A step shown ahead of the program is a revision still to come.
		this.#committed = { verdict, revision: beside.revision ?? null };
		const { chosen, others } = this.store.state;
		const lives = (/** @type {string|null} */ id) => plan.pieces.some((p) => p.id === id);
		this.store.set({
			...beside,
			plan,
			verdict,
			undo_to,
			redo_to,
			undo_says,
			redo_says,
			money: [],
			previewed: false,
			preview,
			chosen: lives(chosen) ? chosen : null,
			others: lives(chosen) ? others.filter(lives) : [],
		});
		this.idle.untidy = !look.tidy;
		this.#draw(look.drawing);
	}

	/** @param {string} drawing */
	#draw(drawing) {
		this.#drawing = drawing;
		this.onDrawing(drawing);
	}

	/** @param {unknown} error @param {boolean} byItself nobody's hand asked for it */
	async #refused(error, byItself) {
		const fault = error instanceof Error ? error.message : String(error);
		if (!(error instanceof ApiError)) console.error(error);
		const away = isAway(error);
		const waits = mayBeLater(error) && this.outbox.count > 0;
		if (waits) this.outbox.hinder(error);
		else {
			this.cancel(Object.keys(this.store.state.preview).filter((id) => !this.holding.has(id)));
		}
		const { revision } = this.store.state;
		const shownBefore = this.#looks.here === revision ? undefined : this.#looks.at(revision);
		// A step that was shown already was not made.
		this.#looks.here = revision;
		if (shownBefore) this.#show(shownBefore, { revision });
		const conflict = error instanceof ApiError && error.code === 'conflict';
		if (!waits && !away && !conflict && !byItself) this.#refusal = fault;
		if (waits) this.store.set(this.#standing());
		// Nothing of one's own was lost by it: only what is shown may be old.
		else if (away && byItself) this.store.set({ saving: 'away', fault: '', waiting: [] });
		else this.store.set({ saving: 'failed', fault: conflict ? MEANWHILE : fault });
		if (conflict || (error instanceof ApiError && error.code === 'outdated')) await this.#reread();
		if (conflict && error.both) this.onBoth(error.both);
		if (away || waits) this.#wake();
	}

	async #reread() {
		try {
			this.#accept(await this.api.read());
			return true;
		} catch {
			// Still out of reach: the fault that is shown already says so.
			return false;
		}
	}

	/** Ask again and again until the program answers, and show how the plan stands then. */
	#wake() {
		clearTimeout(this.#asleep);
		this.#asleep = setTimeout(() => this.awake(), AGAIN_MS);
	}
}
