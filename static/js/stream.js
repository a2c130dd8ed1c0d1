/** The stream of news of one plan: opened, closed, and opened again where it broke off. */

const AGAIN_MS = 3000;

export class Stream {
	/** @type {EventSource|null} */
	#source = null;
	#later = 0;

	/** @param {string} path @param {(news: unknown) => void} onNews null: it broke off */
	constructor(path, onNews) {
		this.path = path;
		this.onNews = onNews;
	}

	open() {
		clearTimeout(this.#later);
		if (this.#source) return;
		const source = new EventSource(this.path);
		this.#source = source;
		source.addEventListener('news', (event) => this.onNews(JSON.parse(event.data)));
		source.addEventListener('error', () => {
			this.onNews(null);
			// A browser asks again by itself only where the line broke, not where it was refused.
			if (source.readyState !== EventSource.CLOSED || this.#source !== source) return;
			this.#source = null;
			this.#later = setTimeout(() => this.open(), AGAIN_MS);
		});
	}

	close() {
		clearTimeout(this.#later);
		this.#source?.close();
		this.#source = null;
	}
}
