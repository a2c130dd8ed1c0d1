/** Times of a page as the clock here shows them, in the words of the rest of the program: Tue 1 Dec 2026, 18:45. */

const WORDS = new Intl.DateTimeFormat('en-GB', {
	weekday: 'short',
	day: 'numeric',
	month: 'short',
	year: 'numeric',
	hour: '2-digit',
	minute: '2-digit',
	hourCycle: 'h23',
});

export function tellTimes() {
	for (const time of document.querySelectorAll('time')) {
		const moment = new Date(time.dateTime);
		if (!Number.isNaN(moment.getTime())) time.textContent = told(moment);
	}
}

/** @param {Date} moment */
function told(moment) {
	const parts = Object.fromEntries(WORDS.formatToParts(moment).map(({ type, value }) => [type, value]));
	const { weekday, day, month, year, hour, minute } = parts;
	return `${weekday} ${day} ${month} ${year}, ${hour}:${minute}`;
}
