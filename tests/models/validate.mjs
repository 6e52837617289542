// Validates the glTF files named as arguments and prints one JSON array: for each the counts and the messages.
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';

const { validateBytes } = createRequire(new URL('../../theme/', import.meta.url))('gltf-validator');

const results = [];
for (const name of process.argv.slice(2)) {
  const report = await validateBytes(new Uint8Array(readFileSync(name)), { maxIssues: 0, writeTimestamp: false });
  const { numErrors, numWarnings, messages } = report.issues;
  results.push({
    name, errors: numErrors, warnings: numWarnings,
    messages: messages.map((m) => ({ severity: m.severity, code: m.code, text: `${m.code} ${m.pointer ?? ''} ${m.message}` })),
  });
}
console.log(JSON.stringify(results));
