"""What the comparisons share: asking the command in batches, counting verdicts, and a least-squares reference.

The reference is SciPy's least_squares (MINPACK's Levenberg-Marquardt) with exact derivatives by the complex step, then
Gauss-Newton steps with numpy's lstsq until they are lost in rounding: least_squares stops where the sum of squares is
flat, which leaves the last digits of the unknowns open.
"""

import json
import os
import subprocess

import numpy as np
from scipy.optimize import least_squares

SEED = 1
WRONG = os.environ.get("COMPARE_WRONG", "") != ""  # the check of the check: every number that is asked for comes out a millionth off


class Tally:
    """Counts comparisons and keeps the first failures of one solver."""

    def __init__(self, name):
        self.name, self.passed, self.failed, self.problems, self.worst, self.notes = name, 0, 0, 0, {}, []

    def near(self, what, got, want, tolerance, case):
        """One comparison: the greatest difference of two numbers or arrays, against an absolute tolerance."""
        if got is None:
            got = np.nan
        off = np.max(np.abs(np.asarray(got, float) - np.asarray(want, float)))
        self.verdict(what, off, tolerance, case, got, want)

    def at_most(self, what, got, limit, slack, case):
        """One comparison: got may exceed limit by no more than slack."""
        if got is None:
            got = np.nan
        self.verdict(what, max(0.0, got - limit) if got == got else np.nan, slack, case, got, limit)

    def verdict(self, what, off, tolerance, case, got, want):
        ratio = off / tolerance
        self.worst[what] = max(self.worst.get(what, 0.0), ratio) if ratio == ratio else np.inf
        if ratio <= 1:  # false for NaN
            self.passed += 1
            return
        self.failed += 1
        if len(self.notes) < 5:
            show = lambda v: np.array2string(np.asarray(v, float).ravel()[:4], precision=12)
            self.notes.append(f"problem {case}, {what}: got {show(got)}, want {show(want)}, off by {off:.2e}, allowed {tolerance:.1e}")

    def report(self):
        worst = ", ".join(f"{k} {v:.2g}" for k, v in sorted(self.worst.items()))
        lines = [f"{self.name}: {self.problems} problems, {self.passed} comparisons passed, {self.failed} failed",
                 f"    worst share of the tolerance: {worst}"]
        return "\n".join(lines + ["    " + note for note in self.notes])


def ask(binary, calculator, questions):
    """Answers many questions in one run: a JSON array in, JSON Lines out, in order."""
    run = subprocess.run([binary, "calc", calculator, "-in", "-", "-format", "json"],
                         input=json.dumps(questions), capture_output=True, text=True)
    answers = [json.loads(line) for line in run.stdout.splitlines()]
    if run.returncode or len(answers) != len(questions):
        errors = [a["error"] for a in answers if "error" in a]
        raise SystemExit(f"{calculator}: {len(answers)} answers to {len(questions)} questions; {run.stderr.strip()} {errors[:3]}")
    return [spoiled(a) for a in answers] if WRONG else answers


def spoiled(value):
    """The same answer with every number a millionth off."""
    if isinstance(value, dict):
        return {k: v if k == "inputs" else spoiled(v) for k, v in value.items()}
    if isinstance(value, list):
        return [spoiled(v) for v in value]
    return value * (1 + 1e-6) + 1e-6 if isinstance(value, float) or type(value) is int else value


def generator(stream):
    """A seeded generator, one stream a solver."""
    return np.random.Generator(np.random.PCG64([SEED, stream]))


def rows(names, table):
    """A table as the command reads it."""
    return [dict(zip(names, map(float, row))) for row in table]


def column(answer, table, name):
    return np.array([row[name] for row in answer["tables"][table]], float)


def vector(values, stem, letters="xyz"):
    return np.array([np.nan if values[f"{stem}_{c}"] is None else values[f"{stem}_{c}"] for c in letters])


def complex_step(residuals):
    """The exact Jacobian of residuals(x), x of shape (…, n), residuals of shape (…, m)."""
    def jacobian(x):
        h = 1e-30
        return np.imag(residuals(x + 1j * h * np.eye(len(x)))).T / h
    return jacobian


def reference(residuals, start, polish=60):
    """Least squares from the start, with at most polish steps after it: unknowns, sum of squares, Jacobian there."""
    jacobian = complex_step(residuals)
    x = least_squares(residuals, start, jac=jacobian, method="lm", xtol=1e-15, ftol=1e-15, gtol=1e-15, max_nfev=2000).x
    before = np.inf
    for _ in range(polish):
        step = np.linalg.lstsq(jacobian(x), -residuals(x), rcond=None)[0]
        length = np.linalg.norm(step)
        if length >= 0.9 * before:
            break
        x, before = x + step, length
    return x, np.sum(residuals(x) ** 2), jacobian(x)


def turn(axis, angle):
    """Rodrigues' rotation for arrays of unit axes (…, 3) and angles (…), complex values allowed."""
    x, y, z = np.moveaxis(axis, -1, 0)
    x, y, z, angle = np.broadcast_arrays(x, y, z, angle)
    c, s = np.cos(angle), np.sin(angle)
    v = 1 - c
    return np.stack([np.stack([c + v * x * x, v * x * y - s * z, v * x * z + s * y], -1),
                     np.stack([v * x * y + s * z, c + v * y * y, v * y * z - s * x], -1),
                     np.stack([v * x * z - s * y, v * y * z + s * x, c + v * z * z], -1)], -2)


def length(v):
    """Euclidean length that lets the complex step through."""
    return np.sqrt(np.sum(v * v, -1))


def basis(axis):
    """Two unit vectors square to a unit axis."""
    u = np.cross(np.eye(3)[np.argmin(np.abs(axis))], axis)
    u /= np.linalg.norm(u)
    return u, np.cross(axis, u)
