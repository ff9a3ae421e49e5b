"""Writes plate.csv: deflection, moments and shear of rectangular plates from finite elements, each row with its source.

Thin plates: the fourth-order equation with conforming cubic elements (Bogner, Fox and Schmit). Plates that shear: the
first-order shear equations with fourth-order elements for deflection and both rotations. A quarter of the plate, meshes
halved twice; the value written is Richardson's extrapolation of the last two, and `apart_pct` tells how far it and the
extrapolation before it lie apart at most, over all columns: moments relative to the largest moment, the rest to itself.
Shares no code and no method with the Rust core. Needs: pip install scikit-fem. Run: python3 make_plate.py
"""

import csv
import math
import os
from importlib.metadata import version
from pathlib import Path

os.environ.setdefault("OMP_NUM_THREADS", "1")
import numpy as np
from scipy.sparse import bmat
from skfem import (
    Basis, BilinearForm, ElementQuadBFS, ElementQuadP, LinearForm, MeshQuad, asm, condense, solve,
)

SOURCE = f"scikit-fem {version('scikit-fem')}"


def lines(half, patch, count):
    """Mesh lines from the edge (0) to the middle (half), one of them on the rim of the patch."""
    rim = half - patch / 2.0
    if rim < 1e-12 * half:
        # Finer towards the edge.
        return half * np.linspace(0.0, 1.0, 2 * count + 1) ** 1.2
    outer = rim * (1.0 - np.linspace(1.0, 0.0, 2 * count + 1) ** 1.3)
    inner = np.linspace(rim, half, count // 2 + 1)
    return np.concatenate([outer, inner[1:]])


def mesh(c, count):
    return MeshQuad.init_tensor(lines(c["a"] / 2, c["u"], count), lines(c["b"] / 2, c["v"], count))


def pressure(c, x):
    inside = (x[0] > c["a"] / 2 - c["u"] / 2) & (x[1] > c["b"] / 2 - c["v"] / 2)
    return c["q"] * inside


def at(basis_of, m, point, values):
    """Values of a solution at a point of the mesh: one-point rule in the corner of the element that holds it."""
    size = m.p.max(axis=1)
    corners = m.p[:, m.t]
    low, high = corners.min(axis=1), corners.max(axis=1)
    eps = 1e-9 * size
    inside = np.all((low <= point[:, None] + eps[:, None]) & (high >= point[:, None] - eps[:, None]), axis=0)
    k = np.nonzero(inside)[0][-1]
    local = m.mapping().invF(point[:, None, None], tind=np.array([k]))[:, 0, :]
    return values(basis_of(k, (local, np.array([1.0]))))


def places(c):
    a, b = c["a"], c["b"]
    return {
        "middle": np.array([a / 2, b / 2]), "edge_x": np.array([0.0, b / 2]), "edge_y": np.array([a / 2, 0.0]),
        "corner": np.array([0.0, 0.0]), "quarter_x": np.array([a / 4, b / 2]), "quarter_y": np.array([a / 2, b / 4]),
        "rim_x": np.array([max(a / 2 - c["u"] / 2, 0.0), b / 2]), "rim_y": np.array([a / 2, max(b / 2 - c["v"] / 2, 0.0)]),
    }


def thin(c, count):
    m = mesh(c, count)
    e = ElementQuadBFS()
    basis = Basis(m, e, intorder=6)

    @BilinearForm
    def stiffness(u, v, w):
        p, r = u.hess, v.hess
        return (
            c["d11"] * p[0, 0] * r[0, 0] + c["d22"] * p[1, 1] * r[1, 1]
            + c["d12"] * (p[0, 0] * r[1, 1] + p[1, 1] * r[0, 0]) + 4.0 * c["d66"] * p[0, 1] * r[0, 1]
        )

    @LinearForm
    def load(v, w):
        return pressure(c, w.x) * v

    held = []
    for i, (low, high, normal, tangent) in enumerate((("left", "right", "u_x", "u_y"), ("bottom", "top", "u_y", "u_x"))):
        half = c["a"] / 2 if i == 0 else c["b"] / 2
        edge = m.facets_satisfying(lambda x, i=i: np.abs(x[i]) < 1e-12)
        middle = m.facets_satisfying(lambda x, i=i, h=half: np.abs(x[i] - h) < 1e-12)
        d = basis.get_dofs(edge)
        held += [d.all(["u", tangent])] + ([d.all([normal, "u_xy"])] if c["clamped"] else [])
        held += [basis.get_dofs(middle).all([normal, "u_xy"])]
    x = solve(*condense(asm(stiffness, basis), asm(load, basis), D=np.unique(np.concatenate(held))))

    def one(k, rule):
        return Basis(m, e, quadrature=rule, elements=np.array([k]))

    def values(b):
        f = b.interpolate(x)
        h = np.asarray(f.hess)[:, :, 0, 0]
        return (
            float(np.asarray(f)[0, 0]), -(c["d11"] * h[0, 0] + c["d12"] * h[1, 1]),
            -(c["d12"] * h[0, 0] + c["d22"] * h[1, 1]), -2.0 * c["d66"] * h[0, 1], math.nan, math.nan,
        )

    return {name: at(one, m, p, values) for name, p in places(c).items()}


def shearing(c, count):
    m = mesh(c, max(count // 2, 2))
    e = ElementQuadP(4)
    basis = Basis(m, e, intorder=8)
    n = basis.N

    def form(f):
        return asm(BilinearForm(f), basis)

    ww = form(lambda u, v, w: c["sx"] * u.grad[0] * v.grad[0] + c["sy"] * u.grad[1] * v.grad[1])
    wx = form(lambda u, v, w: c["sx"] * u * v.grad[0])
    wy = form(lambda u, v, w: c["sy"] * u * v.grad[1])
    xx = form(lambda u, v, w: c["d11"] * u.grad[0] * v.grad[0] + c["d66"] * u.grad[1] * v.grad[1] + c["sx"] * u * v)
    yy = form(lambda u, v, w: c["d66"] * u.grad[0] * v.grad[0] + c["d22"] * u.grad[1] * v.grad[1] + c["sy"] * u * v)
    xy = form(lambda u, v, w: c["d12"] * u.grad[1] * v.grad[0] + c["d66"] * u.grad[0] * v.grad[1])
    stiffness = bmat([[ww, wx, wy], [wx.T, xx, xy], [wy.T, xy.T, yy]]).tocsr()
    right = np.concatenate([asm(LinearForm(lambda v, w: pressure(c, w.x) * v), basis), np.zeros(2 * n)])
    side = lambda i, value: basis.get_dofs(m.facets_satisfying(lambda x: np.abs(x[i] - value) < 1e-12)).all()
    left, bottom, mid_x, mid_y = side(0, 0.0), side(1, 0.0), side(0, c["a"] / 2), side(1, c["b"] / 2)
    held = [left, bottom, 2 * n + left, n + bottom, n + mid_x, 2 * n + mid_y]
    if c["clamped"]:
        held += [n + left, 2 * n + bottom]
    x = solve(*condense(stiffness, right, D=np.unique(np.concatenate(held))))

    def one(k, rule):
        return Basis(m, e, quadrature=rule, elements=np.array([k]))

    def values(b):
        w, px, py = (b.interpolate(x[i * n : (i + 1) * n]) for i in range(3))
        g = [np.asarray(f.grad)[:, 0, 0] for f in (w, px, py)]
        v = [float(np.asarray(f)[0, 0]) for f in (w, px, py)]
        return (
            v[0], c["d11"] * g[1][0] + c["d12"] * g[2][1], c["d12"] * g[1][0] + c["d22"] * g[2][1],
            c["d66"] * (g[1][1] + g[2][0]), c["sx"] * (v[1] + g[0][0]), c["sy"] * (v[2] + g[0][1]),
        )

    return {name: at(one, m, p, values) for name, p in places(c).items()}


def figures(c, count):
    f = (thin if math.isinf(c["sx"]) else shearing)(c, count)
    largest = lambda i, edge, rim: max(abs(f[edge][i]), abs(f[rim][i]))
    return np.array([
        f["middle"][0], f["middle"][1], f["middle"][2], f["edge_x"][1], f["edge_y"][2], f["corner"][3],
        f["quarter_x"][1], f["quarter_x"][2], f["quarter_y"][1], f["quarter_y"][2],
        largest(4, "edge_x", "rim_x"), largest(5, "edge_y", "rim_y"),
    ])


NAMES = [
    "deflection", "middle_x", "middle_y", "edge_x", "edge_y", "corner_xy",
    "quarter_x_x", "quarter_x_y", "quarter_y_x", "quarter_y_y", "shear_x", "shear_y",
]
GIVEN = ["clamped", "a", "b", "d11", "d12", "d22", "d66", "sx", "sy", "q", "u", "v"]


def converged(c):
    is_thin = math.isinf(c["sx"])
    # Finer meshes of the thin elements lose more to rounding than they gain.
    runs = [figures(c, count) for count in ((2, 4, 8) if is_thin else (4, 8, 16))]
    order = 2.0 if is_thin else 3.0
    better = [r1 + (r1 - r0) / (2.0**order - 1.0) for r0, r1 in zip(runs, runs[1:])]
    scale = np.abs(better[1]).copy()
    scale[1:10] = np.nanmax(scale[1:10])
    return better[1], 100.0 * np.nanmax(np.abs(better[1] - better[0]) / scale)


INF = math.inf
CLOTHS = {
    "same": (1.0, 0.3, 1.0, 0.35), "weave": (1.0, 0.15, 0.8, 0.12), "lengthwise": (1.0, 0.08, 0.2, 0.08), "crosswise": (0.2, 0.08, 1.0, 0.08),
}


def cases():
    for held in (0, 1):
        for cloth, sides, patch, shear in (
            ("same", (1.0, 1.0), None, INF), ("same", (1.0, 2.0), None, INF), ("same", (1.0, 1.0), (0.1, 0.1), INF),
            ("weave", (1.0, 1.5), None, INF), ("weave", (1.5, 1.0), (0.15, 0.15), INF), ("lengthwise", (1.0, 1.0), None, INF),
            ("lengthwise", (2.0, 1.0), None, INF), ("lengthwise", (1.0, 2.0), (0.1, 0.1), INF), ("crosswise", (3.0, 1.0), None, INF),
            ("crosswise", (1.0, 1.0), (0.05, 0.05), INF), ("crosswise", (2.0, 1.0), (0.2, 0.06), INF), ("weave", (1.0, 1.0), (0.3, 0.05), INF),
            ("weave", (1.0, 1.0), None, 30.0), ("weave", (1.0, 1.6), None, 100.0), ("weave", (1.0, 1.0), (0.1, 0.1), 30.0),
            ("lengthwise", (2.0, 1.0), (0.2, 0.2), 30.0), ("crosswise", (1.5, 1.0), None, 10.0), ("weave", (1.0, 1.5), (0.06, 0.06), 100.0),
        ):
            d = dict(zip(("d11", "d12", "d22", "d66"), CLOTHS[cloth]))
            u, v = patch or sides
            q = 1.0 / (u * v) if patch else 1.0
            yield {"clamped": held, "a": sides[0], "b": sides[1], **d, "sx": shear, "sy": 0.8 * shear, "q": q, "u": u, "v": v}


if __name__ == "__main__":
    with open(Path(__file__).parent / "plate.csv", "w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow([*GIVEN, *NAMES, "apart_pct", "source"])
        for c in cases():
            found, apart = converged(c)
            element = "Bogner-Fox-Schmit" if math.isinf(c["sx"]) else "first-order shear, P4"
            row = [f"{c[k]:.10g}" for k in GIVEN] + [f"{x:.6g}" for x in found]
            writer.writerow([*row, f"{apart:.2g}", f"{SOURCE} {element} elements extrapolated"])
            file.flush()
            print(row, apart, flush=True)
