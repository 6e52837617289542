// Reads the events of `go test -json` and prints one line a package, all that a failing test said, why a test was skipped,
// and the count at the end. A test that has parts counts by its parts. It ends with status 1 when anything failed.

import { createInterface } from 'node:readline';

const said = new Map(); // by test: what it printed
const verdict = new Map(); // by test: pass, fail or skip
let broken = 0; // packages that failed outside of their tests

const key = ({ Package, Test = '' }) => `${Package} ${Test}`;
const seconds = ({ Elapsed = 0 }) => `${Elapsed.toFixed(1)} s`;

/** What a skipped test said, without the marks that Go puts around it. */
const reason = (lines) => lines.map((line) => line.trim()).filter((line) => !/^(===|---)/.test(line)).join(' ') || 'says no reason';

for await (const line of createInterface({ input: process.stdin })) {
  if (!line.startsWith('{')) {
    console.log(line);
    continue;
  }
  const event = JSON.parse(line);
  if (event.Action === 'build-output') process.stdout.write(event.Output);
  else if (event.Action === 'output') said.set(key(event), [...(said.get(key(event)) ?? []), event.Output]);
  else if (['pass', 'fail', 'skip'].includes(event.Action)) finish(event);
}

function finish(event) {
  if (event.Test) {
    verdict.set(key(event), event.Action);
    if (event.Action === 'fail') process.stdout.write(said.get(key(event))?.join('') ?? '');
    if (event.Action === 'skip') console.log(`skip  ${key(event)}: ${reason(said.get(key(event)) ?? [])}`);
  } else if (event.Action === 'fail') {
    const own = [...verdict].some(([name, action]) => action === 'fail' && name.startsWith(`${event.Package} `));
    if (!own) {
      broken += 1;
      process.stdout.write(said.get(key(event))?.join('') ?? '');
    }
    console.log(`FAIL  ${event.Package}  ${seconds(event)}`);
  } else if (event.Action === 'pass') console.log(`ok    ${event.Package}  ${seconds(event)}`);
  for (const name of said.keys()) if (name === key(event)) said.delete(name);
}

const parents = new Set();
for (const name of verdict.keys()) {
  for (let at = name.indexOf('/', name.indexOf(' ')); at > 0; at = name.indexOf('/', at + 1)) parents.add(name.slice(0, at));
}
const count = { pass: 0, fail: broken, skip: 0 };
for (const [name, action] of verdict) {
  const partsFailed = action === 'fail' && [...verdict].some(([part, its]) => its === 'fail' && part.startsWith(`${name}/`));
  if (!parents.has(name) || (action === 'fail' && !partsFailed)) count[action] += 1;
}
console.log(`\n${count.pass} passed, ${count.fail} failed${count.skip ? `, ${count.skip} skipped` : ''}`);
process.exitCode = count.fail || !count.pass ? 1 : 0;
