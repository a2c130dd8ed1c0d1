/** What opens below a snag: fetched when somebody asks why, or settles it. */

import { button, need } from './dom.js';
import { dress } from './lazy.js';
import { crop } from './view/crop.js';

/** @import {Desk} from './types.js' */

/**
 * Fill what opens below a snag.
 * @param {Desk} desk @param {(key: string, reason: string) => void} settle
 * @param {'why'|'settle'} what @param {string} key @param {HTMLElement} host
 * @param {() => void} shut
 */
export async function fillBelow(desk, settle, what, key, host, shut) {
	const { why, settleForm } = await import('./panels/working.js');
	const { plan, verdict } = desk.store.state;
	const snag = verdict.snags.find((s) => s.key === key);
	if (!snag) return;
	if (what === 'settle') {
		const form = settleForm((reason) => settle(key, reason), shut);
		host.replaceChildren(form);
		need(form, 'input', HTMLInputElement).focus();
		return;
	}
	const { svg } = desk.figure;
	const place = snag.where ? [crop(svg, snag.where, snag.severity)] : [];
	host.replaceChildren(...place, ...why(snag, plan.units));
	if (!snag.code.startsWith('headroom')) return;
	host.append(button('', 'plain', () => void showSection(desk, key), 'See the section'));
}

/** @param {Desk} desk @param {string} key of a headroom snag */
async function showSection(desk, key) {
	dress('section.css');
	const dialog = need(document, 'dialog.picture', HTMLDialogElement);
	try {
		const { section } = await import('./panels/working.js');
		const drawn = section((await desk.sync.api.section(key)).svg);
		if (drawn) need(dialog, '.drawn', HTMLElement).replaceChildren(drawn);
		dialog.showModal();
	} catch (error) {
		desk.tell(error instanceof Error ? error.message : String(error));
	}
}
