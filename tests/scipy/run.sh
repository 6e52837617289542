#!/usr/bin/env bash
# Builds the command and compares its calculators with SciPy and numpy. Arguments go to compare.py: names of solvers, -n.
# Needs Debian's python3-scipy (or any Python with numpy 1.24 and SciPy 1.10; name it in PYTHON).
set -euo pipefail
here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
python=${PYTHON:-/usr/bin/python3}
built=$(mktemp -d)
trap 'rm -rf "$built"' EXIT
go build -C "$here/../.." -o "$built/centrode" ./cmd/centrode
PYTHONDONTWRITEBYTECODE=1 "$python" "$here/compare.py" "$built/centrode" "$@"
