#!/usr/bin/env bash
# The second test command: Lighthouse, on its own mobile settings, looks at one page of each kind of the built site. It takes a
# minute or two, needs what tests/run.sh installs, and comes after it in .ci/run. What is held, and why not more, is told in look.mjs.
# QUIET=1 says that the machine does nothing else: then the score for speed is held too.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/../.."

for name in "${CHROMIUM:-}" chromium-headless-shell chromium chromium-browser google-chrome; do
  if [ -n "$name" ] && command -v "$name" >/dev/null; then CHROME_PATH=$(command -v "$name") && break; fi
done
[ -n "${CHROME_PATH:-}" ] || { echo "Chromium was not found: run tests/run.sh, which installs it, or name it in CHROMIUM." >&2; exit 1; }
export CHROME_PATH

npm ci --prefix tests/lighthouse --no-audit --no-fund
made=$(mktemp -d)
server=
stop() { [ -z "$server" ] || kill "$server" || true; rm -rf "$made"; }
trap stop EXIT
if [ -z "${BUILT:-}" ]; then
  BUILT=$made
  go build -buildvcs=false -o "$BUILT/centrode" ./cmd/centrode
  "$BUILT/centrode" build -out "$BUILT/public" >/dev/null
fi
"$BUILT/centrode" serve -built "$BUILT/public" -addr 127.0.0.1:0 >"$made/said" &
server=$!
for _ in $(seq 100); do
  origin=$(sed -n 's|^The site is at \(.*\)/$|\1|p' "$made/said")
  [ -z "$origin" ] || break
  sleep 0.1
done
[ -n "$origin" ] || { echo "centrode serve told no address within 10 s." >&2; exit 1; }
node tests/lighthouse/look.mjs "$origin"
