/** Shopping: a tick is sent behind the hand; without a signal it waits on this device and goes out later. */

const KEY = `shopping.${location.pathname}`;

/** @returns {Record<string, string>} what is still to be sent: how each line stands, by its edit */
function waiting() {
	try {
		/** @type {unknown} */
		const stored = JSON.parse(localStorage.getItem(KEY) ?? '{}');
		return stored !== null && typeof stored === 'object' ? { ...stored } : {};
	} catch {
		return {};
	}
}

/** @param {Record<string, string>} ticks */
function keep(ticks) {
	if (Object.keys(ticks).length) localStorage.setItem(KEY, JSON.stringify(ticks));
	else localStorage.removeItem(KEY);
}

/** @param {HTMLFormElement} form @param {string} standing */
function mark(form, standing) {
	const line = form.closest('.errand');
	const got = standing === 'bought';
	line?.classList.toggle('is-got', got);
	line?.querySelector('[aria-pressed]')?.setAttribute('aria-pressed', String(got));
	if (standing === 'owned') line?.toggleAttribute('hidden', true);
	const field = form.elements.namedItem('standing');
	if (form.querySelector('[aria-pressed]') && field instanceof HTMLInputElement)
		field.value = got ? 'to-come' : 'bought';
	tell();
}

function tell() {
	const left = document.querySelector('#left b');
	const some = [...document.querySelectorAll('.errand:not(.is-got):not([hidden]) [aria-pressed]')];
	if (left) left.textContent = String(some.length);
}

/** @param {string} edit @param {string} standing @returns {Promise<boolean>} whether it is kept by now */
async function send(edit, standing) {
	const body = new FormData();
	body.set('edit', edit);
	body.set('standing', standing);
	try {
		const reply = await fetch(location.pathname, { method: 'POST', body });
		return reply.ok;
	} catch {
		return false;
	}
}

async function sendAll() {
	for (const [edit, standing] of Object.entries(waiting())) {
		if (!(await send(edit, standing))) return;
		const ticks = waiting();
		if (ticks[edit] === standing) delete ticks[edit];
		keep(ticks);
		formOf(edit)?.closest('.errand')?.classList.remove('is-waiting');
	}
}

/** @param {string} edit @returns {HTMLFormElement|null} */
function formOf(edit) {
	const field = document.querySelector(`.errand input[name="edit"][value="${CSS.escape(edit)}"]`);
	return field instanceof HTMLInputElement ? field.form : null;
}

document.addEventListener('submit', (event) => {
	const form = event.target;
	if (!(form instanceof HTMLFormElement) || form.dataset['got'] === undefined) return;
	const edit = new FormData(form).get('edit');
	const standing = new FormData(form).get('standing');
	if (typeof edit !== 'string' || typeof standing !== 'string') return;
	// what comes back to the list needs its line drawn: that is the server's
	if (form.dataset['got'] === 'to-come' && !form.querySelector('[aria-pressed]')) return;
	event.preventDefault();
	mark(form, standing);
	form.closest('.errand')?.classList.add('is-waiting');
	keep({ ...waiting(), [edit]: standing });
	void sendAll();
});
window.addEventListener('online', () => void sendAll());
for (const [edit, standing] of Object.entries(waiting())) {
	const form = formOf(edit);
	if (form) mark(form, standing);
}
void sendAll();
