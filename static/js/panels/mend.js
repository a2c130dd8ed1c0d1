/** "Mend all": the series of ways out in words, before it is done as one command. */

import { el, need, say } from '../dom.js';

/** @import {Command, Mending} from '../types.js' */

/** How often a long search is asked how far it is. */
const LOOK_MS = 700;

/**
 * What stays open in words: "1 stop and 5 cares stay open."
 * @param {number} stops @param {number} cares
 */
export function stayOpen(stops, cares) {
	const open = [];
	if (stops) open.push(stops === 1 ? '1 stop' : `${stops} stops`);
	if (cares) open.push(cares === 1 ? '1 care' : `${cares} cares`);
	if (!open.length) return 'No stop and no care stays open.';
	return `${open.join(' and ')} ${stops + cares === 1 ? 'stays' : 'stay'} open.`;
}

export class MendPanel {
	/** @type {Mending|null} */
	#mended = null;

	/**
	 * @param {HTMLElement} root @param {() => Promise<Mending>} ask
	 * @param {() => Promise<{looking: string, taken: string[]}>} soFar how far it is
	 * @param {(command: Command, revision: number) => void} carryOut
	 * @param {(command: Command|null) => void} show where all would stand then, before it is done
	 */
	constructor(root, ask, soFar, carryOut, show) {
		this.root = root;
		this.show = show;
		this.ask = ask;
		this.soFar = soFar;
		this.title = need(root, 'h3', HTMLElement);
		this.steps = need(root, 'ol', HTMLElement);
		this.left = need(root, '.hint', HTMLElement);
		this.go = need(root, '.remedy', HTMLButtonElement);
		this.go.addEventListener('click', () => {
			const mended = this.#mended;
			this.shut();
			if (mended?.command) carryOut(mended.command, mended.revision);
		});
		need(root, '.quiet', HTMLButtonElement).addEventListener('click', () => this.shut());
	}

	shut() {
		this.root.hidden = true;
		this.#mended = null;
		this.show(null);
	}

	async open() {
		this.root.hidden = false;
		this.#show('Looking for ways out', [], 'One after another, each judged before it is taken.');
		this.title.classList.add('is-looking');
		const asking = window.setInterval(() => void this.#sayHowFar(), LOOK_MS);
		try {
			const mended = await this.ask().finally(() => window.clearInterval(asking));
			if (this.root.hidden) return;
			this.#mended = mended;
			this.show(mended.command);
			const count = mended.steps.length;
			const moves = count === 1 ? '1 move' : `${count} moves`;
			const early = 'The plan is so large that not everything was tried.';
			const open = stayOpen(mended.stops_left, mended.cares_left);
			const left = [mended.price, open, mended.ended_early ? early : ''].filter(Boolean).join(' ');
			if (count === 0) this.#show('No way out mends more', [], left);
			else this.#show(`Mend all in ${moves}`, mended.steps, `${left} Undone as one.`);
			say(this.go, count === 1 ? 'Do this move' : `Do these ${moves}`);
			this.go.hidden = !mended.command;
			if (mended.command) this.go.focus({ preventScroll: true });
		} catch (error) {
			this.#show('No answer', [], error instanceof Error ? error.message : String(error));
		}
	}

	/** What it looks at just now, and what it took so far: a search may take long. */
	async #sayHowFar() {
		const now = await this.soFar().catch(() => null);
		if (!now || !this.title.classList.contains('is-looking')) return;
		this.steps.replaceChildren(...now.taken.map((step) => el('li', {}, step)));
		say(this.left, now.looking ? `Looking at ${now.looking}.` : 'Each way out is judged before it is taken.');
	}

	/** @param {string} title @param {string[]} steps @param {string} left */
	#show(title, steps, left) {
		say(this.title, title);
		this.title.classList.remove('is-looking');
		this.steps.replaceChildren(...steps.map((step) => el('li', {}, step)));
		say(this.left, left);
		this.go.hidden = true;
	}
}
