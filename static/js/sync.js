/** Keeping the desk and the server of one mind: trying while dragging, saving, ways out. */

import { ApiError } from './api.js';
import { moves } from './model/commands.js';

/** @import {Answer, Command, Plan, Pose, Verdict} from './types.js' */
/** @import {PlanApi} from './api.js' */
/** @import {Store} from './state/store.js' */

const MEASURES_KEPT = 5000;
/** Ways out take the judge a while: they are asked for when the hand rests. */
const REST_MS = 250;

const SLOW_MS = 120;
const AGAIN_MS = 3000;
const MEANWHILE = 'the plan was changed in another window; this is how it stands now';
const AWAY = 'the program does not answer; is it still running?';

export class Sync {
	/** @type {Promise<unknown>} */
	#queue = Promise.resolve();
	#queued = 0;
	/** @type {Map<string, number>} */
	#pending = new Map();
	/** @type {{moves: Record<string, Pose>, started: number, turn: number}|null} */
	#waiting = null;
	#asking = false;
	#turn = 0;
	#shown = 0;
	#measures = 0;
	#rest = 0;
	#asleep = 0;
	#seeking = false;
	/** @type {Verdict} */
	#committed;

	/** Ids that are in the hand now: their preview outlives an answer. @type {Set<string>} */
	holding = new Set();

	/** @param {PlanApi} api @param {Store} store @param {(drawing: string) => void} onDrawing */
	constructor(api, store, onDrawing) {
		this.api = api;
		this.store = store;
		this.onDrawing = onDrawing;
		this.#committed = store.state.verdict;
	}

	/**
	 * Show pieces elsewhere and ask what the judge says of it. One question is out at a time; of
	 * those that come meanwhile only the newest waits.
	 * @param {Record<string, Pose>} poses
	 * @param {number} started when the handler of the pointer or key began
	 */
	try(poses, started) {
		const preview = { ...this.store.state.preview, ...poses };
		this.#turn += 1;
		const question = { moves: preview, started, turn: this.#turn };
		// The judge is asked first, so that he thinks while the pieces are drawn elsewhere.
		if (this.#asking) this.#waiting = question;
		else void this.#ask(question);
		this.store.set({ preview });
	}

	/** @param {{moves: Record<string, Pose>, started: number, turn: number}} question */
	async #ask(question) {
		this.#asking = true;
		try {
			const { verdict } = await this.api.try(question.moves);
			if (question.turn > this.#shown) {
				this.#shown = question.turn;
				this.store.set({ verdict, trying: true });
				this.#measure(question.started);
			}
		} catch {
			// A preview that cannot be judged is no loss: the command that follows says what is wrong.
		}
		this.#asking = false;
		const next = this.#waiting;
		this.#waiting = null;
		if (next && next.turn > this.#shown) void this.#ask(next);
	}

	/** @param {number} started */
	#measure(started) {
		if (this.#measures >= MEASURES_KEPT) {
			performance.clearMeasures('drag:verdict');
			this.#measures = 0;
		}
		this.#measures += 1;
		performance.measure('drag:verdict', { start: started, end: performance.now() });
	}

	/** Forget the preview of these pieces and show what is saved. @param {string[]} ids */
	cancel(ids) {
		const preview = { ...this.store.state.preview };
		for (const id of ids) {
			this.holding.delete(id);
			delete preview[id];
		}
		this.#shown = this.#turn;
		this.#waiting = null;
		this.store.set({ preview, verdict: this.#committed, trying: false });
	}

	/**
	 * Save where pieces are shown now.
	 * @param {string[]} ids @param {'move'|'turn'} name @param {string} says
	 */
	keep(ids, name, says) {
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
			const command = moves(this.store.state.plan, poses, name, says);
			if (command) return this.api.command(command);
			this.cancel(ids);
			return null;
		});
	}

	/**
	 * Carry out the command that `build` makes of the plan as it is when its turn comes.
	 * @param {(plan: Plan) => Command|null} build
	 */
	command(build) {
		return this.#run(async () => {
			const command = build(this.store.state.plan);
			return command ? this.api.command(command) : null;
		});
	}

	/** @param {Command[]} commands */
	async commands(commands) {
		for (const command of commands) {
			if (!(await this.command(() => command))) return;
		}
	}

	/** @param {'undo'|'redo'} way */
	step(way) {
		return this.#run(() => this.api.step(way));
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
	 * @param {() => Promise<Answer|null>} request @returns {Promise<boolean>} whether it was saved
	 */
	#run(request) {
		this.#queued += 1;
		const done = this.#queue.then(async () => {
			// Told only where it takes long enough to be read.
			const slow = setTimeout(() => this.store.set({ saving: 'saving', fault: '' }), SLOW_MS);
			try {
				const answer = await request();
				if (answer) this.#accept(answer);
				this.store.set({ saving: 'saved', fault: '' });
				return true;
			} catch (error) {
				await this.#refused(error);
				return false;
			} finally {
				clearTimeout(slow);
				this.#queued -= 1;
			}
		});
		this.#queue = done;
		void done.then(() => this.#later());
		return done;
	}

	/** @param {Answer} answer */
	#accept(answer) {
		const preview = Object.fromEntries(
			Object.entries(this.store.state.preview).filter(
				([id]) => this.holding.has(id) || (this.#pending.get(id) ?? 0) > 0,
			),
		);
		this.#shown = this.#turn;
		this.#waiting = null;
		this.#committed = answer.verdict;
		const { chosen, others } = this.store.state;
		const lives = (/** @type {string|null} */ id) => answer.plan.pieces.some((p) => p.id === id);
		this.store.set({
			revision: answer.revision,
			plan: answer.plan,
			verdict: answer.verdict,
			trying: false,
			canUndo: answer.can_undo,
			canRedo: answer.can_redo,
			undoSays: answer.undo_says ?? '',
			redoSays: answer.redo_says ?? '',
			preview,
			chosen: lives(chosen) ? chosen : null,
			others: lives(chosen) ? others.filter(lives) : [],
		});
		this.onDrawing(answer.drawing);
	}

	/** @param {unknown} error */
	async #refused(error) {
		const fault = error instanceof Error ? error.message : String(error);
		if (!(error instanceof ApiError)) console.error(error);
		this.cancel(Object.keys(this.store.state.preview).filter((id) => !this.holding.has(id)));
		const code = error instanceof ApiError ? error.code : '';
		const conflict = code === 'conflict';
		this.store.set({ saving: 'failed', fault: conflict ? MEANWHILE : fault });
		if (conflict) await this.#reread();
		if (code === 'offline') this.#wake();
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
		this.#asleep = setTimeout(() => {
			void this.#run(async () => {
				if (!(await this.#reread())) throw new ApiError(AWAY, 'offline');
				return null;
			});
		}, AGAIN_MS);
	}

	/** Ask for the ways out once nothing is in the hand and nothing waits to be saved. */
	#later() {
		clearTimeout(this.#rest);
		this.#rest = setTimeout(() => {
			if (this.#queued > 0 || this.holding.size > 0) this.#later();
			else void this.waysOut();
		}, REST_MS);
	}

	async waysOut() {
		if (this.#seeking) {
			this.#later();
			return;
		}
		this.#seeking = true;
		try {
			const answer = await this.api.remedies(this.store.state.revision);
			const current = answer.revision === this.store.state.revision;
			if (current) this.store.set({ remedies: answer.remedies });
		} catch {
			// Without ways out the list still says what is wrong.
		}
		this.#seeking = false;
	}
}
