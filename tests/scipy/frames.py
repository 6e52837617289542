"""Rotations in six orders (reseat, key-fit), skeletons (reseat) and bent chains (hinge-plane) against Rotation and numpy."""

import numpy as np
from scipy.spatial.transform import Rotation

from common import Tally, ask, column, generator, rows, vector

ORDERS = ["xyz", "xzy", "yxz", "yzx", "zxy", "zyx"]
AXES = {"+x": [1, 0, 0], "-x": [-1, 0, 0], "+y": [0, 1, 0], "-y": [0, -1, 0], "+z": [0, 0, 1], "-z": [0, 0, -1]}
NEAR = 1e-9  # of a unit rotation


def same(tally, what, got, want, case):
    """Two rotations, by the greatest difference of their matrices."""
    tally.near(what, got.as_matrix(), want.as_matrix(), NEAR, case)


def fixed(order, angles):
    """SciPy's rotation about fixed axes: lower-case letters; angles are about x, y, z."""
    return Rotation.from_euler(order, [angles["xyz".index(c)] for c in order], degrees=True)


def skeleton(rng, joints):
    """Names, parents (any earlier joint), world positions and rotations."""
    parents = [-1] + [int(rng.integers(0, i)) for i in range(1, joints)]
    return parents, rng.normal(0, 30, (joints, 3)), Rotation.random(joints, rng)


def matrix(rotation, position):
    m = np.eye(4)
    m[:3, :3], m[:3, 3] = rotation.as_matrix(), position
    return m


def joints(binary, count):
    """reseat with orientations kept: local values and inverse bind matrices of every joint, and carried keys."""
    rng, tally, questions, scenes = generator(11), Tally("reseat against Rotation and numpy.linalg.inv"), [], []
    for i in range(count):
        n = int(rng.integers(1, 7))
        parents, at, world = skeleton(rng, n)
        moved, to, order = int(rng.integers(0, n)), rng.normal(0, 30, 3), ORDERS[i % 6]
        keys = np.hstack([rng.uniform(-170, 170, (2, 3)), rng.normal(size=(2, 3))])
        table = rows(["x", "y", "z", "qx", "qy", "qz", "qw"], np.hstack([at, 1.7 * world.as_quat()]))
        for k, row in enumerate(table):
            row |= {"name": f"j{k}", "parent": f"j{parents[k]}" if parents[k] >= 0 else ""}
        questions.append({"joints": table, "move": f"j{moved}", "to_x": to[0], "to_y": to[1], "to_z": to[2], "orient": "keep", "order": order,
                          "keys": rows(["rx", "ry", "rz", "tx", "ty", "tz"], keys)})
        scenes.append((parents, at, world, moved, to, order, keys))
    for case, (scene, answer) in enumerate(zip(scenes, ask(binary, "reseat", questions))):
        tally.problems += 1
        check_joints(tally, case, *scene, answer)
    return tally


def check_joints(tally, case, parents, at, world, moved, to, order, keys, answer):
    after = at.copy()
    after[moved] = to
    parent = world[parents[moved]] if parents[moved] >= 0 else Rotation.identity()
    d = parent.inv().apply(to - at[moved])
    for i, row in enumerate(answer["tables"]["joints"]):
        m = matrix(world[i], after[i])
        local = m if parents[i] < 0 else np.linalg.inv(matrix(world[parents[i]], after[parents[i]])) @ m
        want = Rotation.from_matrix(local[:3, :3])
        tally.near("translation", [row["tx"], row["ty"], row["tz"]], local[:3, 3], 1e-9 * 30, case)
        same(tally, "quaternion", Rotation.from_quat([row[q] for q in ["qx", "qy", "qz", "qw"]]), want, case)
        angles = want.as_euler(order, degrees=True)  # in the order's own sequence
        got = [row["r" + c] for c in order]
        if abs(angles[1]) < 89:
            tally.near("angles", (np.array(got) - angles + 180) % 360 - 180, 0, NEAR * 180 * 57, case)
        same(tally, "angles as a rotation", fixed(order, [row["rx"], row["ry"], row["rz"]]), want, case)
        bind = np.array([row[f"m{k}"] for k in range(16)]).reshape(4, 4).T
        tally.near("inverse bind", bind, np.linalg.inv(m), 1e-9 * 60, case)
    tally.near("drift", answer["outputs"]["drift"], 0, 1e-9, case)
    for key, row in zip(keys, answer["tables"]["keys"]):
        r = fixed(order, key[:3])
        tally.near("carried translation", [row["tx"], row["ty"], row["tz"]], key[3:] - d + r.apply(d), 1e-9 * 60, case)
        same(tally, "carried rotation", fixed(order, [row["rx"], row["ry"], row["rz"]]), r, case)


def chain(binary, count):
    """hinge-plane: common axis, distance from the plane, orientation of each joint."""
    rng, tally, questions, scenes = generator(12), Tally("hinge-plane against numpy.linalg.svd and Rotation"), [], []
    for i in range(count):
        points = np.cumsum(rng.normal(size=(int(rng.integers(3, 9)), 3)), axis=0) * np.exp(rng.uniform(-2, 3)) + rng.normal(0, 50, 3)
        aim = list(AXES)[i % 6]
        hinge = rng.choice([a for a in AXES if a[1] != aim[1]])
        order = ORDERS[i % 5]
        questions.append({"points": rows("xyz", points), "aim_axis": aim, "hinge_axis": str(hinge), "order": order})
        scenes.append((points, aim, hinge, order))
    for case, (scene, answer) in enumerate(zip(scenes, ask(binary, "hinge-plane", questions))):
        tally.problems += 1
        check_chain(tally, case, *scene, answer)
    return tally


def check_chain(tally, case, points, aim, hinge, order, answer):
    out, steps, size = answer["outputs"], np.diff(points, axis=0), np.std(points)
    normal = np.cross(steps[:-1], steps[1:]).sum(axis=0)
    normal /= np.linalg.norm(normal)
    tally.near("normal", vector(out, "normal"), normal, 1e-9, case)
    centred = points - points.mean(axis=0)
    away = np.abs(centred @ np.linalg.svd(centred)[2][2])
    tally.near("offplane_rms", out["offplane_rms"], np.sqrt(np.mean(away**2)), 1e-9 * size, case)
    tally.near("offplane_max", out["offplane_max"], away.max(), 1e-9 * size, case)
    for i, row in enumerate(answer["tables"]["joints"]):
        along = steps[i + 1] / np.linalg.norm(steps[i + 1])
        side = normal - along * (along @ normal)
        if np.linalg.norm(side) < 1e-3:
            continue  # the segment runs along the axis: no side is nearer than another
        side /= np.linalg.norm(side)
        own = np.stack([AXES[aim], AXES[hinge], np.cross(AXES[aim], AXES[hinge])])
        want = Rotation.from_matrix(np.stack([along, side, np.cross(along, side)]).T @ own)
        same(tally, "quaternion", Rotation.from_quat([row[q] for q in ["qx", "qy", "qz", "qw"]]), want, case)
        same(tally, "angles", fixed(order, [row["rx"], row["ry"], row["rz"]]), want, case)
        a, b = steps[i], steps[i + 1]
        bend = np.degrees(np.arctan2(np.linalg.norm(np.cross(a, b)), a @ b))
        tally.near("bend", row["bend"], bend, 1e-9 * 180, case)
        middle = want.as_euler(order, degrees=True)[1]
        tally.near("gimbal", row["gimbal"], 90 - abs(middle), 1e-5 if abs(middle) > 89 else 1e-9 * 180, case)


SOLVERS = {"joints": joints, "chain": chain}
