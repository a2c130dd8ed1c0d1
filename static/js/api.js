/** JSON to and from the server of this page. */

/** @import {Answer, Both, Changed, Command, Mending, Offer, Place, Pose, Remedy, RoomPicture, Verdict} from './types.js' */

/** What stands before every address: the link for a guest, a word for an owner who started with it, else nothing. */
export const HERE = new URL(import.meta.url).pathname.replace(/\/static\/.*/, '');

/** Whether a guest looks: their links begin so. */
export const GUEST = HERE.startsWith('/g/');

/** A refusal: `message` is a sentence for people, `code` is for the program, `fields` tell what is wrong with each. */
export class ApiError extends Error {
	/** @param {string} message @param {string} code */
	constructor(message, code) {
		super(message);
		this.code = code;
		/** @type {{field: string, sentence: string}[]} */
		this.fields = [];
		/** @type {Both|null} where two changed one place: both versions */
		this.both = null;
	}
}

/**
 * Let the program make ready for looking for layouts: whoever reads of it or points at it may ask next.
 * @param {HTMLFormElement} form what begins it
 */
export const makeLayoutsReady = (form) => {
	navigator.sendBeacon(form.action, new URLSearchParams({ edit: 'ready' }));
};

/**
 * The one way to the server.
 * @param {string} address @param {RequestInit} [init] @returns {Promise<Response>}
 */
async function request(address, init) {
	try {
		return await fetch(address, init);
	} catch {
		throw new ApiError('the program does not answer; is it still running?', 'offline');
	}
}

/** @param {string} path @param {unknown} [body] given: POST, else GET @returns {Promise<any>} */
export async function ask(path, body) {
	const response = await request(
		HERE + path,
		body === undefined
			? { headers: { Accept: 'application/json' } }
			: {
					method: 'POST',
					headers: { Accept: 'application/json', 'Content-Type': 'application/json' },
					body: JSON.stringify(body),
				},
	);
	/** @type {any} */
	let answer = null;
	try {
		answer = await response.json();
	} catch {
		throw new ApiError(`the program answered with fault ${response.status}`, 'fault');
	}
	if (!response.ok || answer.ok === false) {
		const fault = answer.error ?? {};
		/** @type {{field: string, sentence: string}[]} */
		const fields = fault.fields ?? [];
		const sentence = fields.map((field) => field.sentence).join('; ') || fault.message;
		const refusal = new ApiError(sentence || `fault ${response.status}`, fault.code ?? 'fault');
		refusal.fields = fields;
		refusal.both = fault.both ?? null;
		throw refusal;
	}
	return answer;
}

/**
 * Ask for a page. One that lacks what is looked for is a fault, told in its own words.
 * @param {string} address
 * @param {string} part  what the page must have
 * @param {BodyInit} [body] given: POST, else GET
 * @returns {Promise<{fresh: Document, ok: boolean}>} `ok` false: the page shows what was refused
 */
export async function askPage(address, part, body) {
	const response = await request(address, body === undefined ? undefined : { method: 'POST', body });
	const fresh = new DOMParser().parseFromString(await response.text(), 'text/html');
	if (fresh.querySelector(part)) return { fresh, ok: response.ok };
	const words = fresh.querySelector('main p')?.textContent;
	throw new ApiError(words || `the program answered with fault ${response.status}`, 'fault');
}

/**
 * The body in which a form would be sent: its files too, where it has any.
 * @param {HTMLFormElement} form @param {HTMLElement|null} [submitter]
 */
export function bodyOf(form, submitter = null) {
	const body = new FormData(form, submitter instanceof HTMLButtonElement ? submitter : null);
	if (form.enctype === 'multipart/form-data') return body;
	return new URLSearchParams([...body].map(([name, value]) => [name, String(value)]));
}

/** The requests of one plan. */
export class PlanApi {
	/** @param {string} planId */
	constructor(planId) {
		this.root = `/api/plans/${encodeURIComponent(planId)}`;
	}

	/** Where the plan is for what the browser fetches by itself, such as a picture. */
	get address() {
		return HERE + this.root;
	}

	/** @returns {Promise<Answer & {drawing: string}>} */
	read() {
		return ask(this.root);
	}

	/** @param {number} revision @returns {Promise<Answer>} how the plan was then */
	at(revision) {
		return ask(`${this.root}/revisions/${revision}`);
	}

	/** @returns {Promise<{revision: number, drawing: string}>} */
	drawing() {
		return ask(`${this.root}/look`);
	}

	/**
	 * What only moves pieces is answered without a drawing, and so the sooner.
	 * @param {Command} command @param {number} revision the one that it was made on
	 * @param {boolean} [asFound] a search found it: it is carried out on that revision alone
	 * @returns {Promise<Answer>}
	 */
	command(command, revision, asFound = false) {
		const drawing = !command.changes.every(({ path }) => path[0] === 'pieces' && path[2] === 'pose');
		return ask(`${this.root}/commands`, { command, revision, drawing, as_found: asFound });
	}

	/** @param {'undo'|'redo'} way @param {boolean} drawing @returns {Promise<Answer>} */
	step(way, drawing) {
		return ask(`${this.root}/${way}`, { drawing });
	}

	/**
	 * @param {Record<string, Pose>} moves
	 * @param {number|null} against the revision whose verdict is at hand
	 * @returns {Promise<{verdict?: Verdict, changed?: Changed, money?: string[]}>} what has changed against it, or all
	 */
	try(moves, against) {
		return ask(`${this.root}/try`, against === null ? { moves } : { moves, against });
	}

	/**
	 * The room as a picture, with pieces at other poses.
	 * @param {number} corner @param {Record<string, Pose>} moves
	 * @param {number|null} against the revision whose picture is at hand
	 * @returns {Promise<RoomPicture>}
	 */
	pictureNow(corner, moves, against) {
		return ask(`${this.root}/picture-now`, against === null ? { corner, moves } : { corner, moves, against });
	}

	/**
	 * @param {number} revision @param {boolean} first  what one change mends alone, which comes sooner
	 * @returns {Promise<{revision: number, remedies: Record<string, Remedy>, tried: Record<string, string>}>}
	 */
	remedies(revision, first) {
		return ask(`${this.root}/remedies?revision=${revision}${first ? '&first' : ''}`);
	}

	/**
	 * With `joins` a bar or bench goes to the rack it is used in: the chosen one, or the only one.
	 * @param {{width_mm: number, depth_mm: number, height_mm: number, type?: string,
	 *   joins?: boolean, chosen?: string|null}} offer
	 * @returns {Promise<{fits: boolean, sentence: string, place: Pose|null, carried_by?: string}>}
	 */
	fits(offer) {
		return ask(`${this.root}/fits`, offer);
	}

	/**
	 * @param {Offer} offer
	 * @returns {Promise<{places: {pose: Pose, sentence: string}[]}>} where it could stand, the best first
	 */
	places(offer) {
		return ask(`${this.root}/places`, offer);
	}

	/** How far mending all is. @returns {Promise<{looking: string, taken: string[]}>} */
	mendingNow() {
		return ask(`${this.root}/mending/now`);
	}

	/** @returns {Promise<Mending>} */
	mending() {
		return ask(`${this.root}/mending`);
	}

	/** @param {string} piece @returns {Promise<{places: Place[], left_out: string[]}>} */
	walls(piece) {
		return ask(`${this.root}/walls/${encodeURIComponent(piece)}`);
	}

	/** @param {string} key of a headroom snag @returns {Promise<{svg: string}>} its section */
	section(key) {
		return ask(`${this.root}/section?${new URLSearchParams({ key })}`);
	}

	/**
	 * Where a person has the headroom of a movement, as markup of films in mm of the room.
	 * @param {string} person @param {string} movement
	 * @returns {Promise<{least: string, need: string}>}
	 */
	region(person, movement) {
		return ask(`${this.root}/region?${new URLSearchParams({ person, movement })}`);
	}

	/**
	 * The ways on foot as markup of a film, its key, each way in words and all in one sentence.
	 * @returns {Promise<{svg: string, key: string, short: string,
	 *     lines: {ink: string, words: string}[]}>}
	 */
	ways() {
		return ask(`${this.root}/ways`);
	}

	/** @param {string} text as typed @param {string} units @returns {Promise<number>} mm */
	async length(text, units) {
		const { mm, sentence } = await ask(`/api/length?${new URLSearchParams({ text, units })}`);
		if (mm === null) throw new ApiError(sentence, 'length');
		return mm;
	}

	/** @param {string} name @returns {Promise<Partial<Answer>>} */
	rename(name) {
		return ask(`${this.root}/name`, { name });
	}
}
