/** The requests of the room's page; a refusal keeps the sentence for each field. */

import { HERE } from '../api.js';

/** @import {Both} from '../types.js' */

/**
 * @typedef {{ok: true, of: string, revision: number, can_undo: boolean, can_redo: boolean,
 *   undo_says: string|null, redo_says: string|null, undo_to: number|null, redo_to: number|null,
 *   corners: [number, number][], drawing: string, underlay: string, overlay: string, panel: string, index: string}} Parts
 */

/** A refusal: `message` is a sentence, `fields` tell what is wrong with each field. */
export class Refusal extends Error {
	/**
	 * @param {string} message
	 * @param {string} code
	 * @param {{field: string, sentence: string}[]} fields
	 * @param {Both|null} [both] where two changed one place
	 */
	constructor(message, code, fields, both = null) {
		super(message);
		this.code = code;
		this.fields = fields;
		this.both = both;
	}
}

/**
 * @param {string} plan
 * @param {string} of what is to be chosen
 * @param {number|null} [at] an earlier revision
 * @returns {Promise<Parts>}
 */
export function readParts(plan, of, at = null) {
	const past = at === null ? '' : `&at=${at}`;
	return ask(`${address(plan)}?of=${encodeURIComponent(of)}${past}`, { headers: { Accept: 'application/json' } });
}

/**
 * @param {string} plan
 * @param {string} edit
 * @param {string} of
 * @param {Record<string, string>} fields all as typed
 * @param {number|null} revision the one that the form shows
 * @returns {Promise<Parts>}
 */
export function sendEdit(plan, edit, of, fields, revision) {
	return ask(address(plan), {
		method: 'POST',
		headers: { Accept: 'application/json', 'Content-Type': 'application/json' },
		body: JSON.stringify({ edit, of, fields, revision }),
	});
}

/** @param {string} plan */
function address(plan) {
	return `${HERE}/api/plans/${encodeURIComponent(plan)}/room`;
}

/**
 * @param {string} path
 * @param {RequestInit} init
 * @returns {Promise<any>}
 */
async function ask(path, init) {
	/** @type {Response} */
	let response;
	try {
		response = await fetch(path, init);
	} catch {
		throw new Refusal('the program does not answer; is it still running?', 'offline', []);
	}
	/** @type {any} */
	const answer = await response.json().catch(() => null);
	if (response.ok && answer?.ok) return answer;
	const fault = answer?.error ?? {};
	throw new Refusal(
		fault.message || `the program answered with fault ${response.status}`,
		fault.code ?? 'fault',
		fault.fields ?? [],
		fault.both ?? null,
	);
}
