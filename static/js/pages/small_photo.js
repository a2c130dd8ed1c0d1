/** A photo made small on the device that took it: less to send, and nothing beside it goes along. */

const SIDE_PX = 1600;
const QUALITY = 0.85;

/**
 * Return a photo as a JPEG whose longest side is at most 1600 px; null where it cannot be read here.
 *
 * @param {File} file
 * @returns {Promise<File | null>}
 */
async function smallPhoto(file) {
	try {
		const seen = await createImageBitmap(file, { imageOrientation: 'from-image' });
		const scale = Math.min(1, SIDE_PX / Math.max(seen.width, seen.height));
		const canvas = document.createElement('canvas');
		canvas.width = Math.round(seen.width * scale);
		canvas.height = Math.round(seen.height * scale);
		canvas.getContext('2d')?.drawImage(seen, 0, 0, canvas.width, canvas.height);
		/** @type {Blob | null} */
		const blob = await new Promise((done) => canvas.toBlob(done, 'image/jpeg', QUALITY));
		return blob && new File([blob], 'photo.jpg', { type: 'image/jpeg' });
	} catch {
		return null;
	}
}

/**
 * Make each photo small that is chosen in a field of a page, and say which it is.
 *
 * @param {Document | HTMLElement} root
 */
export function takePhotos(root) {
	root.addEventListener('change', async (event) => {
		const field = event.target;
		const label = field instanceof HTMLInputElement ? field.closest('[data-photo]') : null;
		const file = field instanceof HTMLInputElement && label ? field.files?.[0] : null;
		if (!(field instanceof HTMLInputElement) || !label || !file) return;
		const line = label.querySelector('[data-chosen]');
		if (line) line.textContent = 'one moment, it is made small …';
		const small = await smallPhoto(file);
		if (small) {
			const files = new DataTransfer();
			files.items.add(small);
			field.files = files.files;
		}
		if (line) line.textContent = `chosen: ${file.name}`;
	});
}
