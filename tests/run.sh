#!/usr/bin/env bash
# The one test command. Brings what is missing (npm packages; on Debian three browsers, NumPy and SciPy, a dictionary, glTF files, fonts, a reader of PDF), then
# formats, vets, type-checks, proves, builds and tests. Run it from anywhere; it stops at the first
# step that is wrong. The last line says how many tests passed and failed.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
started=$SECONDS

step() { printf '\n== %s (%d s)\n' "$1" "$((SECONDS - started))"; }
stop() { printf '%s\n' "$1" >&2; exit 1; }
need() { # command, what to install
  command -v "$1" >/dev/null || stop "$1 was not found: install $2, then run this again."
}

browser() {
  local name
  for name in "${CHROMIUM:-}" chromium-headless-shell chromium chromium-browser google-chrome; do
    if [ -n "$name" ] && command -v "$name" >/dev/null; then command -v "$name"; return; fi
  done
  return 1
}

engines() { command -v firefox-esr && command -v WebKitWebDriver && command -v Xvfb; } >/dev/null # and Chromium

python=${PYTHON:-/usr/bin/python3}
sciences() { "$python" -c 'import numpy, scipy' 2>/dev/null; }

install() { # Debian packages
  local root=()
  command -v apt-get >/dev/null || return 1
  if [ "$(id -u)" != 0 ]; then
    command -v sudo >/dev/null && sudo -n true 2>/dev/null && root=(sudo -n) || return 1
  fi
  "${root[@]}" apt-get update -q >&2 &&
    "${root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get install -qy --no-install-recommends "$@" >&2
}

step "tools"
need go "Go 1.26 or newer"
need npm "Node.js 20 or newer with npm (on Debian 13: apt-get install nodejs npm; Debian 12 has only 18)"
need node "Node.js 20 or newer"
IFS=. read -r major minor _ <<<"$(node --version)"
((${major#v} > 20 || (${major#v} == 20 && minor >= 19))) || stop "Node.js $(node --version) is too old for the tests: install 20.19 or newer, then run this again."
need git "git"
missing=()
sciences || missing+=(python3-numpy python3-scipy)
command -v pdftotext >/dev/null || missing+=(poppler-utils)
spelling() { [[ $(hunspell -D </dev/null 2>&1 || true) == */en_GB* ]]; }
spelling || missing+=(hunspell hunspell-en-gb)
engines || missing+=(firefox-esr webkit2gtk-driver xvfb)
models=/usr/share/assimp/models/glTF2 liberation=/usr/share/fonts/truetype/liberation
[ -d "$models" ] || missing+=(assimp-testmodels)
[ -d "$liberation" ] || missing+=(fonts-liberation)
[ -n "${CHROMIUM:-}" ] || command -v chromium-headless-shell >/dev/null || install chromium-headless-shell || # the lighter one
  browser >/dev/null || missing+=(chromium)
if [ "${#missing[@]}" -gt 0 ]; then install "${missing[@]}" || true; fi
browser >/dev/null || stop "Chromium was not found and could not be installed: install it (on Debian: apt-get install chromium-headless-shell), or name it in CHROMIUM, then run this again."
engines || stop "Firefox, WebKitWebDriver or Xvfb was not found and could not be installed: install them (on Debian: apt-get install firefox-esr webkit2gtk-driver xvfb), then run this again."
sciences || stop "NumPy and SciPy were not found and could not be installed: install them (on Debian: apt-get install python3-numpy python3-scipy), or name a Python that has them in PYTHON, then run this again."
absent() { stop "$1 not found and could not be installed: install $2 (on Debian: apt-get install $2), then run this again."; }
command -v pdftotext >/dev/null || absent "pdftotext was" poppler-utils
spelling || absent "hunspell with its dictionary en_GB was" "hunspell hunspell-en-gb"
[ -d "$models" ] || absent "The glTF files of $models were" assimp-testmodels
[ -d "$liberation" ] || absent "The Liberation fonts in $liberation were" fonts-liberation
CHROMIUM=$(browser)
export CHROMIUM PYTHON="$python" LIBERATION="$liberation" ENGINES=all # a missing engine is now a failure
export GOFLAGS="$(go env GOFLAGS) -buildvcs=false" # git, where the folder belongs to somebody else, tells no state of it, and go build would stop
go version
printf 'node %s, %s\n' "$(node --version)" "$("$CHROMIUM" --version 2>/dev/null)"

step "npm packages"
npm ci --prefix theme --no-audit --no-fund

step "gofmt"
sources() { git ls-files -z '*.go' 2>/dev/null || find . -name '*.go' -not -path '*/node_modules/*' -print0; } # a downloaded archive is no repository
unformatted=$(sources | xargs -0 "$(go env GOROOT)/bin/gofmt" -l) # that of the Go that compiles: the PATH may have another, or none
[ -z "$unformatted" ] || stop "Run gofmt -w on:
$unformatted"

step "go vet"
go vet ./...
GOOS=js GOARCH=wasm go vet ./wasm/...

step "tsc"
theme/node_modules/.bin/tsc -p theme/tsconfig.json
theme/node_modules/.bin/tsc -p theme/offline
theme/node_modules/.bin/tsc --noEmit --allowJs --checkJs --strict --target ES2022 --lib ES2023,DOM,DOM.Iterable cmd/centrode/internal/preview/reload.js

step "check and build"
made=$(mktemp -d)
trap 'rm -rf "$made"' EXIT
go build -o "$made/centrode" ./cmd/centrode
"$made/centrode" check >"$made/proof.txt" || { cat "$made/proof.txt"; exit 1; }
tail -n 2 "$made/proof.txt"
"$made/centrode" build -out "$made/public"
export BUILT="$made" # the tests that open pages serve this

# What tests ask of the built site and of the command is unknown to Go's cache, hence -count=1; go vet has seen all, hence -vet=off.
# What takes longest comes first, so that a core is not left alone with it; what measures comes behind the others, and pages last: a browser
# beside a compiler is slow.
step "go test"
alone='/tests/(bench|browser|engines)$' longest='/(site|scipy)$'
tests() {
  local status=0 packages
  packages=$(go list ./calc/... ./cmd/... ./tests/... | grep -v -E "$alone")
  packages=$(grep -E "$longest" <<<"$packages"; grep -v -E "$longest" <<<"$packages")
  some() { go test -json -vet=off -count=1 -timeout "$@" || status=1; }
  some 20m $packages
  some 10m ./tests/bench
  some 20m ./tests/browser
  some 5m ./tests/engines
  return "$status"
}
tests | node tests/tally.mjs
