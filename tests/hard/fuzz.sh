#!/usr/bin/env bash
# Every fuzz target of the project, and one line for each. Findings stay in the testdata of their packages.
# tests/hard/fuzz.sh [HOW LONG for each: 3s if not said, 1m, or executions: 100000x] [PATTERN of "folder target"] [PATTERN of those left out]
# Of executions, targets that take microseconds get ten times as many. From outside: AT_ONCE, how many targets run beside each other (1), PARALLEL,
# how many workers each has (2), FROM, the target to begin with, counted from 0 round and round, and WITHIN, after how many seconds none is begun.
set -uo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/../.."
long=${1:-3s} pattern=${2:-.} without=${3:-^$}
made=$(mktemp -d)
trap 'rm -rf "$made"' EXIT

weight() { # how many times the share of a slow target
  case $1 in
    ./calc/quantity\ *|./calc/jsontree\ *|./calc/vary\ *|./calc/catalog\ *|*/lesson\ FuzzScan|*\ FuzzExpectationsNeverPanic|*\ FuzzReadPasted) echo 10 ;;
    *) echo 1 ;;
  esac
}

outOfTime() { # log: Go before 1.27 now and then takes the end of the time for a failure (golang/go#75804); one that was found has an input
  ! grep -q 'Failing input written' "$1" && [ "$(sed -n '/^--- FAIL/,$p' "$1" | grep -vE '^(--- )?FAIL|^exit status' | tr -d ' ')" = contextdeadlineexceeded ]
}

one() { # folder, target
  local folder=$1 target=$2 limit=$long began=$SECONDS log done
  log=$(mktemp "$made/log.XXXXXX")
  [[ $long == *x ]] && limit=$((${long%x} * $(weight "$folder $target")))x
  if go test "$folder" -run '^$' -fuzz "^$target\$" -fuzztime "$limit" -fuzzminimizetime 50x -parallel "${PARALLEL:-2}" -timeout 0 >"$log" 2>&1 || outOfTime "$log"; then
    done=$(sed -n 's/.*execs: \([0-9]*\) .*/\1/p' "$log" | tail -n 1)
    echo "${done:-0}" >>"$made/executions"
    printf '%-46s %-36s %9s executions, %4d s, holds\n' "$folder" "$target" "${done:-0}" $((SECONDS - began))
  else
    : >"$made/bad"
    printf '%-46s %-36s FAILS after %d s:\n%s\n' "$folder" "$target" $((SECONDS - began)) "$(tail -c 4000 "$log")"
  fi
}

mapfile -t targets < <(grep -rE '^func Fuzz' --include='*_test.go' calc cmd tests | sed -nE 's|^(.*)/[^/]*:func (Fuzz[A-Za-z0-9]*).*|./\1 \2|p' | sort | grep -E "$pattern" | grep -vE "$without")
count=${#targets[@]} begun=0
for ((i = 0; i < count && SECONDS < ${WITHIN:-1000000}; i++)); do
  while (($(jobs -rp | wc -l) >= ${AT_ONCE:-1})); do wait -n; done
  read -r folder target <<<"${targets[(${FROM:-0} + i) % count]}"
  one "$folder" "$target" &
  begun=$((begun + 1))
done
wait
printf '%d executions in all, %d of %d targets, %d s\n' "$(awk '{ n += $1 } END { print n + 0 }' "$made/executions" 2>/dev/null || echo 0)" "$begun" "$count" "$SECONDS"
[ "$begun" -gt 0 ] && [ ! -e "$made/bad" ]
