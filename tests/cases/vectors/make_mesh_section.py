"""Writes mesh_section.csv: flow mesh over a laminate seen from the side, in a section along the flow.

Finite volumes in x and z with Darcy flow between cells, the mesh fed at one end. With nothing dry left the time is linear:
-div(K grad w) = phi, div(K grad p) = 0, T = max w / p, by a direct solve. `time_clamped`: nothing leaves (a vent that is
clamped as resin comes to it). `time_open`: the far end of the mesh stays at nought. `time_open_edge`: of mesh and laminate.
`time_short`: clamped, the mesh ending `end` before the edge. `bottom_half`, `bottom_three_quarters`: when the bottom is wet
at those shares of the length, clamped, from the obstacle problem at 60 times, its wet set found by a sparse direct solve.
Times are per unit of viscosity over pressure difference. `apart_pct`: two grids of the linear solves at most.
Shares no code with the Rust core. Needs numpy and scipy. Run from this folder: python3 make_mesh_section.py
"""
import csv

import numpy as np
import scipy
import scipy.sparse as sp
import scipy.sparse.linalg as linalg


def section(stack, length, nx, upper, lower, bare=0.0, vent=""):
    """Matrix, inflow at the feed, store, and cells in a column."""
    h1, k1, phi1, h2, k2, k3, phi2 = stack
    nz = upper + lower
    dx = length / nx
    dz = np.r_[np.full(upper, h1 / upper), np.full(lower, h2 / lower)]
    along = np.tile(np.r_[np.full(upper, k1), np.full(lower, k2)], (nx, 1))
    down = np.tile(np.r_[np.full(upper, k1), np.full(lower, k3)], (nx, 1))
    phi = np.tile(np.r_[np.full(upper, phi1), np.full(lower, phi2)], (nx, 1))
    gone = (np.arange(nx) + 0.5) * dx > length - bare
    along[gone, :upper] = down[gone, :upper] = 1e-30
    phi[gone, :upper] = 0.0
    number = np.arange(nx * nz).reshape(nx, nz)
    right = dz / (dx / 2 / along[:-1] + dx / 2 / along[1:])
    below = dx / (dz[:-1] / 2 / down[:, :-1] + dz[1:] / 2 / down[:, 1:])
    one = np.r_[number[:-1].ravel(), number[:, :-1].ravel()]
    two = np.r_[number[1:].ravel(), number[:, 1:].ravel()]
    joint = np.r_[right.ravel(), below.ravel()]
    feed, out = np.zeros((nx, nz)), np.zeros((nx, nz))
    feed[0, :upper] = 2 * k1 * dz[:upper] / dx
    if vent == "mesh":
        out[-1, :upper] = 2 * k1 * dz[:upper] / dx
    elif vent == "edge":
        out[-1] = 2 * along[-1] * dz / dx
    store = (phi * dx * dz).ravel()
    rows, columns = np.r_[one, two, one, two], np.r_[one, two, two, one]
    matrix = sp.csr_matrix((np.r_[joint, joint, -joint, -joint], (rows, columns)), shape=(nx * nz, nx * nz))
    matrix = matrix + sp.diags(feed.ravel() + out.ravel() + (store == 0))
    return matrix.tocsc(), feed.ravel(), store, nz


def whole(stack, length, nx, upper, lower, **how):
    matrix, feed, store, _ = section(stack, length, nx, upper, lower, **how)
    factors = linalg.splu(matrix)
    w, p = factors.solve(store), factors.solve(feed)
    return np.max(np.where(store > 0, w / np.maximum(p, 1e-300), 0))


def bottom(stack, length, time):
    """Times at which the bottom is wet at half and at three quarters of the length."""
    nx = 300
    matrix, feed, store, nz = section(stack, length, nx, 2, 12)
    times = np.linspace(0.02, 0.995, 60) ** 2 * time
    dry = np.zeros(len(store), bool)
    front = []
    for t in times[::-1]:
        load = feed * t - store
        for _ in range(500):
            open_ = ~dry
            u = np.zeros(len(store))
            u[open_] = linalg.spsolve(matrix[open_][:, open_].tocsc(), load[open_])
            now = np.where(dry, matrix @ u - load > -1e-18, u < 0)
            if (now == dry).all():
                break
            dry = now
        front.append((u > 0).reshape(nx, nz)[:, -1].sum() / nx)
    return np.interp([0.5, 0.75], front[::-1], times)


HEADER = ["plies", "mesh_thickness", "mesh_permeability", "mesh_porosity", "laminate_thickness",
          "laminate_permeability", "through_permeability", "laminate_porosity", "length", "end", "time_clamped",
          "time_open", "time_open_edge", "time_short", "bottom_half", "bottom_three_quarters", "apart_pct"]

rows = []
for plies in (4, 6, 10, 16, 24):
    for length in (0.3, 0.6, 0.9):
        # Plies of 0.6 mm; a tighter and a more open cloth in turn.
        k2 = 3e-11 if plies in (6, 16) else 9e-11
        stack = (1e-3, 3e-9, 0.85, plies * 0.6e-3, k2, 0.08 * k2, 0.7)
        end = 0.06
        def all_four(nx, upper, lower):
            ways = [{}, {"vent": "mesh"}, {"vent": "edge"}, {"bare": end}]
            return np.array([whole(stack, length, nx, upper, lower, **way) for way in ways])
        steps = int(round(length / 1.5e-3))
        coarse, fine = all_four(steps // 2, 2, 10), all_four(steps, 3, 20)
        apart = 100 * np.max(np.abs(coarse / fine - 1))
        half = bottom(stack, length, fine[0])
        h1, k1, phi1, h2, k2, k3, phi2 = stack
        rows.append([plies, h1, k1, phi1, h2, k2, k3, phi2, length, end, *fine, *half, apart])
        print(rows[-1])
with open("mesh_section.csv", "w", newline="") as file:
    out = csv.writer(file, lineterminator="\n")
    out.writerow(HEADER + ["source"])
    for row in rows:
        out.writerow([f"{x:.6g}" for x in row] + [f"scipy {scipy.__version__} finite volumes, direct solve"])
