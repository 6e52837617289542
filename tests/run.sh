#!/usr/bin/env bash
# The one test command. Brings what is missing (npm packages, on Debian a browser), then formats, vets, type-checks, tests,
# builds and proves. Run it from anywhere; it stops at the first thing that is wrong.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."

step() { printf '\n== %s\n' "$1"; }
need() { # command, what to install
  command -v "$1" >/dev/null || { printf '%s was not found: install %s, then run this again.\n' "$1" "$2" >&2; exit 1; }
}

browser() {
  local name
  for name in "${CHROMIUM:-}" chromium chromium-browser google-chrome; do
    if [ -n "$name" ] && command -v "$name" >/dev/null; then command -v "$name"; return; fi
  done
  return 1
}

install_browser() {
  local root=()
  if [ "$(id -u)" != 0 ]; then
    command -v sudo >/dev/null && sudo -n true 2>/dev/null && root=(sudo -n) || return 1
  fi
  command -v apt-get >/dev/null || return 1
  DEBIAN_FRONTEND=noninteractive "${root[@]}" apt-get update -q >&2 &&
    DEBIAN_FRONTEND=noninteractive "${root[@]}" apt-get install -qy --no-install-recommends chromium >&2
}

step "tools"
need go "Go 1.26 or newer"
need npm "Node.js 20 or newer with npm (on Debian: apt-get install nodejs npm)"
if ! browser >/dev/null && ! { install_browser && browser >/dev/null; }; then
  echo "Chromium was not found and could not be installed: install it (on Debian: apt-get install chromium), or name it in CHROMIUM, then run this again." >&2
  exit 1
fi
CHROMIUM=$(browser)
export CHROMIUM
go version
printf 'node %s, %s\n' "$(node --version)" "$("$CHROMIUM" --version 2>/dev/null)"

step "npm packages"
npm ci --prefix theme --no-audit --no-fund

step "gofmt"
unformatted=$(git ls-files -z '*.go' | xargs -0 gofmt -l)
if [ -n "$unformatted" ]; then printf 'Run gofmt -w on:\n%s\n' "$unformatted" >&2; exit 1; fi

step "go vet"
go vet ./...
GOOS=js GOARCH=wasm go vet ./wasm

step "tsc"
theme/node_modules/.bin/tsc -p theme/tsconfig.json
theme/node_modules/.bin/tsc --noEmit --allowJs --checkJs --strict --target ES2022 --lib ES2023,DOM,DOM.Iterable cmd/centrode/internal/preview/reload.js

step "go test"
go test ./calc/... ./cmd/...
go test -count=1 ./tests/...

step "check and build"
site=$(mktemp -d)
trap 'rm -rf "$site"' EXIT
go run ./cmd/centrode check >"$site/proof.txt" || { cat "$site/proof.txt"; exit 1; }
tail -n 2 "$site/proof.txt"
go run ./cmd/centrode build -out "$site/public"

printf '\nAll is well.\n'
