// Cuts fonts down to the characters asked for. Run by node in the folder whose node_modules hold the packages; reads
// orders from standard input, writes their results to standard output, both as JSON. The cut font gets a name of its own
// and keeps copyright and licence, since the licence lets only the makers use theirs for a changed font.
//
// Order: { file, text, axes, features, name }. Result: { plain, packed }, both in base64: plain as TrueType for
// measuring, packed as WOFF2 for pages.

import { readFile } from 'node:fs/promises';
import { text as all } from 'node:stream/consumers';
import fontverter from 'fontverter';
import subsetFont from 'subset-font';

/** Names that are kept: copyright, licence, its address. Ids: OpenType specification, name table. */
const KEPT = [0, 13, 14];

/** Written where the font's own table does not say it: all fonts of theme/package.json are under this one. */
const LICENCE = 'This Font Software is licensed under the SIL Open Font License, Version 1.1.';

const orders = JSON.parse(await all(process.stdin));
const results = [];
for (const { file, text, axes, features, name } of orders) {
  const cut = await subsetFont(await readFile(file), text,
    { targetFormat: 'sfnt', variationAxes: axes, keepFeatures: features, preserveNameIds: KEPT, noHinting: true });
  const plain = renamed(cut, name);
  const packed = await fontverter.convert(plain, 'woff2');
  results.push({ plain: plain.toString('base64'), packed: packed.toString('base64') });
}
process.stdout.write(JSON.stringify(results));

/** @param {Buffer} font @param {string} name */
function renamed(font, name) {
  const tables = read(font);
  const names = new Map([[1, name], [2, 'Regular'], [4, name], [6, name.replaceAll(' ', '')], [13, LICENCE]]);
  for (const [id, value] of readNames(tables.get('name'))) if (KEPT.includes(id)) names.set(id, value);
  tables.set('name', writeNames(names));
  tables.delete('STAT'); // it tells styles by names that are gone now; browsers would report it and drop it
  return write(font.readUInt32BE(0), tables);
}

/** @param {Buffer} font @returns {Map<string, Buffer>} */
function read(font) {
  const tables = new Map();
  for (let i = 0; i < font.readUInt16BE(4); i++) {
    const at = 12 + 16 * i;
    const from = font.readUInt32BE(at + 8);
    tables.set(font.toString('latin1', at, at + 4), font.subarray(from, from + font.readUInt32BE(at + 12)));
  }
  return tables;
}

/** The names written for Windows, which are in UTF-16. @param {Buffer} table @returns {[id: number, value: string][]} */
function readNames(table) {
  const names = [];
  const start = table.readUInt16BE(4);
  for (let i = 0; i < table.readUInt16BE(2); i++) {
    const at = 6 + 12 * i;
    if (table.readUInt16BE(at) !== 3) continue;
    const from = start + table.readUInt16BE(at + 10);
    const value = Buffer.from(table.subarray(from, from + table.readUInt16BE(at + 8))).swap16().toString('utf16le');
    names.push([table.readUInt16BE(at + 6), value]);
  }
  return names;
}

/** @param {Map<number, string>} names */
function writeNames(names) {
  const sorted = [...names].sort(([a], [b]) => a - b);
  const head = Buffer.alloc(6 + 12 * sorted.length);
  head.writeUInt16BE(sorted.length, 2);
  head.writeUInt16BE(head.length, 4);
  const values = [];
  let from = 0;
  sorted.forEach(([id, value], i) => {
    const bytes = Buffer.from(value, 'utf16le').swap16();
    [3, 1, 0x409, id, bytes.length, from].forEach((number, k) => head.writeUInt16BE(number, 6 + 12 * i + 2 * k));
    values.push(bytes);
    from += bytes.length;
  });
  return Buffer.concat([head, ...values]);
}

/** @param {number} version @param {Map<string, Buffer>} tables */
function write(version, tables) {
  const sorted = [...tables].sort(([a], [b]) => (a < b ? -1 : 1));
  const power = Math.floor(Math.log2(sorted.length));
  const head = Buffer.alloc(12 + 16 * sorted.length);
  head.writeUInt32BE(version, 0);
  [sorted.length, 16 << power, power, 16 * (sorted.length - (1 << power))].forEach((number, k) => head.writeUInt16BE(number, 4 + 2 * k));
  const parts = [head];
  let from = head.length;
  sorted.forEach(([tag, data], i) => {
    const padded = Buffer.concat([data, Buffer.alloc(-data.length & 3)]);
    if (tag === 'head') padded.writeUInt32BE(0, 8); // the sum over the whole comes below
    head.write(tag, 12 + 16 * i, 'latin1');
    [sum(padded), from, data.length].forEach((number, k) => head.writeUInt32BE(number, 16 + 16 * i + 4 * k));
    parts.push(padded);
    from += padded.length;
  });
  const font = Buffer.concat(parts);
  const place = parts[1 + sorted.findIndex(([tag]) => tag === 'head')];
  const at = parts.slice(0, parts.indexOf(place)).reduce((total, { length }) => total + length, 0);
  font.writeUInt32BE((0xb1b0afba - sum(font)) >>> 0, at + 8);
  return font;
}

/** @param {Buffer} data of whole words */
function sum(data) {
  let total = 0;
  for (let at = 0; at < data.length; at += 4) total = (total + data.readUInt32BE(at)) >>> 0;
  return total;
}
