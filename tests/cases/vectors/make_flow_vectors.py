"""Writes the flow vectors: mesh_lag.csv, rectangle.csv and bag_factor.csv, each row with its source.

Solves the same equations as the laws by other means: the mesh's travelling wave by integration in its first form,
the rectangle by finite differences, the soft bag as a boundary value problem. Needs numpy and scipy.
Run from this folder: python3 make_flow_vectors.py
"""
import csv

import numpy as np
import scipy
from scipy.integrate import solve_bvp, solve_ivp
from scipy.sparse import diags, eye, kron
from scipy.sparse.linalg import spsolve

VERSION = f"scipy {scipy.__version__}"


def write(name, header, rows, source):
    """One csv file with a source column."""
    with open(name, "w", newline="") as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow(header + ["source"])
        for row in rows:
            out.writerow(list(row) + [f"{VERSION} {source}"])


def lag(ratio):
    """s where zeta = 1 in pi' = R + zeta, zeta zeta' = pi, started from the series at a small s."""
    start = 1e-6
    if ratio > 0:
        # zeta = sqrt(R) s + s^2 / 6, pi = R s + sqrt(R) s^2 / 2 + s^3 / 18
        zeta = np.sqrt(ratio) * start + start**2 / 6
        pi = ratio * start + np.sqrt(ratio) * start**2 / 2 + start**3 / 18
    else:
        zeta, pi = start**2 / 6, start**3 / 18

    def full(_, y):
        return y[1] - 1

    full.terminal = True
    run = solve_ivp(lambda s, y: [ratio + y[1], y[0] / y[1]], (start, 10), [pi, zeta], method="DOP853",
                    rtol=1e-11, atol=1e-16, events=full)
    return run.t_events[0][0]


def centre(ratio):
    """Centre of -w_xx - w_yy = 1 on 1 x ratio, w = 0 on the rim, finite differences, extrapolated twice."""
    def once(n):
        nx, ny = n, n
        hx, hy = 1 / nx, ratio / ny
        dx = diags([-1.0, 2.0, -1.0], [-1, 0, 1], shape=(nx - 1, nx - 1)) / hx**2
        dy = diags([-1.0, 2.0, -1.0], [-1, 0, 1], shape=(ny - 1, ny - 1)) / hy**2
        a = kron(eye(ny - 1), dx) + kron(dy, eye(nx - 1))
        w = spsolve(a.tocsc(), np.ones((nx - 1) * (ny - 1))).reshape(ny - 1, nx - 1)
        return w[ny // 2 - 1, nx // 2 - 1]

    a, b, c = once(40), once(80), once(160)
    ab, bc = b + (b - a) / 3, c + (c - b) / 3
    return bc + (bc - ab) / 15


def bag(fraction, exponent, power, share):
    """Fill time under a soft bag over that of a stiff mould, similarity form, unknown front constant c."""
    phi, m = 1 - fraction, exponent * (1 + power)

    def rate(x, y, p):
        s = np.maximum(1 - y[0], 1e-3)
        slope = y[1] * s**m
        return np.vstack([slope, -p[0] * exponent * s ** (-exponent - 1) * x * slope])

    def ends(left, right, p):
        return np.array([left[0] - share, right[0], right[1] + p[0] * phi])

    x = np.linspace(0, 1, 400)
    c = share / phi
    first = np.vstack([share * (1 - x), -share * np.ones_like(x)])
    run = solve_bvp(rate, ends, x, first, p=[c], tol=1e-9, max_nodes=200000)
    if run.status != 0:
        raise SystemExit(run.message)
    return share / (run.p[0] * phi)


write("mesh_lag.csv", ["R", "f"],
      [(r, f"{lag(r):.8f}") for r in (0, 0.05, 0.1, 0.2, 0.3, 0.5, 1, 2, 5)], "solve_ivp DOP853")
write("rectangle.csv", ["ratio", "centre"],
      [(q, f"{centre(q):.9f}") for q in (1, 1.25, 1.5, 2, 3)], "spsolve finite differences extrapolated")
write("bag_factor.csv", ["fibre_fraction", "exponent", "permeability_exponent", "pressure_share", "factor"],
      [(v, e, b, 0.95, f"{bag(v, e, b, 0.95):.6f}")
       for v, e, b in [(0.35, 0.03, 3), (0.35, 0.06, 3), (0.35, 0.10, 3), (0.35, 0.03, 5), (0.35, 0.06, 5),
                       (0.35, 0.10, 5), (0.45, 0.03, 3), (0.45, 0.06, 3), (0.45, 0.10, 3)]], "solve_bvp")
