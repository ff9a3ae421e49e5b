"""Writes the drawn fill's vectors: fill_layers.csv and fill_vent.csv, each row with its source.

fill_layers: flow mesh over a laminate seen from the side. Both layers in cells, Darcy flow between cells, pressure nought
where a cell is not yet full; the pressure is solved anew each time a cell fills. Times are per unit of viscosity over
pressure difference; front positions are sums of what each row of cells holds. Two grids; `apart_pct` tells how far their
figures lie apart at most, and the finer one is written. `lag_across_only` is the lag with no flow along the laminate.
fill_vent: a square fed from one side with an open vent: w and p of -lap w = 1 and lap p = 0 by five-point differences and a
direct solve, T = max w / p, from three grids extrapolated once (the ends of a vent make the error go as the grid's step).
Shares no code with the Rust core. Needs numpy and scipy. Run from this folder: python3 make_fill.py
"""
import csv

import numpy as np
import scipy
from scipy.linalg import solveh_banded
from scipy.sparse import coo_matrix
from scipy.sparse.linalg import spsolve

VERSION = f"scipy {scipy.__version__}"


def write(name, header, rows, source):
    """One csv file with a source column."""
    with open(name, "w", newline="") as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow(header + ["source"])
        for row in rows:
            out.writerow([f"{x:.9g}" for x in row] + [f"{VERSION} {source}"])


def side_view(stack, length, nx, upper, lower):
    """Times and front positions, top and bottom, as the cells fill."""
    h1, k1, phi1, h2, k2, k3, phi2 = stack
    nz = upper + lower
    dx = length / nx
    dz = np.r_[np.full(upper, h1 / upper), np.full(lower, h2 / lower)]
    along = np.r_[np.full(upper, k1), np.full(lower, k2)]
    # The mesh is open in every direction.
    through = np.r_[np.full(upper, k1), np.full(lower, k3)]
    hold = np.r_[np.full(upper, phi1), np.full(lower, phi2)] * dx * dz
    east = along * dz / dx
    down = dx / (dz[:-1] / (2 * through[:-1]) + dz[1:] / (2 * through[1:]))
    # Cells in columns: cell i * nz + j; joints to the next column (nz on) and to the cell below (one on).
    right = np.tile(east, nx)
    right[-nz:] = 0
    below = np.tile(np.r_[down, 0.0], nx)
    feed = np.zeros(nx * nz)
    feed[:nz] = 2 * east
    store = np.tile(hold, nx)
    count = nx * nz
    full = np.zeros(count, bool)
    level = np.zeros(count)
    pressure = np.zeros(count)
    diagonal = feed.copy()
    diagonal += right + below
    diagonal[nz:] += right[:-nz]
    diagonal[1:] += below[:-1]
    # The mesh's rows mean and the lowest row.
    time, track = 0.0, []
    columns = 1
    while True:
        # Only the columns that resin has come to matter.
        n = min(count, columns * nz)
        f = full[:n]
        ab = np.zeros((nz + 1, n))
        ab[0] = np.where(f, diagonal[:n], 1.0)
        ab[1, : n - 1] = np.where(f[:-1] & f[1:], -below[: n - 1], 0.0)
        if n > nz:
            ab[nz, : n - nz] = np.where(f[:-nz] & f[nz:], -right[: n - nz], 0.0)
        pressure[:n] = solveh_banded(ab, np.where(f, feed[:n], 0.0), lower=True, check_finite=False)
        flow = feed * (1.0 - pressure)
        step = right[:-nz] * (pressure[:-nz] - pressure[nz:])
        flow[nz:] += step
        flow[:-nz] -= step
        step = below[:-1] * (pressure[:-1] - pressure[1:])
        flow[1:] += step
        flow[:-1] -= step
        front = np.where(~full & (flow > 1e-13 * east[0]))[0]
        if front.size == 0:
            break
        wait = (store[front] - level[front]) / flow[front]
        step = wait.min()
        level[front] += flow[front] * step
        done = front[wait <= step * (1 + 1e-9)]
        full[done] = True
        level[done] = store[done]
        time += step
        share = (level / store).reshape(nx, nz)
        track.append((time, share[:, 0].sum() * dx, share[:, -1].sum() * dx))
        columns = min(nx, int(np.max(np.where(full)[0])) // nz + 2)
        if track[-1][1] > 0.97 * length:
            break
    return np.array(track).T


def layers(stack, half, far):
    def once(stack, nx, upper, lower):
        time, top, bottom = side_view(stack, far * 1.05, nx, upper, lower)
        return np.array([np.interp(half, top, time), np.interp(far, top, time), far - np.interp(far, top, bottom)])

    coarse, fine = once(stack, 150, 2, 8), once(stack, 300, 2, 16)
    # The laminate without flow along it, which is what the closed form of the lag takes for granted.
    across = (*stack[:4], 1e-3 * stack[5], *stack[5:])
    lags = once(across, 150, 2, 8)[2], once(across, 300, 2, 16)[2]
    apart = 100 * np.max(np.abs(np.r_[coarse, lags[0]] / np.r_[fine, lags[1]] - 1))
    print(stack, fine, lags, f"apart {apart:.2f} %", flush=True)
    return [*stack, half, far, *fine, lags[1], apart]


def vent_time(n, side, low, high, opposite):
    """max w / p with unit conductance and store; points at i, j, x = i h from the feed."""
    h = side / n
    i, j = np.meshgrid(np.arange(n + 1), np.arange(n + 1), indexing="ij")
    at = lambda a: np.round(a / h).astype(int)
    held = i == 0
    line = (i == n) & (j >= at(low)) & (j <= at(high)) if opposite else (j == n) & (i >= at(low)) & (i <= at(high))
    place = i * (n + 1) + j
    rows, columns, values = [], [], []
    # Joints of half weight along the edge, a cell's quarter to each point.
    for a, b, weight in [
        (place[:-1, :], place[1:, :], np.where((j[:-1, :] == 0) | (j[:-1, :] == n), 0.5, 1.0)),
        (place[:, :-1], place[:, 1:], np.where((i[:, :-1] == 0) | (i[:, :-1] == n), 0.5, 1.0)),
    ]:
        a, b, w = a.ravel(), b.ravel(), weight.ravel()
        rows += [a, b, a, b]
        columns += [b, a, a, b]
        values += [-w, -w, w, w]
    total = (n + 1) ** 2
    matrix = coo_matrix((np.concatenate(values), (np.concatenate(rows), np.concatenate(columns))), (total, total)).tocsr()
    cell = h * h * np.where((i == 0) | (i == n), 0.5, 1) * np.where((j == 0) | (j == n), 0.5, 1)
    free = ~(held | line).ravel()
    p = held.ravel().astype(float)
    inner = matrix[free][:, free].tocsc()
    right = np.stack([cell.ravel()[free], -(matrix[free] @ p)], axis=1)
    w, p = spsolve(inner, right).T
    return np.max(w / p)


def vent(side, low, high, opposite):
    times = [vent_time(n, side, low, high, opposite) for n in (100, 200, 400)]
    best = 2 * times[2] - times[1]
    before = 2 * times[1] - times[0]
    factor = 0.3 / 9e4 * 0.65 / 3e-11
    print(low, high, opposite, np.array(times) * factor, best * factor, flush=True)
    return [side, low, high, float(opposite), best * factor, 100 * abs(before / best - 1)]


if __name__ == "__main__":
    write("fill_vent.csv", ["side_m", "vent_from_m", "vent_to_m", "opposite", "time_s", "apart_pct"],
          [vent(0.5, 0.2, 0.3, False), vent(0.5, 0.25, 0.35, False), vent(0.5, 0.1, 0.2, False),
           vent(0.5, 0.4, 0.5, False), vent(0.5, 0.2, 0.3, True), vent(0.5, 0.0, 0.1, True)],
          "make_fill.py, five-point differences, mu 0.3, phi 0.65, K 3e-11, dp 9e4")
    # Mesh h, K, phi; laminate h, K along, K through, phi; lengths at which the front in the mesh is looked at.
    stacks = [
        ((1.0e-3, 2e-9, 0.85, 4e-3, 3e-11, 2e-12, 0.65), 0.6, 1.2),
        ((1.0e-3, 2e-9, 0.85, 2e-3, 3e-11, 4e-12, 0.65), 0.4, 0.8),
        ((1.5e-3, 5e-9, 0.90, 6e-3, 1e-10, 1e-11, 0.70), 0.8, 1.6),
        ((0.7e-3, 1e-9, 0.80, 3e-3, 2e-11, 1e-12, 0.60), 0.6, 1.2),
        ((2.0e-3, 3e-9, 0.85, 1e-3, 4e-11, 2e-12, 0.65), 0.4, 0.8),
        ((1.0e-3, 4e-9, 0.85, 8e-3, 4e-11, 8e-12, 0.65), 1.2, 2.4),
    ]
    write("fill_layers.csv",
          ["mesh_thickness", "mesh_permeability", "mesh_porosity", "laminate_thickness", "laminate_permeability",
           "through_permeability", "laminate_porosity", "half", "far", "time_half", "time_far", "lag_far", "lag_across_only", "apart_pct"],
          [layers(*one) for one in stacks], "make_fill.py, cells filled one after the other, seen from the side")
