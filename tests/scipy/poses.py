"""pose-fit and placement-map against align_vectors and least_squares."""

import numpy as np
from scipy.spatial.transform import Rotation

from common import Tally, ask, basis, column, generator, length, reference, rows, turn, vector

NAMES = ["pose", "x", "y", "z", "weight"]


def table(rest, posed, weights):
    """rest (k, 3), posed (m, k, 3), weights (m, k)."""
    lines = [[0, *p, 1] for p in rest]
    for i, pose in enumerate(posed):
        lines += [[i + 1, *p, w] for p, w in zip(pose, weights[i])]
    return rows(NAMES, lines)


def scene(rng, kind, landmarks, poses, noise, weighted):
    """Landmarks turned about a known pivot, with noise: rest, posed, weights, pivot, axes, angles.

    Well posed: landmarks that spread in three directions, and for a ball axes that do so too.
    """
    pivot, size = rng.normal(0, 5, 3), np.exp(rng.uniform(0, 2))
    rest = pivot + rng.normal(0, size, 3) + size * spread(rng, landmarks, 0.25 if kind != "flat" else 0)
    axes = spread(rng, poses, 0.25 if kind == "ball" and poses > 2 else 0)
    if kind != "ball":
        axes[:] = axes[0]
    axes /= np.linalg.norm(axes, axis=1)[:, None]
    angles = rng.uniform(0.4, 2.2, poses)
    posed = rest + rng.normal(0, noise * size, (poses, landmarks, 3))
    if kind == "flat":
        frame = np.stack(basis(axes[0]))
        rest, posed = pivot + (rest - pivot) @ frame.T @ frame, pivot + (posed - pivot) @ frame.T @ frame
    posed = pivot + np.einsum("mij,mkj->mki", turn(axes, angles), posed - pivot)
    weights = rng.uniform(0.2, 3, (poses, landmarks)) if weighted else np.ones((poses, landmarks))
    return rest, posed, weights, pivot, axes, angles


def spread(rng, count, least):
    """Random vectors, not all in one place, whose least principal extent is at least that share of the greatest."""
    while True:
        v = rng.normal(size=(count, 3))
        s = np.linalg.svd(v - v.mean(axis=0), compute_uv=False)
        if count == 1 or s[0] >= 1 and (count < 3 or s[2 if count > 3 else 1] >= least * s[0]):
            return v


def align(a, b, weights):
    """SciPy's best rotation of a onto b, and the weighted squares it leaves, summed point by point.

    align_vectors' own figure is a difference of large numbers and loses half its digits.
    """
    rotation = Rotation.align_vectors(b, a, weights=weights)[0]
    return rotation, np.sum(weights[:, None] * (rotation.apply(a) - b) ** 2)


def orientation(binary, count):
    """One pose: the best rigid motion, its screw, and what it leaves."""
    rng, tally = generator(1), Tally("pose-fit, one pose, against Rotation.align_vectors")
    scenes = [scene(rng, "ball", rng.integers(4, 13), 1, rng.choice([1e-4, 0.01, 0.05]), i % 2) for i in range(count)]
    answers = ask(binary, "pose-fit", [{"kind": "ball", "landmarks": table(*s[:3])} for s in scenes])
    for case, ((rest, posed, weights, *_), answer) in enumerate(zip(scenes, answers)):
        out, w, y = answer["outputs"], weights[0], posed[0]
        a, b = np.average(rest, axis=0, weights=w), np.average(y, axis=0, weights=w)
        rotation, left = align(rest - a, y - b, w)
        tally.problems += 1
        tally.near("free_rms", out["free_rms"], np.sqrt(left / w.sum()), 1e-9 * np.sqrt(left / w.sum()), case)
        vec, r = rotation.as_rotvec(), rotation.as_matrix()
        angle = np.linalg.norm(vec)
        if angle < 0.1 or out["determined"] != "line":
            tally.at_most("undetermined", 0.0 if out["determined"] == "none" else 1.0, 0, 0.5, case)
            continue
        axis, t = vec / angle, b - r @ a
        tally.near("axis", vector(out, "axis"), axis, 1e-9, case)
        tally.near("angle", column(answer, "poses", "angle")[0], np.degrees(angle), 1e-9 * 180, case)
        tally.near("slide", out["slide"], axis @ t, 1e-9 * (1 + np.linalg.norm(t)), case)
        middle = rest.mean(axis=0)
        want = middle + np.linalg.lstsq(np.eye(3) - r, t - axis * (axis @ t) - (np.eye(3) - r) @ middle, rcond=1e-9)[0]
        tally.near("pivot", vector(out, "pivot"), want, 1e-9 * (1 + np.linalg.norm(want)), case)
    return tally


def free(rest, posed, weights):
    """Weighted squares that the best unconstrained motions leave."""
    total = 0.0
    for y, w in zip(posed, weights):
        a, b = np.average(rest, axis=0, weights=w), np.average(y, axis=0, weights=w)
        total += align(rest - a, y - b, w)[1]
    return total


def ball_residuals(rest, posed, weights):
    """Unknowns: pivot, then a rotation vector a pose."""
    def residuals(x):
        p, w = x[..., None, None, :3], x[..., 3:].reshape(*x.shape[:-1], len(posed), 3)
        angle = length(w)
        r = turn(w / angle[..., None], angle)
        e = p + np.einsum("...mij,...kj->...mki", r, rest - p[..., 0, :, :]) - posed
        return (np.sqrt(weights)[..., None] * e).reshape(*x.shape[:-1], -1)
    return residuals


def ball(binary, count):
    """Several poses turned freely about one point."""
    rng, tally = generator(2), Tally("pose-fit, ball, against least_squares")
    scenes = [scene(rng, "ball", rng.integers(4, 9), rng.integers(3, 7), rng.choice([1e-3, 0.02, 0.05]), i % 2) for i in range(count)]
    answers = ask(binary, "pose-fit", [{"kind": "ball", "landmarks": table(*s[:3])} for s in scenes])
    for case, ((rest, posed, weights, pivot, axes, angles), answer) in enumerate(zip(scenes, answers)):
        out = answer["outputs"]
        x, squares, jacobian = reference(ball_residuals(rest, posed, weights), np.concatenate([pivot, (axes * angles[:, None]).ravel()]))
        tally.problems += 1
        common(tally, case, out, squares, free(rest, posed, weights), weights)
        if out["determined"] != "point":
            tally.at_most("determined", 1.0, 0, 0.5, case)
            continue
        covariance = np.linalg.inv(jacobian.T @ jacobian)[:3, :3]
        scale = np.std(rest) * well(covariance, weights)
        tally.near("pivot", vector(out, "pivot"), x[:3], 1e-9 * scale, case)
        sigma(tally, case, out["sigma_major"], covariance, squares, posed.size - x.size)
        want = np.degrees([np.linalg.norm(Rotation.from_rotvec(w).as_rotvec()) for w in x[3:].reshape(-1, 3)])
        tally.near("angles", column(answer, "poses", "angle"), want, 1e-9 * 180 * scale, case)
    return tally


def carried(binary, count):
    """A ball whose parent moved too: align_vectors takes the parent's motion out, and the pivot's covariance has the parent's added."""
    rng, tally = generator(7), Tally("pose-fit, parent that moves, against align_vectors and least_squares")
    scenes, questions = [], []
    for i in range(count):
        rest, posed, weights, pivot, axes, angles = scene(rng, "ball", rng.integers(4, 9), rng.integers(3, 7), 1e-4, i % 2)
        own = pivot + rng.normal(0, 10, 3) + 5 * spread(rng, rng.integers(4, 8), 0.25)
        motions = [(Rotation.random(random_state=rng.integers(1 << 31)), rng.normal(0, 30, 3)) for _ in posed]
        world = np.array([r.apply(y) + t for (r, t), y in zip(motions, posed)])
        seen = np.array([r.apply(own) + t for r, t in motions]) + rng.normal(0, rng.choice([1e-4, 1e-3]), (len(posed), *own.shape))
        heavy = rng.uniform(0.2, 3, seen.shape[:2]) if i % 2 else np.ones(seen.shape[:2])
        scenes.append((rest, world, weights, pivot, axes, angles, own, seen, heavy))
        questions.append({"kind": "ball", "landmarks": table(rest, world, weights), "parent": table(own, seen, heavy)})
    for case, ((rest, world, weights, pivot, axes, angles, own, seen, heavy), answer) in enumerate(zip(scenes, ask(binary, "pose-fit", questions))):
        out, posed, means, left = answer["outputs"], [], [], []
        for y, z, w in zip(world, seen, heavy):
            a, b = np.average(own, axis=0, weights=w), np.average(z, axis=0, weights=w)
            rotation, squares = align(own - a, z - b, w)
            posed.append(a + rotation.inv().apply(y - b))
            means.append(a)
            left.append(squares)
        tally.problems += 1
        tally.near("parent", column(answer, "parent", "residual_rms"), np.sqrt(left / heavy.sum(axis=1)), 1e-12, case)
        posed = np.array(posed)
        x, squares, jacobian = reference(ball_residuals(rest, posed, weights), np.concatenate([pivot, (axes * angles[:, None]).ravel()]))
        scale = 100 * well(np.linalg.inv(jacobian.T @ jacobian)[:3, :3], weights)
        tally.near("residual_rms", out["residual_rms"], np.sqrt(squares / weights.sum()), 1e-13 * scale, case)
        tally.near("pivot", vector(out, "pivot"), x[:3], 1e-13 * scale, case)
        want = np.degrees([np.linalg.norm(Rotation.from_rotvec(w).as_rotvec()) for w in x[3:].reshape(-1, 3)])
        tally.near("angles", column(answer, "poses", "angle"), want, 1e-11 * scale, case)
        noise = sum(left) / (3 * heavy.size - 6 * len(heavy))
        covariance = np.linalg.inv(jacobian.T @ jacobian)[:3, :3] * squares / (posed.size - x.size)
        for i, (mean, w) in enumerate(zip(means, heavy)):
            covariance = covariance + strayed(jacobian, posed, weights, i, mean) @ np.linalg.inv(stiffness(own - mean, w)) @ strayed(jacobian, posed, weights, i, mean).T * noise
        # The command moves the poses by a whole standard deviation and not by the beginning of one, and neither knows curvature.
        sure = np.sqrt(np.linalg.eigvalsh(covariance)[-1])
        tally.near("sigma", out["sigma_major"], sure, 5e-3 * sure, case)
    return tally


def stiffness(arms, w):
    """Information of a small motion (turn about the mean, move) from landmarks at these arms: 6 × 6."""
    rows = np.concatenate([np.concatenate([np.cross(np.eye(3), arm).T, np.eye(3)], axis=1) * np.sqrt(k) for arm, k in zip(arms, w)])
    return rows.T @ rows


def strayed(jacobian, posed, weights, i, mean):
    """How the pivot follows pose i through a small motion (turn about the mean, move), by the whole system of unknowns: 3 × 6."""
    pulls = np.zeros((6, *posed.shape))
    for k in range(3):
        pulls[k, i], pulls[3 + k, i] = np.cross(np.eye(3)[k], posed[i] - mean), np.eye(3)[k]
    pulls *= np.sqrt(weights)[..., None]
    return np.linalg.lstsq(jacobian, pulls.reshape(6, -1).T, rcond=None)[0][:3]


def well(covariance, weights):
    """How ill posed the pivot is: 1 when each pose ties it as firmly as a landmark would; the tolerance grows with it."""
    return max(1.0, np.sqrt(np.linalg.eigvalsh(covariance)[-1] * weights.mean() * 10))


def common(tally, case, out, squares, free_squares, weights):
    """Never worse than the reference, and the noise floor agrees."""
    total = weights.sum()
    got = out["residual_rms"]
    tally.at_most("objective", got and got**2 * total, squares, 1e-11 * squares, case)
    tally.near("residual_rms", got, np.sqrt(squares / total), 1e-9 * np.sqrt(squares / total), case)
    if free_squares is not None:
        floor = np.sqrt(free_squares / total)
        tally.near("free_rms", out["free_rms"], floor, 1e-9 * floor, case)


def sigma(tally, case, got, covariance, squares, freedom):
    want = np.sqrt(np.linalg.eigvalsh(covariance)[-1] * squares / freedom)
    tally.near("sigma", got, want, 1e-7 * want, case)


def hinge_residuals(rest, posed, weights, middle, axis, u, v):
    """Unknowns: pivot along u, v; axis along u, v; an angle a pose."""
    def residuals(x):
        p = middle + x[..., :1] * u + x[..., 1:2] * v
        a = axis + x[..., 2:3] * u + x[..., 3:4] * v
        a = a / length(a)[..., None]
        r = turn(a[..., None, :], x[..., 4:])
        e = p[..., None, None, :] + np.einsum("...mij,...kj->...mki", r, rest - p[..., None, :]) - posed
        return (np.sqrt(weights)[..., None] * e).reshape(*x.shape[:-1], -1)
    return residuals


def hinge(binary, count):
    """Several poses turned about one line."""
    rng, tally = generator(3), Tally("pose-fit, hinge, against least_squares")
    scenes = [scene(rng, "hinge", rng.integers(4, 9), rng.integers(3, 7), rng.choice([1e-3, 0.02, 0.05]), i % 2) for i in range(count)]
    answers = ask(binary, "pose-fit", [{"kind": "hinge", "landmarks": table(*s[:3])} for s in scenes])
    for case, ((rest, posed, weights, pivot, axes, angles), answer) in enumerate(zip(scenes, answers)):
        out, middle = answer["outputs"], rest.mean(axis=0)
        u, v = basis(axes[0])
        start = np.concatenate([[(pivot - middle) @ u, (pivot - middle) @ v, 0, 0], angles])
        x, squares, jacobian = reference(hinge_residuals(rest, posed, weights, middle, axes[0], u, v), start)
        tally.problems += 1
        common(tally, case, out, squares, free(rest, posed, weights), weights)
        axis = axes[0] + x[2] * u + x[3] * v
        axis /= np.linalg.norm(axis)
        covariance = np.linalg.inv(jacobian.T @ jacobian)
        scale = np.std(rest) * well(covariance[:2, :2], weights)
        tally.near("axis", vector(out, "axis"), axis, 1e-9 * scale, case)
        p = x[0] * u + x[1] * v
        tally.near("pivot", vector(out, "pivot"), middle + p - axis * (axis @ p), 1e-9 * scale, case)
        tally.near("angles", column(answer, "poses", "angle"), np.degrees(x[4:]), 1e-9 * 180 * scale, case)
    return tally


def flat_residuals(rest, posed, weights):
    """Unknowns: pivot in the plane, an angle a pose; all points in the plane."""
    def residuals(x):
        p, c, s = x[..., None, None, :2], np.cos(x[..., 2:]), np.sin(x[..., 2:])
        r = np.stack([np.stack([c, -s], -1), np.stack([s, c], -1)], -2)
        e = p + np.einsum("...mij,...kj->...mki", r, rest - p[..., 0, :, :]) - posed
        return (np.sqrt(weights)[..., None] * e).reshape(*x.shape[:-1], -1)
    return residuals


def flat(binary, count):
    """Poses in one plane, anyhow placed in space; two landmarks may do."""
    rng, tally = generator(4), Tally("pose-fit in a plane, against least_squares")
    scenes = [scene(rng, "flat", rng.integers(2, 7), rng.integers(2, 6), rng.choice([1e-3, 0.02, 0.05]), i % 2) for i in range(count)]
    answers = ask(binary, "pose-fit", [{"kind": "hinge", "landmarks": table(*s[:3])} for s in scenes])
    for case, ((rest, posed, weights, pivot, axes, angles), answer) in enumerate(zip(scenes, answers)):
        out = answer["outputs"]
        frame = np.stack(basis(axes[0]))
        x, squares, jacobian = reference(flat_residuals((rest - pivot) @ frame.T, (posed - pivot) @ frame.T, weights), np.concatenate([[0, 0], angles]))
        tally.problems += 1
        covariance = np.linalg.inv(jacobian.T @ jacobian)[:2, :2]
        scale = np.std(rest) * well(covariance, weights)
        common(tally, case, out, squares, None, weights)
        tally.near("pivot", vector(out, "pivot"), pivot + x[:2] @ frame, 1e-9 * scale, case)
        tally.near("axis", vector(out, "axis"), axes[0], 1e-9 * scale, case)
        tally.near("angles", column(answer, "poses", "angle"), np.degrees(x[2:]), 1e-9 * 180 * scale, case)
        sigma(tally, case, out["sigma_across"], covariance, squares, 2 * weights.size - x.size)
    return tally


def moving(binary, count):
    """A centre that moves from pose to pose: much is left over, and the fit must still be no worse than SciPy's."""
    rng, tally = generator(6), Tally("pose-fit, moving centre, against least_squares")
    scenes = [list(scene(rng, "ball", rng.integers(4, 9), rng.integers(3, 7), 0.01, i % 2)) for i in range(count)]
    for s in scenes:
        s[1] = s[1] + rng.normal(0, 0.3 * np.std(s[0]), (len(s[1]), 1, 3))
    answers = ask(binary, "pose-fit", [{"kind": "ball", "landmarks": table(*s[:3])} for s in scenes])
    for case, ((rest, posed, weights, pivot, axes, angles), answer) in enumerate(zip(scenes, answers)):
        squares = reference(ball_residuals(rest, posed, weights), np.concatenate([pivot, (axes * angles[:, None]).ravel()]), polish=0)[1]
        tally.problems += 1
        tally.at_most("objective", answer["outputs"]["residual_rms"] ** 2 * weights.sum(), squares, 1e-9 * squares, case)
    return tally


def field(binary, count):
    """Every cell of small maps: the best rotations about its centre."""
    rng, tally = generator(5), Tally("placement-map against Rotation.align_vectors")
    scenes, questions = [], []
    for i in range(count):
        s = scene(rng, "ball", rng.integers(4, 9), rng.integers(1, 4), rng.choice([1e-3, 0.05, 0.3]), i % 2)
        low, plane, level = rng.normal(0, 5, 2), ["xy", "yz", "zx"][i % 3], rng.normal()
        scenes.append((s, plane, level))
        questions.append({"kind": "ball", "landmarks": table(*s[:3]), "plane": plane, "level": level, "cells": 3,
                          "min_u": low[0], "max_u": low[0] + 9, "min_v": low[1], "max_v": low[1] + 6})
    for case, ((s, plane, level), answer) in enumerate(zip(scenes, ask(binary, "placement-map", questions))):
        rest, posed, weights = s[:3]
        tally.problems += 1
        best = np.inf
        for cell in answer["tables"]["cells"]:
            p = np.roll([cell["u"], cell["v"], level], "xy yz zx".split().index(plane))
            squares = sum(align(rest - p, y - p, w)[1] for y, w in zip(posed, weights))
            want = np.sqrt(squares / weights.sum())
            best = min(best, want)
            tally.near("cell", cell["rms"], want, 1e-9 * want + 1e-10 * np.std(rest), case)
        tally.near("best_rms", answer["outputs"]["best_rms"], best, 1e-9 * best, case)
    return tally


SOLVERS = {"orientation": orientation, "ball": ball, "hinge": hinge, "flat": flat, "carried": carried, "moving": moving, "field": field}
