#!/usr/bin/env bash
# What takes too long for every run: 500 killed builders, 10,000 connections where so many files may be open, and fuzzing of every target. Run by hand:
# tests/hard/long.sh [EXECUTIONS over all targets, 10000000 if not said]. It tells one line for each and stops at none.
set -uo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/../.."
executions=${1:-10000000}
ulimit -n "$(ulimit -H -n)" 2>/dev/null
ulimit -n 32768 2>/dev/null
connections=$(($(ulimit -n) - 200)) # each end has a process of its own
connections=$((connections > 10000 ? 10000 : connections))

say() { printf '%-60s %s\n' "$1" "$2"; }
verdict() { # name, command...
  local name=$1 log began=$SECONDS; shift
  log=$(mktemp)
  if "$@" >"$log" 2>&1; then say "$name" "holds ($((SECONDS - began)) s)"; else say "$name" "FAILS: $log"; fi
}
verdict "500 killed writers of a folder" env KILLS=500 go test -count=1 -timeout 60m ./cmd/centrode/internal/site -run KilledAtAnyMoment
verdict "500 killed builds of a whole site" env KILLS=500 go test -count=1 -timeout 180m ./cmd/centrode/internal/site -run 'KeepsToItsPlace/killed'
verdict "$connections connections" env PREVIEW_CONNECTIONS=$connections go test -count=1 -timeout 20m ./cmd/centrode/internal/preview -run ManyConnections

# About a hundred shares: a slow target gets one, one that takes microseconds ten (fuzz.sh knows which).
tests/hard/fuzz.sh "$((executions / 100))x"
