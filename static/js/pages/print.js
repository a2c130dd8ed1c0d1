/** Choosing paper, scale and flags shows the sheet at once. */

import { need } from '../dom.js';

document.documentElement.classList.add('scripted');
const form = need(document, '#choose', HTMLFormElement);
form.addEventListener('change', () => form.submit());
