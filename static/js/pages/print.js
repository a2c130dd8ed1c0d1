/** Choosing sheet, paper and scale shows it at once; it follows the plan while others change it. */

import { need } from '../dom.js';
import { follow } from '../live.js';

document.documentElement.classList.add('scripted');
const form = need(document, '#choose', HTMLFormElement);
form.addEventListener('change', () => form.submit());

const shown = Number(form.dataset['revision']);
follow(form.dataset['plan'] ?? '', (news) => {
	if (news?.revision !== undefined && news.revision !== shown) location.reload();
});
