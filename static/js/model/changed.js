/** A verdict that differs in some of its rows from one that is known. */

/** @import {Changed, Verdict} from '../types.js' */

/**
 * Put in what has changed. Rows that have not are the very ones of the verdict before, so that
 * whoever shows them need not look at them again.
 * @param {Verdict} before @param {Changed} changed @returns {Verdict}
 */
export function changedTo(before, { counts, gone, rows }) {
	const other = new Set([...gone, ...rows.map(({ row }) => row.key)]);
	const snags = before.snags.filter(({ key }) => !other.has(key));
	// From the first place on: each finds before it what stands before it in the end.
	for (const { at, row } of rows) snags.splice(at, 0, row);
	return { ...before, counts, snags };
}
