/** Brings a part of the page up to date in place, so that the hand and the eye keep their place. */

/**
 * @param {string} markup of one element, made by our own server
 * @returns {Element}
 */
export function parse(markup) {
	const holder = document.createElement('template');
	holder.innerHTML = markup.trim();
	const made = holder.content.firstElementChild;
	if (!made) throw new Error('the program sent an empty part');
	return made;
}

/** @type {WeakMap<HTMLElement, string>} what stood in a field when its form was sent */
const atSending = new WeakMap();

/** Remember what is sent, so that what is typed after it is kept. @param {HTMLFormElement} form */
export function remember(form) {
	for (const one of form.elements) {
		if (one instanceof HTMLInputElement || one instanceof HTMLSelectElement) atSending.set(one, one.value);
	}
}

/**
 * Tell whether something was typed into a field that the answer does not know of.
 * @param {HTMLInputElement|HTMLSelectElement} one
 * @param {HTMLFormElement|null} sent
 */
function newer(one, sent) {
	if (one.form === sent && sent) return one.value !== (atSending.get(one) ?? one.value);
	return one instanceof HTMLInputElement && one === document.activeElement && one.value !== one.defaultValue;
}

/**
 * Make one element like another. What is being typed stays, and so does a form that holds
 * something refused, unless it is the one that was sent.
 * @param {Element} old
 * @param {Element} fresh
 * @param {HTMLFormElement|null} [sent]
 */
export function patch(old, fresh, sent = null) {
	if (old instanceof HTMLFormElement && old !== sent && old.querySelector('[aria-invalid]')) return;
	for (const { name } of [...old.attributes]) {
		if (!fresh.hasAttribute(name) && !(name === 'open' && old instanceof HTMLDetailsElement)) {
			old.removeAttribute(name);
		}
	}
	const typed = old instanceof HTMLInputElement || old instanceof HTMLSelectElement ? newer(old, sent) : false;
	for (const { name, value } of [...fresh.attributes]) {
		if (old.getAttribute(name) !== value) old.setAttribute(name, value);
	}
	if (old instanceof HTMLInputElement && fresh instanceof HTMLInputElement) {
		if (old.type === 'radio' || old.type === 'checkbox') old.checked = fresh.defaultChecked;
		else if (!typed) old.value = fresh.defaultValue;
		return;
	}
	const chosen = old instanceof HTMLSelectElement ? old.value : '';
	const next = fresh instanceof HTMLSelectElement ? fresh.value : '';
	children(old, fresh, sent);
	if (old instanceof HTMLSelectElement) old.value = typed ? chosen : next;
}

/**
 * @param {Element} old
 * @param {Element} fresh
 * @param {HTMLFormElement|null} sent
 */
function children(old, fresh, sent) {
	const now = [...old.childNodes];
	const next = [...fresh.childNodes];
	next.forEach((node, i) => {
		const held = now[i];
		if (!held) old.append(node);
		else if (
			held instanceof Element &&
			node instanceof Element &&
			held.tagName === node.tagName &&
			held.id === node.id
		) {
			patch(held, node, sent);
		} else if (held.nodeType === Node.TEXT_NODE && node.nodeType === Node.TEXT_NODE) {
			if (held.textContent !== node.textContent) held.textContent = node.textContent;
		} else held.replaceWith(node);
	});
	for (const extra of now.slice(next.length)) extra.remove();
}
