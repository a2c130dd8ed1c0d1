/**
 * The picture beside the plan: the room as it will be, from any of its corners, following the hand.
 * The program draws it; a piece in the hand is moved here at once, and is put in its right order
 * when the program has answered.
 */

import { need, put, say, sv } from '../dom.js';

/** @import {Pose, RoomPicture, State} from '../types.js' */
/** @import {PlanApi} from '../api.js' */

const CORNERS = 4;

export class Beside {
	#corner = 0;
	/** The revision whose picture is at hand; null before the first. @type {number|null} */
	#revision = null;
	/** Its units by their keys. @type {Map<string, Element>} */
	#units = new Map();
	/** Where the pieces of it that are in the hand stand as drawn. @type {Record<string, Pose>} */
	#drawn = {};
	/** What a mm along x and along y of the floor is on the paper: right and down each. */
	#along = [
		[1, 0],
		[0, 1],
	];
	#asking = false;
	#again = false;
	#wanted = 0;

	/**
	 * @param {HTMLDetailsElement} root @param {PlanApi} api
	 * @param {() => State} now
	 */
	constructor(root, api, now) {
		this.root = root;
		this.api = api;
		this.now = now;
		this.svg = need(root, 'svg', SVGSVGElement);
		this.words = need(root, '.beside-words', HTMLElement);
		this.layer = sv('g');
		this.ghosts = sv('g');
		this.svg.append(this.layer, this.ghosts);
		for (const [name, by] of /** @type {const} */ ([
			['.turn-left', CORNERS - 1],
			['.turn-right', 1],
		])) {
			need(root, name, HTMLButtonElement).addEventListener('click', () => {
				this.#corner = (this.#corner + by) % CORNERS;
				this.#revision = null;
				this.ask();
			});
		}
	}

	/** @param {State} now @param {State|null} was */
	update(now, was) {
		if (now.preview !== was?.preview) this.#push(now);
		if (now.plan !== was?.plan || now.revision !== was.revision || now.preview !== was.preview) this.ask();
	}

	/** Move what is in the hand at once. @param {State} now */
	#push(now) {
		for (const unit of this.layer.children) {
			const id = unit.getAttribute('data-owner') ?? '';
			const pose = now.preview[id];
			const from = this.#drawn[id] ?? now.plan.pieces.find((piece) => piece.id === id)?.pose;
			if (pose && from) put(unit, 'transform', this.#shift(pose.x_mm - from.x_mm, pose.y_mm - from.y_mm));
			else unit.removeAttribute('transform');
		}
	}

	/** @param {number} dx @param {number} dy mm on the floor @returns {string} the same on the paper */
	#shift(dx, dy) {
		const [[a = 1, b = 0] = [], [c = 0, d = 1] = []] = this.#along;
		return `translate(${(dx * a + dy * c).toFixed(1)} ${(dx * b + dy * d).toFixed(1)})`;
	}

	/** Ask for the picture as it is now; while one answer is out, only the newest question waits. */
	ask() {
		this.#wanted += 1;
		if (this.#asking) this.#again = true;
		else void this.#ask();
	}

	async #ask() {
		this.#asking = true;
		const asked = { ...this.now().preview };
		const corner = this.#corner;
		try {
			const answer = await this.api.pictureNow(corner, asked, this.#revision);
			if (corner === this.#corner) this.#show(answer, asked);
		} catch {
			// The plan beside it says what is wrong; the picture stays as it was.
		}
		this.#asking = false;
		if (!this.#again) return;
		this.#again = false;
		void this.#ask();
	}

	/** @param {RoomPicture} answer @param {Record<string, Pose>} poses */
	#show(answer, poses) {
		if (answer.whole !== undefined) {
			this.#units = read(answer.whole);
			this.#along = answer.along ?? this.#along;
			put(this.svg, 'viewBox', answer.box ?? '');
			this.ghosts.replaceChildren(...read(answer.ghosts ?? '', '').values());
			const words = answer.words ?? [];
			put(this.svg, 'aria-label', words.join('. '));
			say(this.words, words[0] ?? '');
		}
		this.#revision = answer.revision;
		const fresh = read(answer.drawn);
		const units = answer.order.flatMap((key) => fresh.get(key) ?? this.#units.get(key) ?? []);
		this.layer.replaceChildren(...units);
		this.#drawn = poses;
		this.#push(this.now());
	}
}

/**
 * @param {string} markup @param {string} [by] the attribute that holds a key; '' for one thing without
 * @returns {Map<string, Element>} what it holds, by key
 */
function read(markup, by = 'data-key') {
	const text = `<svg xmlns="http://www.w3.org/2000/svg">${markup}</svg>`;
	const root = new DOMParser().parseFromString(text, 'image/svg+xml').documentElement;
	return new Map([...root.children].map((each) => [by ? (each.getAttribute(by) ?? '') : '', document.adoptNode(each)]));
}
