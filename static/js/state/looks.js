/** How the desk looked at the revisions that this page has seen. */

import { StepMemory } from './step_memory.js';

/** @import {Answer, Plan, Verdict} from '../types.js' */

/**
 * Where pieces stand is said by the plan: the drawing may be an older one.
 * @typedef {object} Look
 * @property {Plan} plan
 * @property {Verdict} verdict
 * @property {string} drawing
 * @property {boolean} tidy  the drawing is of this very plan, not of one that it was moved from
 * @property {number|null} undo_to  revision that held what undo leads to
 * @property {number|null} redo_to
 * @property {string|null} undo_says
 * @property {string|null} redo_says
 */

/** A look holds a drawing of some 100 kB. */
const MOST = 60;

/** @param {Answer} answer @param {string} drawing in case it holds none @returns {Look} */
export function lookOf(answer, drawing) {
	const { plan, verdict, undo_to, redo_to, undo_says, redo_says } = answer;
	const tidy = answer.drawing !== undefined;
	return { plan, verdict, undo_to, redo_to, undo_says, redo_says, drawing: answer.drawing ?? drawing, tidy };
}

/** @extends {StepMemory<Look>} */
export class Looks extends StepMemory {
	constructor() {
		super(MOST);
	}
}
