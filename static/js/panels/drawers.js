/** On a phone slip, shelf and card are drawers from the bottom; one is open at a time. */

/** @param {HTMLElement} bar with buttons that name their drawer in `aria-controls` */
export function drawers(bar) {
  /** @type {HTMLButtonElement[]} */
  const buttons = [...bar.querySelectorAll('button')];
  /** @param {string|null} name */
  const show = (name) => {
    for (const button of buttons) {
      const id = button.getAttribute('aria-controls') ?? '';
      const open = id === name;
      button.setAttribute('aria-expanded', String(open));
      document.getElementById(id)?.classList.toggle('is-open', open);
    }
  };
  for (const button of buttons) {
    button.addEventListener('click', () => {
      const open = button.getAttribute('aria-expanded') === 'true';
      show(open ? null : button.getAttribute('aria-controls'));
    });
  }
  return { show, close: () => show(null) };
}
