/** Typing on a tape: the piece moves until the tape has that length. */

/** @typedef {'left'|'right'|'back'|'front'} Side */

/**
 * What happens to what is typed: `set` moves the piece, `next` gives the tape that Tab leads to,
 * `done` and `gone` end it by Enter or Escape and by a press elsewhere.
 * @typedef {object} Typing
 * @property {(side: Side, mm: number) => unknown} set
 * @property {() => void} next
 * @property {(byEnter: boolean) => void} done
 * @property {() => void} gone
 */

export class TapeField {
	/** @type {Side} */
	#side = 'left';
	#was = '';
	/** @type {Typing|null} */
	#hand = null;

	/**
	 * @param {HTMLInputElement} input @param {(text: string) => Promise<number>} read
	 * @param {(text: string) => void} refuse
	 */
	constructor(input, read, refuse) {
		this.input = input;
		this.read = read;
		this.refuse = refuse;
		input.addEventListener('keydown', (event) => {
			if (!['Enter', 'Escape', 'Tab'].includes(event.key)) return;
			event.preventDefault();
			event.stopPropagation();
			void this.#end(/** @type {'Enter'|'Escape'|'Tab'} */ (event.key));
		});
		input.addEventListener('blur', () => void this.#end('blur'));
	}

	/** @param {'Enter'|'Escape'|'Tab'|'blur'} by */
	async #end(by) {
		const hand = this.#hand;
		if (!hand) return;
		// What is read below takes a moment, in which the field may lose the focus as well.
		this.#hand = null;
		const side = this.#side;
		const text = this.input.value.trim();
		try {
			if (by !== 'Escape' && text && text !== this.#was) await hand.set(side, await this.read(text));
		} catch (error) {
			const why = error instanceof Error ? error.message : String(error);
			this.refuse(by === 'blur' ? `${why} It is left where it was.` : why);
			if (by !== 'blur') {
				this.#hand = hand;
				return;
			}
		}
		if (by === 'Tab') {
			hand.next();
			return;
		}
		this.input.hidden = true;
		if (by === 'blur') hand.gone();
		else hand.done(by === 'Enter');
	}

	/**
	 * @param {Side} side @param {string} text what the tape shows @param {number} x
	 * @param {number} y of its lettering, in pixels of the stage
	 * @param {Typing} hand @param {string} [begun] what was typed before it opened
	 */
	open(side, text, x, y, hand, begun = '') {
		this.#side = side;
		this.#was = text;
		this.#hand = null;
		this.input.value = begun || text;
		this.input.hidden = false;
		this.input.style.left = `${x}px`;
		this.input.style.top = `${y}px`;
		this.input.focus();
		if (!begun) this.input.select();
		this.#hand = hand;
	}
}
