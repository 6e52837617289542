"""Compares the calculators with SciPy and numpy on random problems: compare.py BINARY [SOLVER …] [-n PROBLEMS]."""

import argparse
import os
import sys
import time
from concurrent.futures import ProcessPoolExecutor

for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS"):  # small matrices: threads inside numpy only get in the way
    os.environ.setdefault(name, "1")

import chains
import frames
import keys
import poses

SOLVERS = poses.SOLVERS | frames.SOLVERS | keys.SOLVERS | chains.SOLVERS
PROBLEMS = 1000


def main():
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("binary")
    parser.add_argument("solver", nargs="*", choices=[[], *SOLVERS])
    parser.add_argument("-n", type=int, default=PROBLEMS, help="problems a solver")
    args = parser.parse_args()
    start, passed, failed = time.time(), 0, 0
    with ProcessPoolExecutor() as pool:
        jobs = [pool.submit(SOLVERS[name], args.binary, args.n) for name in args.solver or SOLVERS]
        for job in jobs:
            tally = job.result()
            print(tally.report(), flush=True)
            passed, failed = passed + tally.passed, failed + tally.failed
            if tally.problems < args.n:
                failed += 1
                print(f"    only {tally.problems} problems were compared, {args.n} were asked for")
    print(f"{passed} passed, {failed} failed in {time.time() - start:.1f} s")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
