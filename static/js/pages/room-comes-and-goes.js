/** What usually comes and goes is proposed so: a car is out while somebody trains, all else stays. */

const COMES_AND_GOES = ['car'];

/** @param {HTMLElement} panel */
export function proposeFate(panel) {
	/** @type {WeakSet<HTMLFormElement>} */
	const decided = new WeakSet();
	panel.addEventListener('change', (event) => {
		const field = event.target;
		if (!(field instanceof HTMLInputElement) || !field.form?.matches('.add-found')) return;
		if (field.name === 'fate') decided.add(field.form);
		if (field.name !== 'kind' || decided.has(field.form)) return;
		const fate = field.form.elements.namedItem('fate');
		if (fate instanceof RadioNodeList) fate.value = COMES_AND_GOES.includes(field.value) ? 'out' : 'stays';
	});
}
