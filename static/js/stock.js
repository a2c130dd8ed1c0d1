/** The kit that lies on every shelf, and what a page brings short so that it comes sooner. */

import { HERE } from './api.js';
import { need } from './dom.js';

/** @import {KitRow, PageData, Piece, ShortData, Snag, Table} from './types.js' */

const AGAIN_MS = 1000;

/**
 * Fetch the kit of the library, again and again until it comes: the desk is of no use without.
 * @param {'metric'|'feet'} units
 * @param {(fault: string) => void} tell
 * @returns {Promise<{groups: Element[], rows: Record<string, KitRow>}>} as it lies on the shelf,
 *     and by key
 */
export async function fetchStock(units, tell) {
	for (;;) {
		try {
			const response = await fetch(`${HERE}/shelf/${units}`);
			if (!response.ok) throw new Error(`the program answered with fault ${response.status}`);
			const stock = new DOMParser().parseFromString(await response.text(), 'text/html');
			const rows = need(stock, '#kit-rows', HTMLScriptElement).textContent ?? '';
			return { groups: [...stock.querySelectorAll('.kit-group')], rows: JSON.parse(rows) };
		} catch (error) {
			tell(`The shelf did not come: ${error instanceof Error ? error.message : error}. It is asked for again.`);
			await new Promise((again) => setTimeout(again, AGAIN_MS));
		}
	}
}

/** @template T @param {Table} table @returns {T[]} */
function rowsOf({ fields, rows }) {
	return rows.map((row) => /** @type {T} */ (Object.fromEntries(fields.map((field, i) => [field, row[i]]))));
}

/** Write out what the page names only once. @param {ShortData} short @returns {PageData} */
export function unfolded(short) {
	const { plan, verdict } = short;
	const { sources, ...rest } = verdict;
	/** @type {(Omit<Snag, 'sources'> & {sources: string[]})[]} */
	const named = rowsOf(verdict.snags);
	const snags = named.map((snag) => ({ ...snag, sources: snag.sources.flatMap((key) => sources[key] ?? []) }));
	/** @type {Piece[]} */
	const pieces = rowsOf(plan.pieces);
	return { ...short, plan: { ...plan, pieces }, verdict: { ...rest, snags } };
}
