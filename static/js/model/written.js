/** Lengths and figures as they are written on the sheet. Pure. */

const INCH = 25.4;
const POUND_KG = 0.45359237;

/**
 * @param {number} mm @param {'metric'|'feet'} units
 * @returns {string} such as "2400", or feet and inches to a sixteenth
 */
export function short(mm, units) {
	if (units === 'metric') return String(Math.round(mm)).replace('-', '−');
	const parts = Math.round((Math.abs(mm) / INCH) * 16);
	const feet = Math.floor(parts / 192);
	const inches = Math.floor(parts / 16) % 12;
	let above = parts % 16;
	let below = 16;
	while (above && above % 2 === 0) {
		above /= 2;
		below /= 2;
	}
	const part = above ? `${above}/${below}` : '';
	const whole = inches || feet || !part ? String(inches) : '';
	const small = `${[whole, part].filter(Boolean).join(' ')}"`;
	return `${mm < 0 && parts ? '−' : ''}${feet ? `${feet}' ` : ''}${small}`;
}

/** @param {number} mm @param {'metric'|'feet'} units @returns {string} such as "2.40 m" */
export function long(mm, units) {
	return units === 'metric' ? `${(mm / 1000).toFixed(2)} m` : short(mm, units);
}

/**
 * A figure of a snag with its unit.
 * @param {number} value @param {string|null} unit @param {'metric'|'feet'} units
 */
export function figure(value, unit, units) {
	if (unit === null || unit === 'mm') return short(value, units);
	if (unit === 'kg' && units === 'feet') return figure(value / POUND_KG, 'lb', units);
	const rounded = Math.abs(value) >= 100 ? Math.round(value) : Math.round(value * 10) / 10;
	const digits = String(rounded).replace('-', '−');
	return unit.startsWith('deg') ? `${digits}°` : `${digits} ${unit}`;
}

/**
 * A sentence in which no line ends within a length in feet and inches. What is typed is never
 * changed so.
 * @param {string} text
 */
export function unbroken(text) {
	return text.replace(/(\d['′]) (?=\d)/g, '$1\u00a0').replace(/(\d) (?=\d+\/\d+["″])/g, '$1\u00a0');
}
