/** The requests of the room's page. */

import { ask } from '../api.js';

/**
 * @typedef {{ok: true, of: string, revision: number, can_undo: boolean, can_redo: boolean,
 *   undo_says: string|null, redo_says: string|null, undo_to: number|null, redo_to: number|null,
 *   corners: [number, number][], drawing: string, underlay: string, overlay: string, panel: string, index: string}} Parts
 */

/**
 * @param {string} plan
 * @param {string} of what is to be chosen
 * @param {number|null} [at] an earlier revision
 * @returns {Promise<Parts>}
 */
export function readParts(plan, of, at = null) {
	const past = at === null ? '' : `&at=${at}`;
	return ask(`${address(plan)}?of=${encodeURIComponent(of)}${past}`);
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
	return ask(address(plan), { edit, of, fields, revision });
}

/** @param {string} plan */
function address(plan) {
	return `/api/plans/${encodeURIComponent(plan)}/room`;
}
