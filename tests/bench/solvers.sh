#!/usr/bin/env bash
# Benchmarks of every solver, ten times each, as benchstat sums them up: solvers.txt beside this file. Takes two minutes, on a quiet machine.
# Raw lines stay in .cache/bench/ under the commit's name; `benchstat OLD NEW` compares two of them.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/../.."
benchstat=golang.org/x/perf/cmd/benchstat@v0.0.0-20260908200009-22c9c6c9d4da
commit=$(git rev-parse --short HEAD)
mkdir -p .cache/bench
cd .cache/bench
(cd ../.. && go test -p 1 -run '^$' -bench . -benchmem -count 10 -benchtime "${EACH:-0.1s}" $(go list ./calc/... | grep -v -E '/(room|figure|plate|quantity)$')) >"$commit"
{
  printf 'bash tests/bench/solvers.sh: on %s, %s, load %s\n\n' "$(date +%F)" "$(go env GOVERSION)" "$(cut -d ' ' -f 1 /proc/loadavg 2>/dev/null || echo unknown)"
  go run "$benchstat" "$commit" | sed 's/[[:space:]]*$//'
} >solvers.txt
mv solvers.txt ../../tests/bench/solvers.txt
