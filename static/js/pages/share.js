/** The page of sharing tells times as they are here. */

for (const time of document.querySelectorAll('time')) {
	const moment = new Date(time.dateTime);
	if (!Number.isNaN(moment.getTime())) {
		time.textContent = moment.toLocaleString(undefined, { dateStyle: 'medium', timeStyle: 'short' });
	}
}
