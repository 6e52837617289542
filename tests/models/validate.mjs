// Validates glTF files and prints one JSON array, for each the counts and the messages. Arguments come in pairs: the file,
// and the folder in which the files lie that it names.
import { readFileSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { join } from 'node:path';

const { validateBytes } = createRequire(new URL('../../theme/', import.meta.url))('gltf-validator');

const results = [];
for (let i = 2; i < process.argv.length; i += 2) {
  const [name, folder] = process.argv.slice(i, i + 2);
  const report = await validateBytes(new Uint8Array(readFileSync(name)), {
    maxIssues: 0,
    writeTimestamp: false,
    externalResourceFunction: async (uri) => new Uint8Array(await readFile(join(folder, decodeURIComponent(uri)))),
  });
  const { numErrors, numWarnings, messages } = report.issues;
  results.push({
    name, errors: numErrors, warnings: numWarnings,
    messages: messages.map((m) => ({ severity: m.severity, code: m.code, text: `${m.code} ${m.pointer ?? ''} ${m.message}` })),
  });
}
console.log(JSON.stringify(results));
