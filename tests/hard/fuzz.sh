#!/usr/bin/env bash
# Every fuzz target of the project, one after another, and one line for each. Findings stay in the testdata of their packages.
# tests/hard/fuzz.sh [HOW LONG for each: 3s if not said, 1m, or executions: 100000x] [PATTERN of "folder target"] [PATTERN of those left out]
# Of executions, targets that take microseconds get ten times as many.
set -uo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/../.."
long=${1:-3s} pattern=${2:-.} without=${3:-^$} bad=0 total=0

weight() { # how many times the share of a slow target
  case $1 in
    ./calc/quantity\ *|./calc/jsontree\ *|./calc/vary\ *|./calc/catalog\ *|*/lesson\ FuzzScan|*\ FuzzExpectationsNeverPanic|*\ FuzzReadPasted) echo 10 ;;
    *) echo 1 ;;
  esac
}

while read -r folder target; do
  limit=$long began=$SECONDS log=$(mktemp)
  [[ $long == *x ]] && limit=$((${long%x} * $(weight "$folder $target")))x
  if go test "$folder" -run '^$' -fuzz "^$target\$" -fuzztime "$limit" -fuzzminimizetime 50x -parallel "${PARALLEL:-2}" -timeout 0 >"$log" 2>&1; then
    done=$(sed -n 's/.*execs: \([0-9]*\) .*/\1/p' "$log" | tail -n 1)
    total=$((total + ${done:-0}))
    printf '%-46s %-36s %9s executions, %4d s, holds\n' "$folder" "$target" "${done:-0}" $((SECONDS - began))
    rm -f "$log"
  else
    bad=1
    printf '%-46s %-36s FAILS after %d s: %s\n' "$folder" "$target" $((SECONDS - began)) "$log"
  fi
done < <(grep -rE '^func Fuzz' --include='*_test.go' calc cmd tests | sed -nE 's|^(.*)/[^/]*:func (Fuzz[A-Za-z0-9]*).*|./\1 \2|p' | sort | grep -E "$pattern" | grep -vE "$without")
printf '%d executions in all, %d s\n' "$total" "$SECONDS"
exit "$bad"
