// Reads the events of `go test -json` and prints one line a package, all that a failing test said, why a test was skipped,
// and the count at the end. A test that has parts counts by its parts. A test that never ended, since its package ran out of
// time or broke down, has failed. It ends with status 1 when anything failed.

import { createInterface } from 'node:readline';

const said = new Map(); // by test: what it printed
const late = new Map(); // by package: what came behind the end of a test, in whose name it comes until another speaks
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
  const [all, name] = ended(event) ? [late, event.Package] : [said, key(event)];
  const lines = all.get(name);
  if (!lines) all.set(name, [event.Output ?? '']);
  else lines.push(event.Output ?? '');
}

/** Whether a test has said that it passed, or was skipped, which is told as an event only when another test speaks. */
function ended(event) {
  if (event.Action !== 'output' || !event.Test) return false;
  const lines = said.get(key(event));
  return lines ? /^ *--- (PASS|SKIP): /.test(lines.at(-1)) : verdict.has(key(event));
}

/** The tests of a package that began and never ended: the innermost, and any around them that had something to say. */
function unended(Package) {
  const names = [...said.keys()].filter((name) => name.startsWith(`${Package} `) && name !== key({ Package }) && !verdict.has(name));
  const spoke = (name) => said.get(name).some((line) => line && !line.startsWith('=== '));
  return names.filter((name) => spoke(name) || !names.some((other) => other.startsWith(`${name}/`)));
}

/** What a test that never ended said, and why, which stands behind all that it printed before. */
function last(lines) {
  const why = lines.findIndex((line) => line.startsWith('panic: ') || line.startsWith('fatal error: '));
  return why < most ? lines.slice(0, most) : [...lines.slice(0, most / 2), '...\n', ...lines.slice(why, why + most / 2)];
}

function finish(event) {
  if (event.Test) {
    verdict.set(key(event), event.Action);
    if (event.Action === 'fail') process.stdout.write(said.get(key(event))?.join('') ?? '');
    if (event.Action === 'skip') console.log(`skip  ${key(event)}: ${reason(said.get(key(event)) ?? [])}`);
  } else if (event.Action === 'fail') {
    for (const name of unended(event.Package)) {
      verdict.set(name, 'fail');
      process.stdout.write(`never ended: ${name}\n${last(said.get(name)).join('')}`);
    }
    process.stdout.write(last(late.get(event.Package) ?? []).join(''));
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
