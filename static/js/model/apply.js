/** Carrying a command out on a plan in the page, while the program cannot be asked. Pure. */

/** @import {Change, Command, Plan} from '../types.js' */

/**
 * @param {Plan} plan @param {Command} command
 * @returns {Plan} a new plan; a change that leads nowhere is left out, for the program decides
 */
export function applied(plan, command) {
	const copy = structuredClone(plan);
	for (const change of command.changes) put(copy, change);
	return copy;
}

/** @param {any} holder @param {Change} change */
function put(holder, { path, after }) {
	const last = path[path.length - 1] ?? '';
	for (const step of path.slice(0, -1)) {
		holder = Array.isArray(holder) ? holder.find((thing) => named(thing, step)) : holder?.[step];
	}
	if (Array.isArray(holder)) {
		const at = holder.findIndex((thing) => named(thing, last));
		if (at >= 0) holder.splice(at, 1, ...(after === null ? [] : [after]));
		else if (after !== null) holder.push(after);
	} else if (holder && typeof holder === 'object') {
		holder[last] = after;
	}
}

/**
 * Leave one command out of several that follow one another: where a later one changes the same
 * place it finds what stood there before, and what it changes on a thing that never came is gone.
 * @param {Command[]} commands @param {number} at @returns {(Command|null)[]} null: nothing is left
 */
export function without(commands, at) {
	const left = structuredClone(commands);
	for (const gone of left[at]?.changes ?? []) {
		const place = gone.path.join(' / ');
		let later = true;
		for (const command of left.slice(at + 1)) {
			command.changes = command.changes.filter((change) => {
				const path = change.path.join(' / ');
				if (gone.before === null && path.startsWith(`${place} / `)) return false;
				if (path !== place || !later) return true;
				later = false;
				change.before = gone.before;
				return change.before !== null || change.after !== null;
			});
		}
	}
	return left.map((command, i) => (i !== at && command.changes.length ? command : null));
}

/** @param {any} thing @param {string} name */
function named(thing, name) {
	return (thing?.id ?? thing?.movement) === name;
}

/**
 * Fold a later command into earlier ones where it changes the same places, so that each place is
 * sent once.
 * @param {Command[]} earlier changed in place @param {Command} later @returns {Command|null} what
 * is left of it
 */
export function folded(earlier, later) {
	const changes = later.changes.filter((change) => {
		const key = change.path.join(' / ');
		const same = earlier.flatMap((c) => c.changes).findLast((c) => c.path.join(' / ') === key);
		if (!same || same.after === null || change.after === null) return true;
		same.after = change.after;
		return false;
	});
	return changes.length ? { ...later, changes } : null;
}
