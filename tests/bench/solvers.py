"""Times SciPy's least_squares on the problems of solvers_test.go: JSON in, JSON out.

Each problem is solved in several ways, as a person would write it and as fast as SciPy can be made to go. Times are the
best of several rounds inside one process, without imports, so that neither start-up nor a busy machine counts.
"""

import json
import os
import sys
import time

os.environ.setdefault("OMP_NUM_THREADS", "1")
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np
from scipy.optimize import least_squares
from scipy.spatial.transform import Rotation

TIGHT = {"xtol": 1e-15, "ftol": 1e-15, "gtol": 1e-15}


def timed(solve, rounds):
    """The best time of several rounds, and the last answer."""
    best = np.inf
    for _ in range(rounds):
        start = time.perf_counter()
        answer = solve()
        best = min(best, time.perf_counter() - start)
    return best, answer


def cross(v):
    """[v]× for arrays of vectors."""
    x, y, z = np.moveaxis(v, -1, 0)
    o = np.zeros_like(x)
    return np.stack([np.stack([o, -z, y], -1), np.stack([z, o, -x], -1), np.stack([-y, x, o], -1)], -2)


def left_jacobian(w):
    """How a rotation vector's change turns what it has turned."""
    angle = np.linalg.norm(w, axis=1)[:, None, None]
    k = cross(w)
    return np.eye(3) + (1 - np.cos(angle)) / angle**2 * k + (angle - np.sin(angle)) / angle**3 * (k @ k)


class Ball:
    """One pivot, a free rotation a pose: 3 + 3 m unknowns, 3 m k residuals."""

    def __init__(self, rest, posed):
        self.rest, self.posed = np.array(rest), np.array(posed)
        self.poses, self.count = self.posed.shape[:2]
        middle = self.rest.mean(axis=0)
        turns, a, b = [], [], []
        for y in self.posed:  # the usual start: each pose alone, then the transformation technique
            r = Rotation.align_vectors(y - y.mean(axis=0), self.rest - middle)[0]
            turns.append(r.as_rotvec())
            a.append(np.eye(3) - r.as_matrix())
            b.append(y.mean(axis=0) - r.apply(middle))
        pivot = np.linalg.lstsq(np.vstack(a), np.concatenate(b), rcond=None)[0]
        self.start, self.pivot = np.concatenate([pivot, np.ravel(turns)]), pivot

    def residuals(self, x):
        r = Rotation.from_rotvec(x[3:].reshape(-1, 3)).as_matrix()
        return (x[:3] + np.einsum("mij,kj->mki", r, self.rest - x[:3]) - self.posed).ravel()

    def jacobian(self, x):
        w = x[3:].reshape(-1, 3)
        r = Rotation.from_rotvec(w).as_matrix()
        turned = np.einsum("mij,kj->mki", r, self.rest - x[:3])
        j = np.zeros((self.poses, self.count, 3, x.size))
        j[..., :3] = (np.eye(3) - r)[:, None]
        by_turn = -cross(turned) @ left_jacobian(w)[:, None]
        for m in range(self.poses):
            j[m, :, :, 3 + 3 * m:6 + 3 * m] = by_turn[m]
        return j.reshape(-1, x.size)

    def eliminated(self, p):
        """The residuals of the pivot alone, each pose turned as well as can be about it."""
        h = np.einsum("ki,mkj->mij", self.rest - p, self.posed - p)
        u, _, vt = np.linalg.svd(h)
        sign = np.ones((self.poses, 3))
        sign[:, 2] = np.linalg.det(u @ vt)
        r = np.einsum("mji,mj,mkj->mik", vt, sign, u)
        return (p + np.einsum("mij,kj->mki", r, self.rest - p) - self.posed).ravel()

    def ways(self):
        full = lambda **options: least_squares(self.residuals, self.start, **TIGHT, **options).x[:3]
        return {
            "as it comes (trf, differences)": (lambda: full(), 1),
            "exact Jacobian (trf)": (lambda: full(jac=self.jacobian), 3),
            "exact Jacobian (lm)": (lambda: full(jac=self.jacobian, method="lm"), 5),
            "rotations eliminated (lm, differences)": (lambda: least_squares(self.eliminated, self.pivot, method="lm", **TIGHT).x, 20),
        }


class Keys:
    """An offset of three unknowns: from angles and translations on."""

    def __init__(self, order, angles, shifts):
        self.order, self.angles, self.shifts = order, np.array(angles), np.array(shifts)

    def read(self):
        columns = ["xyz".index(c) for c in self.order]
        r = Rotation.from_euler(self.order, self.angles[:, columns], degrees=True).as_matrix()
        return (np.eye(3) - r).reshape(-1, 3), self.shifts.ravel()

    def solve(self, exact, **options):
        a, b = self.read()
        if exact:
            options["jac"] = lambda d: a
        return least_squares(lambda d: a @ d - b, np.zeros(3), **TIGHT, **options).x

    def ways(self):
        return {
            "as it comes (trf, differences)": (lambda: self.solve(False), 40),
            "exact Jacobian (trf)": (lambda: self.solve(True), 40),
            "exact Jacobian (lm)": (lambda: self.solve(True, method="lm"), 40),
        }


def main():
    given = json.load(sys.stdin)
    out = {}
    for name, problem in {"ball": Ball(**given["ball"]), "keys": Keys(**given["keys"])}.items():
        out[name] = []
        for way, (solve, rounds) in problem.ways().items():
            seconds, answer = timed(solve, rounds)
            out[name].append({"way": way, "seconds": seconds, "answer": list(map(float, answer))})
    json.dump(out, sys.stdout)


if __name__ == "__main__":
    main()
