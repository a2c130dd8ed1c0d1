/** Typing on a tape: the piece moves until the tape has that length. */

/** @typedef {'left'|'right'|'back'|'front'} Side */

export class TapeField {
	/** @type {Side} */
	#side = 'left';
	#was = '';

	/**
	 * @param {HTMLInputElement} input @param {(side: Side, mm: number) => void} set
	 * @param {(text: string) => Promise<number>} read @param {(text: string) => void} refuse
	 * @param {() => void} done
	 */
	constructor(input, set, read, refuse, done) {
		this.input = input;
		/** @param {boolean} typed */
		const enter = async (typed) => {
			try {
				const mm = typed ? await read(input.value) : null;
				input.hidden = true;
				if (mm !== null) set(this.#side, mm);
				done();
			} catch (error) {
				refuse(error instanceof Error ? error.message : String(error));
			}
		};
		input.addEventListener('keydown', (event) => {
			if (event.key !== 'Enter' && event.key !== 'Escape') return;
			event.preventDefault();
			event.stopPropagation();
			void enter(event.key === 'Enter' && input.value !== this.#was);
		});
		input.addEventListener('blur', () => {
			input.hidden = true;
		});
	}

	/**
	 * @param {Side} side @param {string} text what the tape shows @param {number} x
	 * @param {number} y of its lettering, in pixels of the stage
	 */
	open(side, text, x, y) {
		this.#side = side;
		this.#was = text;
		this.input.value = text;
		this.input.hidden = false;
		this.input.style.left = `${x}px`;
		this.input.style.top = `${y}px`;
		this.input.focus();
		this.input.select();
	}
}
