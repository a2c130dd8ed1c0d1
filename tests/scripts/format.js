/**
 * One layout for scripts and styles: `node format.js` names the files that are laid out otherwise
 * and ends with 1, `node format.js --write` lays them out.
 *
 * Scripts go through prettier. Styles do not, because it gives each declaration a line of its own
 * and a sheet of 280 short rules becomes one of 1,300 lines; malva leaves a rule on one line
 * where it fits there.
 */

import { readFileSync, readdirSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { createFromBuffer } from '@dprint/formatter';
import * as prettier from 'prettier';

const WIDTH = 120;
/** More declarations than any rule has: whether a rule fits the width decides, not their number. */
const ANY = 99;
const STATIC = new URL('../../static/', import.meta.url);
const HERE = new URL('./', import.meta.url);

const scripts = { parser: 'babel', printWidth: WIDTH, useTabs: true, tabWidth: 2, singleQuote: true };
const styles = createFromBuffer(
	readFileSync(createRequire(import.meta.url).resolve('dprint-plugin-malva/plugin.wasm')),
);
styles.setConfig(
	{ lineWidth: WIDTH, useTabs: true, indentWidth: 2 },
	{
		blockSelectorLinebreak: 'consistent',
		hexCase: 'ignore',
		quotes: 'alwaysDouble',
		singleLineBlockThreshold: ANY,
	},
);

/** @param {URL} folder @param {string} ending @returns {URL[]} */
function filesIn(folder, ending) {
	return readdirSync(folder, { recursive: true, encoding: 'utf8' })
		.filter((name) => name.endsWith(ending))
		.map((name) => new URL(name.replaceAll('\\', '/'), folder));
}

/** @param {URL} file @param {string} text */
function laidOut(file, text) {
	if (file.pathname.endsWith('.css')) return styles.formatText({ filePath: file.pathname, fileText: text });
	return prettier.format(text, /** @type {prettier.Options} */ (scripts));
}

const write = process.argv.includes('--write');
let otherwise = 0;
const files = [
	...filesIn(new URL('js/', STATIC), '.js'),
	...filesIn(new URL('css/', STATIC), '.css'),
	new URL('format.js', HERE),
];
for (const file of files) {
	const text = readFileSync(file, 'utf8');
	const formatted = await laidOut(file, text);
	if (formatted === text) continue;
	otherwise += 1;
	console.log(`${write ? 'laid out' : 'laid out otherwise'}: ${file.pathname.split('/').slice(-3).join('/')}`);
	if (write) writeFileSync(file, formatted);
}
if (otherwise && !write) {
	console.log(`${otherwise} of ${files.length} files; \`npm --prefix tests/scripts run format\` lays them out`);
	process.exitCode = 1;
}
