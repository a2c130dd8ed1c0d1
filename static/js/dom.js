/** Typed lookups and builders; text only ever goes in as text. */

export const SVG = 'http://www.w3.org/2000/svg';
/** Said where what others do is not heard of. */
export const OUT_OF_REACH = 'out of reach: what you see may be old';

/**
 * Find an element or throw: a template without it is a mistake of ours.
 * @template {Element} T @param {ParentNode} root @param {string} selector
 * @param {new (...args: never[]) => T} kind @returns {T}
 */
export function need(root, selector, kind) {
	const node = root.querySelector(selector);
	if (!(node instanceof kind)) throw new Error(`the page lacks ${selector}`);
	return node;
}

/**
 * Build an element. `attributes` are set as attributes, `content` is text or children.
 * @param {string} tag @param {Record<string, string>} [attributes] @param {string|Node[]} [content]
 * @returns {HTMLElement}
 */
export function el(tag, attributes = {}, content = '') {
	const made = document.createElement(tag);
	for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value);
	if (typeof content === 'string') made.textContent = content;
	else made.append(...content);
	return made;
}

/**
 * @param {string} tag @param {string} className @param {() => void} onPress @param {string} text
 * @returns {HTMLButtonElement}
 */
export function button(tag, className, onPress, text) {
	const made = document.createElement('button');
	made.type = 'button';
	if (tag) made.dataset['act'] = tag;
	made.className = className;
	made.textContent = text;
	made.addEventListener('click', onPress);
	return made;
}

/**
 * Build an SVG element.
 * @param {string} tag @param {Record<string, string|number>} [attributes]
 * @param {string|SVGElement[]} [content] @returns {SVGElement}
 */
export function sv(tag, attributes = {}, content = []) {
	const made = document.createElementNS(SVG, tag);
	for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, String(value));
	if (typeof content === 'string') made.textContent = content;
	else made.append(...content);
	return made;
}

/**
 * Write text only where it differs, so that nothing is laid out anew for nothing. Other words in the
 * same text let rules that ask what an element holds (`:has`) stand; another text has them asked anew.
 * @param {Element} element @param {string} text
 */
export function say(element, text) {
	const only = element.firstChild;
	if (text && only instanceof Text && only === element.lastChild) {
		if (only.data !== text) only.data = text;
	} else if (element.textContent !== text) element.textContent = text;
}

/**
 * Set an attribute only where it differs.
 * @param {Element} element @param {string} name @param {string} value
 */
export function put(element, name, value) {
	if (element.getAttribute(name) !== value) element.setAttribute(name, value);
}

/** @param {EventTarget|null} target @returns {boolean} whether keys typed there are text */
export function takesText(target) {
	return (
		target instanceof HTMLInputElement || target instanceof HTMLTextAreaElement || target instanceof HTMLSelectElement
	);
}
