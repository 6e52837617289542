#!/usr/bin/env bash
# Every fuzz target of the project, one after another, and one line for each. Findings stay in the testdata of their packages.
# tests/hard/fuzz.sh [HOW LONG for each: 3s if not said, 1m, or a number of executions such as 100000x] [PATTERN of "folder target"]
# SCALE multiplies a number of executions by what a target is worth: 1 where one takes milliseconds, more where it takes microseconds.
set -uo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/../.."
long=${1:-3s} pattern=${2:-.} bad=0 total=0

weight() { # how many times the share of the slowest a target gets
  case $1 in
    ./calc/quantity*|./calc/jsontree*|./calc/vary*|./calc/catalog\ *|*/lesson\ FuzzScan|*FuzzExpectationsNeverPanic|./calc/plate\ FuzzReadPasted) echo 9 ;;
    *hingearc*|*fingercurl*|*pivotoffset*|*ask*|*SolvePivotOffset|*SolveHingeArc|*SolveFingerCurl|*outline*|*SolveHingePlane|*SolveKeyFit) echo 3 ;;
    *) echo 1 ;;
  esac
}

while read -r folder target; do
  limit=$long began=$SECONDS log=$(mktemp)
  [ -n "${SCALE:-}" ] && limit=$((${long%x} * $(weight "$folder $target")))x
  if go test "$folder" -run '^$' -fuzz "^$target\$" -fuzztime "$limit" -parallel "${PARALLEL:-2}" -timeout 0 >"$log" 2>&1; then
    done=$(sed -n 's/.*execs: \([0-9]*\) .*/\1/p' "$log" | tail -n 1)
    total=$((total + ${done:-0}))
    printf '%-46s %-36s %9s executions, %4d s, holds\n' "$folder" "$target" "${done:-0}" $((SECONDS - began))
    rm -f "$log"
  else
    bad=1
    printf '%-46s %-36s FAILS after %d s: %s\n' "$folder" "$target" $((SECONDS - began)) "$log"
  fi
done < <(grep -rE '^func Fuzz' --include='*_test.go' calc cmd tests | sed -nE 's|^(.*)/[^/]*:func (Fuzz[A-Za-z0-9]*).*|./\1 \2|p' | sort | grep -E "$pattern")
printf '%d executions in all, %d s\n' "$total" "$SECONDS"
exit "$bad"
