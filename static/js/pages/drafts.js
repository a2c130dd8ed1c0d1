/**
 * What is typed into a form and not kept yet: it is given back when that form is shown again, after
 * another part was looked at, another page, or a reload of this tab.
 */

/** @typedef {HTMLInputElement|HTMLSelectElement} Field */
/** @typedef {{value: string, was: string}} Draft what is typed, and what stood there before */

/** What is said when typing stands in its fields again. */
export const GIVEN_BACK = 'typed before and not kept yet: it is back in its fields';

/** Hidden fields that do not say what a form is about. */
const NO_IDS = ['edit', 'of', 'revision'];
const TICKS = ['checkbox', 'radio'];

export class Drafts {
	/** Each page of a plan keeps its own. */
	key = `elbowroom-typed:${location.pathname}`;

	/** Keep what is typed from now on into the forms of an element. @param {HTMLElement} holder */
	watch(holder) {
		holder.addEventListener('input', ({ target }) => {
			const form = target instanceof HTMLInputElement || target instanceof HTMLSelectElement ? target.form : null;
			if (form) this.keep(form);
		});
	}

	/** @returns {Record<string, Record<string, Draft>>} by form and field */
	#read() {
		try {
			return JSON.parse(sessionStorage.getItem(this.key) ?? '{}') ?? {};
		} catch {
			return {};
		}
	}

	/** @param {string} form @param {Record<string, Draft>} drafts */
	#write(form, drafts) {
		const all = this.#read();
		if (Object.keys(drafts).length) all[form] = drafts;
		else delete all[form];
		try {
			sessionStorage.setItem(this.key, JSON.stringify(all));
		} catch {
			// A browser that keeps nothing still has the fields as they are.
		}
	}

	/** Keep what differs in a form from what the program knows. @param {HTMLFormElement} form */
	keep(form) {
		const name = nameOf(form);
		if (!name) return;
		/** @type {Record<string, Draft>} */
		const drafts = {};
		for (const field of fieldsOf(form)) {
			const [value, was] = [valueOf(field), defaultOf(field)];
			if (value !== was) drafts[keyOf(field)] = { value, was };
		}
		this.#write(name, drafts);
	}

	/**
	 * Forget what has been kept by the program, and keep what was typed after it was sent.
	 * @param {HTMLFormElement} form @param {Record<string, unknown>} sent by field
	 */
	sent(form, sent) {
		const name = nameOf(form);
		const drafts = this.#read()[name];
		if (!drafts) return;
		const newer = Object.entries(drafts).filter(([key, { value }]) => {
			const typed = !key.includes('=') && key in sent;
			return typed && sent[key] !== value;
		});
		this.#write(name, Object.fromEntries(newer));
	}

	/**
	 * Put what was typed back into the forms of an element, where the program knows nothing newer.
	 * @param {ParentNode} holder
	 * @returns {boolean} whether there was anything
	 */
	giveBack(holder) {
		const all = this.#read();
		let any = false;
		for (const form of holder.querySelectorAll('form[data-edit]')) {
			if (!(form instanceof HTMLFormElement)) continue;
			const drafts = all[nameOf(form)];
			if (!drafts) continue;
			for (const field of fieldsOf(form)) {
				const draft = drafts[keyOf(field)];
				if (!draft || draft.was !== defaultOf(field) || valueOf(field) === draft.value) continue;
				if (field instanceof HTMLInputElement && TICKS.includes(field.type)) field.checked = draft.value === 'on';
				else field.value = draft.value;
				field.closest('details')?.setAttribute('open', '');
				any = true;
			}
		}
		return any;
	}
}

/** The edit of a form with the ids of what it is about. @param {HTMLFormElement} form */
function nameOf(form) {
	const ids = [...form.querySelectorAll('input[type="hidden"]')]
		.map((one) => (one instanceof HTMLInputElement && !NO_IDS.includes(one.name) ? one.value : ''))
		.filter(Boolean);
	return [form.dataset['edit'] ?? '', ...ids].join(' ').trim();
}

/** @param {HTMLFormElement} form @returns {Field[]} */
function fieldsOf(form) {
	return [...form.elements].flatMap((one) => {
		const typed = one instanceof HTMLInputElement && !['hidden', 'file'].includes(one.type);
		return typed || one instanceof HTMLSelectElement ? [one] : [];
	});
}

/** @param {Field} field */
function keyOf(field) {
	return field instanceof HTMLInputElement && TICKS.includes(field.type) ? `${field.name}=${field.value}` : field.name;
}

/** @param {Field} field */
function valueOf(field) {
	if (field instanceof HTMLInputElement && TICKS.includes(field.type)) return field.checked ? 'on' : '';
	return field.value;
}

/** @param {Field} field */
function defaultOf(field) {
	if (field instanceof HTMLSelectElement) {
		return ([...field.options].find((one) => one.defaultSelected) ?? field.options[0])?.value ?? '';
	}
	return TICKS.includes(field.type) ? (field.defaultChecked ? 'on' : '') : field.defaultValue;
}
