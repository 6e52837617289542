"""key-fit against numpy's lstsq and SciPy's least_squares."""

import numpy as np
from scipy.optimize import least_squares
from scipy.spatial.transform import Rotation

from common import Tally, ask, column, generator, rows, vector
from frames import ORDERS, fixed

NAMES = ["rx", "ry", "rz", "tx", "ty", "tz", "weight"]


def problem(rng, i):
    """Keys of one order: angles, translations, weights; every third problem turns about one axis, without noise along it."""
    n, order, offset = int(rng.integers(2, 30)), ORDERS[i % 6], rng.normal(0, 3, 3)
    angles = rng.uniform(-120, 120, (n, 3))
    if i % 3 == 0:
        angles[:, 1:] = 0
    noise = rng.choice([0, 1e-3, 0.05])
    turns = [fixed(order, a) for a in angles]
    shift = rng.normal(0, noise, (n, 3))
    keyed = np.array([offset - r.apply(offset) for r in turns]) + shift
    weights = rng.uniform(0.2, 3, n) if i % 2 else np.ones(n)
    return order, angles, keyed, weights, turns


def keys(binary, count):
    rng, tally = generator(21), Tally("key-fit against numpy.linalg.lstsq and least_squares")
    problems = [problem(rng, i) for i in range(count)]
    questions = [{"order": p[0], "keys": rows(NAMES, np.hstack([p[1], p[2], p[3][:, None]]))} for p in problems]
    for case, (p, answer) in enumerate(zip(problems, ask(binary, "key-fit", questions))):
        tally.problems += 1
        check(tally, case, *p, answer)
    return tally


def check(tally, case, order, angles, keyed, weights, turns, answer):
    out, root = answer["outputs"], np.repeat(np.sqrt(weights), 3)
    a = np.vstack([np.eye(3) - r.as_matrix() for r in turns])
    b = keyed.ravel()
    # Rounding leaves 1e-16 of a shared axis; rcond drops it, and lstsq then gives the shortest solution.
    want, _, rank, singular = np.linalg.lstsq(root[:, None] * a, root * b, rcond=1e-9)
    condition = singular[0] / singular[rank - 1]
    left = (b - a @ want).reshape(-1, 3)
    squares = np.sum(weights[:, None] * left**2)
    tally.near("rank", {"none": 0, "line": 2, "point": 3}[out["determined"]], rank, 0.5, case)
    scale = np.linalg.norm(want) * max(1, condition / 10)
    tally.near("offset", vector(out, "offset"), want, 1e-9 * scale, case)
    limit = 1e-12 * np.linalg.norm(keyed)
    tally.near("after_rms", out["after_rms"], np.sqrt(squares / weights.sum()), limit + 1e-9 * np.sqrt(squares / weights.sum()), case)
    tally.near("before_rms", out["before_rms"], np.sqrt(weights @ np.sum(keyed**2, axis=1) / weights.sum()), 1e-9, case)
    tally.near("left", np.stack([column(answer, "keys", f"left_{c}") for c in "xyz"], 1), left, 1e-9 * scale, case)
    if rank == 3:  # on a shared axis least_squares runs away along it, after the rounding of the rotations
        fit = least_squares(lambda d: root * (a @ d - b), np.zeros(3), jac=lambda d: root[:, None] * a, xtol=1e-15, ftol=1e-15, gtol=1e-15)
        squares = min(squares, 2 * fit.cost)
    tally.at_most("objective", out["after_rms"] ** 2 * weights.sum(), squares, 1e-11 * squares + limit**2, case)
    if rank == 2:
        axis = np.linalg.svd(a)[2][2]
        tally.near("axis", abs(axis @ vector(out, "axis")), 1, 1e-9, case)
    freedom = 3 * len(turns) - rank
    sigma = np.sqrt(squares / freedom) / singular[rank - 1]
    tally.near("sigma", out["sigma_major"], sigma, 1e-9 * sigma * condition + 1e-12, case)


SOLVERS = {"keys": keys}
