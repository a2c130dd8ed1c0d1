/** Lengths as people write them, read at once; the server has the last word. Pure. */

export { figure, long, short } from './written.js';

const INCH = 25.4;

/**
 * Read a length: plain numbers are mm, or metres when small and with decimals; m, cm, mm, feet
 * and inches may be written.
 * @param {string} text @returns {number|null} mm, or null where the text is no length
 */
export function parseLength(text) {
	const typed = text.trim().toLowerCase().replace(',', '.').replace('−', '-');
	const metric = /^(-?\d+(?:\.\d+)?)\s*(mm|cm|m)?$/.exec(typed);
	if (metric) {
		const value = Number(metric[1]);
		const unit = metric[2] ?? (typed.includes('.') && Math.abs(value) < 20 ? 'm' : 'mm');
		return value * { mm: 1, cm: 10, m: 1000 }[/** @type {'mm'|'cm'|'m'} */ (unit)];
	}
	const mixed = /^(\d+)\s*m\s*(\d{1,2})$/.exec(typed);
	if (mixed) return Number(mixed[1]) * 1000 + Number(mixed[2]) * 10;
	const feet = /^(?:(\d+(?:\.\d+)?)\s*(?:'|ft))?\s*(?:(\d+(?:\.\d+)?)?\s*(?:(\d+)\/(\d+))?\s*(?:"|in|″)?)?$/.exec(
		typed,
	);
	if (feet && typed && (feet[1] ?? /"|in|″/.test(typed))) {
		const part = feet[3] && Number(feet[4]) ? Number(feet[3]) / Number(feet[4]) : 0;
		return (Number(feet[1] ?? 0) * 12 + Number(feet[2] ?? 0) + part) * INCH;
	}
	return null;
}

/** Read a plain number such as an angle. @param {string} text @returns {number|null} */
export function parseNumber(text) {
	const typed = text.trim().replace(',', '.').replace('−', '-').replace(/[°%]$/, '');
	return /^-?\d+(\.\d+)?$/.test(typed) ? Number(typed) : null;
}
