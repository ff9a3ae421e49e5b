"""Stiffness, response and ply stresses of random stacks, written apart from the core.

Rotates the stiffness of each ply as a fourth-order tensor with numpy.einsum, integrates through the thickness with Gauss
points instead of closed powers of z, and solves the six equations with numpy.linalg.solve. Run: python make_laminate.py
"""
import csv
import numpy as np

PLIES = 6
rng = np.random.default_rng(20261125)
MATERIALS = [  # E1, E2 [GPa], nu12, G12 [GPa]
    (181.0, 10.3, 0.28, 7.17),
    (22.8, 4.52, 0.43, 1.96),
    (10.1, 10.1, 0.14, 1.7),
    (38.6, 8.27, 0.26, 4.14),
    (0.05, 0.05, 0.3, 0.0192),
]
PAIRS = [(0, 0), (1, 1), (0, 1)]


def tensor(e1, e2, nu, g):
    """Plane-stress stiffness C_ijkl in ply axes [Pa]."""
    s = np.array([[1 / e1, -nu / e1, 0], [-nu / e1, 1 / e2, 0], [0, 0, 1 / g]]) / 1e9
    q = np.linalg.inv(s)
    c = np.zeros((2, 2, 2, 2))
    for a, (i, j) in enumerate(PAIRS):
        for b, (k, l) in enumerate(PAIRS):
            for p, r in {(i, j), (j, i)}:
                for u, v in {(k, l), (l, k)}:
                    c[p, r, u, v] = q[a, b]
    return c


def turned(c, degrees):
    t = np.radians(degrees)
    r = np.array([[np.cos(t), -np.sin(t)], [np.sin(t), np.cos(t)]])
    return np.einsum("ai,bj,ck,dl,ijkl->abcd", r, r, r, r, c), r


def matrix(c):
    return np.array([[c[i, j, k, l] for (k, l) in PAIRS] for (i, j) in PAIRS])


rows = []
for case in range(60):
    n = int(rng.integers(1, PLIES + 1))
    plies = []
    for _ in range(n):
        e1, e2, nu, g = MATERIALS[rng.integers(len(MATERIALS))]
        plies.append((e1, e2, nu, g, float(rng.integers(-18, 19) * 5), round(float(rng.uniform(0.1, 3.0)), 3)))
    load = np.round(rng.uniform(-1, 1, 6) * [2e4, 2e4, 1e4, 20, 20, 10], 3)
    total = sum(p[5] for p in plies) * 1e-3
    points, weights = np.polynomial.legendre.leggauss(3)
    abd = np.zeros((6, 6))
    z = -total / 2
    spans = []
    for e1, e2, nu, g, angle, t in plies:
        c, r = turned(tensor(e1, e2, nu, g), angle)
        q, h = matrix(c), t * 1e-3
        for x, w in zip(points, weights):
            at = z + h * (x + 1) / 2
            v = np.hstack([np.eye(3), at * np.eye(3)])
            abd += v.T @ q @ v * w * h / 2
        spans.append((z, z + h, c, r))
        z += h
    answer = np.linalg.solve(abd, load)

    def stress(c, r, at):
        e = answer[:3] + at * answer[3:]
        strain = np.array([[e[0], e[2] / 2], [e[2] / 2, e[1]]])
        s = r.T @ np.einsum("ijkl,kl->ij", c, strain) @ r
        return [s[0, 0], s[1, 1], s[0, 1]]

    row = {}
    for i in range(PLIES):
        p = plies[i] if i < n else (0, 0, 0, 0, 0, 0)
        row |= {f"{name}_{i}": value for name, value in zip(("e1", "e2", "nu", "g", "angle", "t"), p)}
    row |= {name: float(x) for name, x in zip(("nx", "ny", "nxy", "mx", "my", "mxy"), load)}
    for block, (i0, j0) in {"a": (0, 0), "b": (0, 3), "d": (3, 3)}.items():
        for i, j, name in ((0, 0, "11"), (0, 1, "12"), (0, 2, "16"), (1, 1, "22"), (1, 2, "26"), (2, 2, "66")):
            row[block + name] = abd[i0 + i, j0 + j]
    row |= {name: x for name, x in zip(("ex", "ey", "exy", "kx", "ky", "kxy"), answer)}
    low, high, c, r = spans[0]
    row |= {f"first_{k}": s for k, s in zip("123", stress(c, r, low))}
    low, high, c, r = spans[-1]
    row |= {f"last_{k}": s for k, s in zip("123", stress(c, r, high))}
    rows.append({k: (f"{v:.9e}" if isinstance(v, np.floating) else v) for k, v in row.items()} | {"source": f"numpy {np.__version__}"})

with open("laminate.csv", "w", newline="") as out:
    writer = csv.DictWriter(out, fieldnames=rows[0].keys(), lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
