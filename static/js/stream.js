/** The stream of news of one plan: opened, closed, and opened again where it broke off. */

const AGAIN_MS = 3000;
/** The program lets hear of itself every ten seconds: who heard nothing for so long is cut off. */
const SILENT_MS = 25_000;

export class Stream {
	/** @type {EventSource|null} */
	#source = null;
	#later = 0;
	#silent = 0;

	/**
	 * @param {string} path @param {(news: unknown) => void} onNews null: it broke off
	 * @param {number} [silentMs] after which a line that says nothing is given up
	 */
	constructor(path, onNews, silentMs = SILENT_MS) {
		this.silentMs = silentMs;
		this.path = path;
		this.onNews = onNews;
	}

	open() {
		clearTimeout(this.#later);
		if (this.#source) return;
		const source = new EventSource(this.path);
		this.#source = source;
		this.#listen();
		source.addEventListener('beat', () => this.#listen());
		source.addEventListener('news', (event) => {
			this.#listen();
			this.onNews(JSON.parse(event.data));
		});
		source.addEventListener('error', () => {
			this.onNews(null);
			// A browser asks again by itself only where the line broke, not where it was refused.
			if (source.readyState !== EventSource.CLOSED || this.#source !== source) return;
			this.#source = null;
			clearTimeout(this.#silent);
			this.#later = setTimeout(() => this.open(), AGAIN_MS);
		});
	}

	/** Open another line where nothing comes over this one. */
	#listen() {
		clearTimeout(this.#silent);
		this.#silent = setTimeout(() => {
			this.onNews(null);
			this.anew();
		}, this.silentMs);
	}

	/** Open another line, for the one that is open may be broken. */
	anew() {
		this.close();
		this.open();
	}

	close() {
		clearTimeout(this.#later);
		clearTimeout(this.#silent);
		this.#source?.close();
		this.#source = null;
	}
}
