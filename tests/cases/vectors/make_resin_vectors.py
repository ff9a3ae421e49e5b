"""Writes cure_isothermal.csv and band_source.csv: outside values for the cure law and the moving band of heat.

Both are computed here from the equations alone, with scipy, and share no code with the Rust core.
Run it from any directory:  python3 make_resin_vectors.py
"""

import csv
import math
from pathlib import Path

import scipy
from scipy.integrate import quad, solve_ivp
from scipy.optimize import minimize_scalar
from scipy.special import k0, k0e

HERE = Path(__file__).resolve().parent
SOURCE = f"scipy {scipy.__version__}"

# Amine-cured DGEBA infusion epoxy: Thermochim. Acta, doi 10.1016/j.tca.2015.11.014, Table 5, as quoted
# elsewhere; vitrification factor: our judgement (10 K, 5 K).
GAS = 8.314462618
A1, E1, A2, E2, M, N = 35982.0, 54960.0, 3574.1, 44289.0, 0.39845, 1.5361
TG_UNCURED, TG_ULTIMATE, LAMBDA = -57.0, 91.0, 0.36903
OFFSET, WIDTH = 10.0, 5.0


def glass_transition(alpha):
    return TG_UNCURED + (TG_ULTIMATE - TG_UNCURED) * LAMBDA * alpha / (1.0 - (1.0 - LAMBDA) * alpha)


def rate(alpha, celsius):
    kelvin = celsius + 273.15
    k1 = A1 * math.exp(-E1 / (GAS * kelvin))
    k2 = A2 * math.exp(-E2 / (GAS * kelvin))
    alpha = min(max(alpha, 0.0), 1.0)
    frozen = 1.0 / (1.0 + math.exp((glass_transition(alpha) - celsius - OFFSET) / WIDTH))
    return (k1 + k2 * alpha**M) * (1.0 - alpha) ** N * frozen


def cure_rows():
    for celsius in (15.0, 20.0, 23.0, 25.0, 30.0, 40.0, 50.0, 70.0):
        hours = [0.25, 0.5, 1.0, 2.0, 4.0, 8.0, 16.0, 24.0, 48.0, 168.0, 672.0]
        solution = solve_ivp(
            lambda t, y, c=celsius: [rate(y[0], c)],
            (0.0, hours[-1] * 3600.0),
            [0.0],
            method="Radau",
            rtol=1e-11,
            atol=1e-13,
            first_step=1e-3,
            t_eval=[h * 3600.0 for h in hours],
        )
        assert solution.success, solution.message
        for hour, conversion in zip(hours, solution.y[0]):
            yield [celsius, hour, f"{conversion:.8f}", f"{glass_transition(conversion):.5f}", SOURCE]


def theta(position, length):
    """Integral of exp(-u) K0(|u|) from X - L to X + L, split at its logarithmic singularity."""
    ahead, behind = position + length, length - position
    front = quad(lambda u: math.exp(-u) * k0(u), 0.0, ahead, epsabs=1e-12, epsrel=1e-12, limit=400)[0]
    back = quad(k0e, 0.0, behind, epsabs=1e-12, epsrel=1e-12, limit=400)[0]
    return front + back


def band_rows():
    for length in (0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0):
        best = minimize_scalar(
            lambda x, l=length: -theta(x, l),
            bounds=(-length * (1.0 - 1e-9), 0.0),
            method="bounded",
            options={"xatol": 1e-9 * length},
        )
        assert best.success, best.message
        yield [length, f"{-best.fun:.7f}", f"{best.x / length:.4f}", SOURCE]


def write(name, header, rows):
    with open(HERE / name, "w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(header)
        writer.writerows(rows)


write("cure_isothermal.csv", ["temperature_c", "t_h", "conversion", "glass_transition_c", "source"], cure_rows())
write("band_source.csv", ["half_length", "theta_max", "position_over_half_length", "source"], band_rows())
