"""Writes fill_channels.csv: a strip 4 by 1 fed at one end, with an open channel along one of its long sides.

Control volumes about the points of a grid, conductance and store of the cloth one; the channel joins the points along its
side with `conduct` for each unit of slope and holds `hold` for each unit of length. `all`: with nothing dry left the time is
linear, the most of w in -div(a grad w) = c, by a direct solve. `end`: when the front comes to the far end of the channel,
from cells filled one after the other with a direct solve for each. `apart_pct`: two grids of `end`.
Shares no code with the Rust core. Needs numpy and scipy. Run from this folder: python3 make_channels.py
"""
import csv

import numpy as np
import scipy
import scipy.sparse as sp
import scipy.sparse.linalg as linalg

LENGTH, WIDTH = 4.0, 1.0


def strip(n, conduct, hold):
    """Matrix, store of each point, feeds and the far end of the channel on a grid n cells wide."""
    nx, ny = 4 * n, n
    dx, dy = LENGTH / nx, WIDTH / ny
    at = lambda i, j: i * (ny + 1) + j
    ends, weights = [], []
    store = np.zeros((nx + 1) * (ny + 1))
    for i in range(nx + 1):
        for j in range(ny + 1):
            wide = (0.5 if i in (0, nx) else 1.0) * dx
            high = (0.5 if j in (0, ny) else 1.0) * dy
            store[at(i, j)] = wide * high + (hold * wide if j == 0 else 0.0)
            if i < nx:
                ends.append((at(i, j), at(i + 1, j)))
                weights.append(high / dx + (conduct / dx if j == 0 else 0.0))
            if j < ny:
                ends.append((at(i, j), at(i, j + 1)))
                weights.append(wide / dy)
    i, j = np.array(ends).T
    g = np.array(weights)
    size = len(store)
    matrix = sp.csr_matrix((np.r_[g, g, -g, -g], (np.r_[i, j, i, j], np.r_[i, j, j, i])), shape=(size, size))
    return matrix, store, np.arange(ny + 1), at(nx, 0)


def whole(n, conduct, hold):
    matrix, store, feeds, _ = strip(n, conduct, hold)
    free = np.setdiff1d(np.arange(len(store)), feeds)
    return linalg.spsolve(matrix[free][:, free].tocsc(), store[free]).max()


def one_by_one(n, conduct, hold):
    matrix, store, feeds, end = strip(n, conduct, hold)
    full = np.zeros(len(store), bool)
    full[feeds] = True
    filled, time = np.zeros(len(store)), 0.0
    fed = full.copy()
    while not full[end]:
        inner = np.flatnonzero(full & ~fed)
        p = np.zeros(len(store))
        p[feeds] = 1.0
        if len(inner):
            p[inner] = linalg.spsolve(matrix[inner][:, inner].tocsc(), -(matrix[inner][:, feeds].sum(axis=1)).A1)
        flow = -(matrix @ p)
        flow[full] = 0.0
        front = np.flatnonzero(flow > 1e-14)
        step = ((store[front] - filled[front]) / flow[front]).min()
        filled[front] += flow[front] * step
        time += step
        full[front[filled[front] >= store[front] * (1.0 - 1e-9)]] = True
    return time


with open("fill_channels.csv", "w", newline="") as out:
    writer = csv.writer(out)
    writer.writerow(["conduct", "hold", "all", "end", "apart_pct", "source"])
    for conduct, hold in ((0.3, 0.05), (1.0, 0.5), (2.0, 0.2), (5.0, 0.1), (20.0, 0.3)):
        coarse, fine = (one_by_one(n, conduct, hold) for n in (10, 20))
        told = f"scipy {scipy.__version__} make_channels.py, cells filled one after the other"
        row = [conduct, hold, whole(160, conduct, hold), fine, 100.0 * abs(coarse / fine - 1.0)]
        writer.writerow([f"{x:.9g}" for x in row] + [told])
