/** What gives way to the room: the shelf, the key and the picture fold, and this browser remembers how they were left. */

const KEY = 'elbowroom.folds';

/** @returns {Record<string, boolean>} which folds somebody has opened or shut themself */
function remembered() {
	try {
		return JSON.parse(localStorage.getItem(KEY) ?? '{}') ?? {};
	} catch {
		return {};
	}
}

/** @param {string} name @param {boolean} open */
function remember(name, open) {
	try {
		localStorage.setItem(KEY, JSON.stringify({ ...remembered(), [name]: open }));
	} catch {
		// A browser that keeps nothing begins anew each time.
	}
}

/**
 * @param {HTMLElement} body carries `shelf-away` @param {HTMLElement[]} togglers of the shelf
 * @param {HTMLDetailsElement[]} sheets that fold, each named by its `data-fold`
 */
export function folds(body, togglers, sheets) {
	const before = remembered();
	/** @param {boolean} open */
	const showShelf = (open) => {
		body.classList.toggle('shelf-away', !open);
		for (const one of togglers) one.setAttribute('aria-expanded', String(open));
	};
	showShelf(before['shelf'] ?? !body.classList.contains('shelf-away'));
	for (const one of sheets) {
		const name = one.dataset['fold'] ?? '';
		one.open = before[name] ?? false;
		one.addEventListener('toggle', () => remember(name, one.open));
	}
	for (const one of togglers) {
		one.addEventListener('click', () => {
			const open = body.classList.contains('shelf-away');
			showShelf(open);
			remember('shelf', open);
			// the button that was pressed may have gone with the shelf
			if (!open) togglers[0]?.focus();
		});
	}
	return {
		/** Let the shelf be seen, for somebody who goes there. */
		openShelf: () => showShelf(true),
	};
}
