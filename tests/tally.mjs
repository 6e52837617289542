// Reads the events of `go test -json` and prints one line a package, all that a failing test said, why a test was skipped,
// and the count at the end. A test that has parts counts by its parts. A test that never ended, since its package ran out of
// time or broke down, has failed. It ends with status 1 when anything failed.

import { createInterface } from 'node:readline';

const said = new Map(); // by test: what it printed
const verdict = new Map(); // by test: pass, fail or skip
let broken = 0; // packages that failed outside of their tests
const most = 400; // lines that a test which never ended may say: the stacks of all that ran go on for thousands

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
  else if (event.Action === 'run' || event.Action === 'output') say(event);
  else if (['pass', 'fail', 'skip'].includes(event.Action)) finish(event);
}

function say(event) {
  const lines = said.get(key(event));
  if (!lines) said.set(key(event), [event.Output ?? '']);
  else lines.push(event.Output ?? '');
}

/** The tests of a package that began and never ended, innermost only. */
function unended(Package) {
  const names = [...said.keys()].filter((name) => name.startsWith(`${Package} `) && name !== key({ Package }) && !verdict.has(name));
  return names.filter((name) => !names.some((other) => other.startsWith(`${name}/`)));
}

function finish(event) {
  if (event.Test) {
    verdict.set(key(event), event.Action);
    if (event.Action === 'fail') process.stdout.write(said.get(key(event))?.join('') ?? '');
    if (event.Action === 'skip') console.log(`skip  ${key(event)}: ${reason(said.get(key(event)) ?? [])}`);
  } else if (event.Action === 'fail') {
    for (const name of unended(event.Package)) {
      verdict.set(name, 'fail');
      process.stdout.write(`never ended: ${name}\n${said.get(name).slice(0, most).join('')}`);
    }
    const own = [...verdict].some(([name, action]) => action === 'fail' && name.startsWith(`${event.Package} `));
    if (!own) {
      broken += 1;
      process.stdout.write(said.get(key(event))?.join('') ?? '');
    }
    console.log(`FAIL  ${event.Package}  ${seconds(event)}`);
  } else if (event.Action === 'pass') console.log(`ok    ${event.Package}  ${seconds(event)}`);
  said.delete(key(event));
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
