"""Rewrites resin_ages.csv: time to fill a strip with pots of several ages, in time rather than in length.

The front y obeys dy/dt = 1 / (2 T sum_k 2^((t - m_k)/d) l_k(y)); followed as u = y^2 from a small start with Radau.
Needs: pip install scipy. Run: python3 make_resin_ages.py
"""
from pathlib import Path

import numpy as np
from scipy.integrate import solve_ivp

CASES = [
    (600.0, 3000.0, [0.0]),
    (3600.0, 3600.0, [0.0, 400.0]),
    (1800.0, 1800.0, [-300.0, 500.0, 2000.0]),
    (1500.0, 2400.0, [-900.0, -600.0, 300.0, 1500.0]),
    (1600.0, 2500.0, [-1200.0, -1200.0, -1200.0, -1200.0, -1200.0]),
]


def filled(thin, every, mixed):
    share = 1.0 / len(mixed)
    start = 1e-10

    def rate(t, u):
        y = np.sqrt(max(u[0], start))
        thick = sum(2 ** (max(t - m, 0.0) / every) * min(max(y - k * share, 0.0), share) for k, m in enumerate(mixed))
        return [y / (thin * thick)]

    def done(_, u):
        return u[0] - 1.0

    done.terminal = True
    found = solve_ivp(rate, (0.0, 3e4), [start], method="Radau", rtol=1e-9, atol=1e-14, events=done, max_step=20.0)
    return found.t_events[0][0]


rows = ["thin_s,doubles_s,filled_s,mixed_at_s..."]
for thin, every, mixed in CASES:
    rows.append(",".join(f"{x:.10g}" for x in (thin, every, filled(thin, every, mixed), *mixed)))
Path(__file__).with_name("resin_ages.csv").write_text("\n".join(rows) + "\n")
