"""limb-fold against a grid refined by SciPy's bounded minimiser, bend-section against sums written in numpy."""

import numpy as np
from scipy.optimize import minimize

from common import Tally, ask, column, generator, rows


def spans(lengths, rest, folds):
    """Distances from base to end for folds (…, n)."""
    return np.abs(np.sum(lengths * np.exp(1j * np.cumsum(rest + folds, axis=-1)), axis=-1))


def squared(lengths, rest, free):
    """Squared span and its gradient as functions of the folds of segments 2, 3, …."""
    def f(x):
        links = lengths * np.exp(1j * np.cumsum(rest + np.concatenate([[0], x])))
        end = links.sum()
        return np.abs(end) ** 2, np.array([2 * np.real(np.conj(end) * 1j * links[k:].sum()) for k in range(1, len(lengths))])
    return f


def extreme(lengths, rest, low, high, sign, cells):
    """The least of sign·span over the box: every local minimum of a grid, refined."""
    axes = [np.linspace(a, b, cells) for a, b in zip(low[1:], high[1:])]
    grid = np.stack(np.meshgrid(*axes, indexing="ij"), -1)
    values = sign * spans(lengths, rest, np.concatenate([np.zeros(grid.shape[:-1] + (1,)), grid], -1))
    padded = np.pad(values, 1, constant_values=np.inf)
    lowest = np.ones(values.shape, bool)
    for axis in range(values.ndim):
        for shift in (-1, 1):
            lowest &= values <= np.roll(padded, shift, axis)[tuple([slice(1, -1)] * values.ndim)]
    starts = grid[lowest]
    starts = starts[np.argsort(values[lowest])][:8]
    f = squared(lengths, rest, None)
    bounds = list(zip(low[1:], high[1:]))
    best = np.inf
    for start in starts:
        refined = minimize(lambda x: tuple(sign * v for v in f(x)), start, jac=True, bounds=bounds, method="L-BFGS-B",
                           options={"ftol": 1e-16, "gtol": 1e-12, "maxiter": 500})
        best = min(best, sign * np.sqrt(max(0, sign * refined.fun)))
    return sign * best


def folds(binary, count):
    rng, tally, chains = generator(31), Tally("limb-fold against a refined grid"), []
    for i in range(count):
        n = 2 + i % 3
        low = rng.uniform(-100, 20, n)
        chains.append((rng.uniform(0.3, 2, n), rng.uniform(-180, 180, n), low, low + rng.uniform(0, 170, n)))
    questions = [{"segments": rows(["length", "rest", "fold_min", "fold_max"], np.stack(c, 1))} for c in chains]
    for case, ((lengths, *angles), answer) in enumerate(zip(chains, ask(binary, "limb-fold", questions))):
        rest, low, high = np.radians(angles)
        out, total, cells = answer["outputs"], lengths.sum(), [0, 0, 181, 49, 17][len(lengths)]
        tally.problems += 1
        greatest = extreme(lengths, rest, low, high, -1, cells)
        least = extreme(lengths, rest, low, high, 1, cells)
        tally.near("span_max", out["span_max"], greatest, 1e-9 * total, case)
        # A chain that closes has a span of 0 whose square SciPy finds to 1e-16 only.
        tally.near("span_min", out["span_min"], least, 1e-9 * total if least > 1e-6 else 1e-6 * total, case)
        tally.at_most("not below SciPy's greatest", greatest, out["span_max"], 1e-12 * total, case)
        tally.at_most("not above SciPy's least", out["span_min"], least, 1e-12 * total + (0 if least > 1e-6 else 1e-9), case)
        for end in ["max", "min"]:
            at = np.radians(column(answer, "extremes", "at_" + end))
            tally.near("angles of span_" + end, spans(lengths, rest, at), out["span_" + end], 1e-9 * total, case)
            tally.at_most("within limits", max(np.max(low[1:] - at[1:]), np.max(at[1:] - high[1:])), 0, 1e-9, case)
    return tally


CELLS = 96  # intervals a side of a smoothed surface, as the calculator states
FINE = 20_000  # intervals of half a ramp: unsmoothed, what lies between the calculator's points counts


def strip(depth, pivot, flex, length, blend, passes, strength):
    """The blended and smoothed surfaces as complex numbers, outer then inner."""
    if passes and strength:
        x = length * np.arange(-CELLS, CELLS + 1) / CELLS
        w = np.clip(0.5 + x / blend, 0, 1) if blend > 0 else np.heaviside(np.arange(-CELLS, CELLS + 1), 0.5)
    else:  # a hard edge keeps both halves whole up to the joint
        ramp = np.linspace(-0.5, 0.5, 2 * FINE + 1)
        x, w = np.concatenate([[-length], blend * ramp, [length]]), np.concatenate([[0], 0.5 + ramp, [1]])
    centre = 1j * depth * (0.5 - pivot)
    surfaces = []
    for y in (depth / 2, -depth / 2):
        rest = x + 1j * y
        surfaces.append((1 - w) * rest + w * (centre + (rest - centre) * np.exp(-1j * np.radians(flex))))
    return [smoothed(line, passes, strength) for line in surfaces] if passes and strength else surfaces


def smoothed(line, passes, strength):
    pass_once = np.eye(len(line))
    inner = np.arange(1, len(line) - 1)
    pass_once[inner, inner] -= strength
    pass_once[inner, inner - 1] += strength / 2
    pass_once[inner, inner + 1] += strength / 2
    return np.linalg.matrix_power(pass_once, passes) @ line


def bends(binary, count):
    rng, tally = generator(32), Tally("bend-section against numpy")
    names = ["depth", "pivot", "flex", "length", "blend", "passes", "strength"]
    cases = []
    for i in range(count):
        length = rng.uniform(2, 30)
        cases.append([rng.uniform(0.5, 20), rng.uniform(-0.5, 1.5), rng.uniform(-180, 180), length, 0 if i % 5 == 0 else rng.uniform(0, 2 * length), int(rng.integers(0, 60)) if i % 2 else 0, rng.uniform(0, 1)])
    for case, (c, answer) in enumerate(zip(cases, ask(binary, "bend-section", [dict(zip(names, c)) for c in cases]))):
        out = answer["outputs"]
        outer, inner = strip(*c)
        joint, close = len(outer) // 2, 1e-9 if len(outer) == 2 * CELLS + 1 else 1e-6
        tally.problems += 1
        tally.near("thickness", out["thickness_ratio"], np.abs(outer[joint] - inner[joint]) / c[0], 1e-9, case)
        rest = 2 * c[3]
        for name, line in (("outside", outer), ("inside", inner)):
            want = np.sum(np.abs(np.diff(line))) / rest
            tally.near(name, out[name + "_length_ratio"], want, close * want, case)
        loop = np.concatenate([inner, outer[::-1]])
        area = np.sum(np.imag(np.conj(loop) * np.roll(loop, -1))) / 2 / (rest * c[0]) # what overlaps counts negative
        tally.near("area", out["area_ratio"], area, close * (1 + np.abs(area)), case)
    return tally


SOLVERS = {"folds": folds, "bends": bends}
