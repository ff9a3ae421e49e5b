"""Rewrites the drying tables in this folder: an oven that breathes or is shut, and a bag with a path and a bleed.

Written from the equations with scipy: vapour as an ideal gas over IAPWS-95 saturation pressure (CoolProp), the wood
isotherm of Hailwood and Horrobin as the Wood Handbook prints it, turned round by bisection.
Needs: pip install scipy CoolProp. Run: python3 make_drying.py
"""
import csv
from importlib.metadata import version
from pathlib import Path

import numpy as np
from CoolProp.CoolProp import PropsSI
from scipy.integrate import solve_ivp
from scipy.interpolate import CubicSpline
from scipy.optimize import brentq

HERE = Path(__file__).parent
SOURCE = f"scipy {version('scipy')} (LSODA and Radau); CoolProp {version('CoolProp')} (IAPWS-95)"
R_VAPOUR = 8.314462618 / 18.015268e-3
SCALE = 0.70

# ln p_sat by a spline through the reference equation, for speed: 0.01 to 110 degrees.
_T = np.linspace(273.16, 384.0, 400)
_LN_P = CubicSpline(_T, [np.log(PropsSI("P", "T", t, "Q", 0, "Water")) for t in _T])


def p_sat(t):
    return float(np.exp(_LN_P(t)))


def wood(t, h):
    """Moisture of wood per dry mass, Wood Handbook eq. 4-5."""
    c = t - 273.15
    w = 349 + 1.29 * c + 0.0135 * c**2
    k = 0.805 + 7.36e-4 * c - 2.73e-6 * c**2
    k1 = 6.27 - 9.38e-3 * c - 3.03e-4 * c**2
    k2 = 1.91 + 4.07e-2 * c - 2.93e-4 * c**2
    kh = k * h
    both = k1 * kh + k1 * k2 * kh**2
    return 18.0 / w * (kh / (1 - kh) + (both + k1 * k2 * kh**2) / (1 + both))


def humidity(t, m):
    """Relative humidity in balance with a moisture of wood."""
    if m <= 0:
        return 0.0
    if m >= wood(t, 1.0):
        return 1.0
    return brentq(lambda h: wood(t, h) - m, 0.0, 1.0, xtol=1e-13)


def oven(mass, height, faces, factor, cover, film, hot, heated, start, room):
    """Seconds to 3, 2, 1.5 and 1 % (-1: never), and the regain after half an hour and after two."""
    full_hot = p_sat(hot) / (R_VAPOUR * hot)

    def outside(m):
        held = heated * full_hot
        if room > 0:
            held += mass * (start - m) / room
        return min(max(held, 0.0), full_hot)

    def rate(_, y):
        m, t = y
        between = (hot + t) / 2
        diffusivity = 2.26e-5 * (between / 273.15) ** 1.81
        air = 101325 / (287.05 * between)
        mass_transfer = film / (air * 1006 * 0.87 ** (2 / 3))
        resistance = 1 / mass_transfer + (factor * height / faces / 3 + cover) / diffusivity
        surface = humidity(t, m / SCALE) * p_sat(t) / (R_VAPOUR * t)
        dm = -faces * (surface - outside(m)) / resistance / mass
        vapour = outside(m) * R_VAPOUR * hot
        rest = SCALE * wood(t, min(vapour / p_sat(t), 1.0))
        fibre = abs(m - rest) / (180 * np.exp(3000 * (1 / t - 1 / 293.15)))
        dm = np.sign(dm) * min(abs(dm), fibre)
        heat = (2501 - 2.37 * (t - 273.15) + 300) * 1e3
        dt = (faces * film * (hot - t) / mass + dm * heat) / (1350 + 4190 * m)
        return [dm, dt]

    later = solve_ivp(rate, [0, 7200], [start, 293.15], method="LSODA", rtol=1e-8, atol=[1e-10, 1e-6],
                      t_eval=[1800, 7200])
    assert later.success, later.message
    return crossed(rate, [start, 293.15], 3e5, "LSODA") + [float(m) for m in later.y[0]]


def bag(mass, area, around, heat_in, speed, ultimate, conductance, bleed, start):
    """The same under a bag; conductance in (Q + bleed) = c (p_far^2 - p_vent^2), 0 for no path in the way."""

    def swept(over):
        def gap(q):
            vent = ultimate + (q + bleed) / speed
            far = vent
            if conductance > 0:
                far = np.sqrt(vent**2 + (q + bleed) / conductance)
            return q * far - over * (q + bleed)

        high = speed * over
        if bleed == 0:
            # Vapour alone: the far pressure is that over the cloth.
            if over <= ultimate:
                return 0.0
            return brentq(lambda q: gap(q) / q, 1e-14 * high, high, xtol=1e-18, rtol=1e-14)
        return brentq(gap, 0.0, high, xtol=1e-18, rtol=1e-14)

    def rate(_, y):
        m, t = y
        t = min(max(t, 273.16), 384.0)
        over = humidity(t, m / SCALE) * p_sat(t)
        leaves = swept(over) / (R_VAPOUR * t)
        heat = (2501 - 2.37 * (t - 273.15) + 300) * 1e3
        dt = (heat_in * area * (around - t) - leaves * heat) / (mass * (1350 + 4190 * m))
        return [-leaves / mass, dt]

    return crossed(rate, [start, around], 1.5e6, "Radau")


def crossed(rate, first, longest, method):
    levels = [0.03, 0.02, 0.015, 0.01]
    events = []
    for level in levels:
        event = lambda _, y, level=level: y[0] - level
        event.direction = -1
        events.append(event)
    events[-1].terminal = True
    found = solve_ivp(rate, [0, longest], first, method=method, rtol=1e-8, atol=[1e-10, 1e-6],
                      events=events, max_step=longest / 20, first_step=1e-3)
    assert found.success, found.message
    return [float(e[0]) if len(e) else -1.0 for e in found.t_events]


def write(name, header, rows):
    with open(HERE / name, "w", newline="", encoding="utf-8") as f:
        out = csv.writer(f, lineterminator="\n")
        out.writerow(header)
        out.writerows(rows)


START = SCALE * wood(293.15, 0.5)
TIMES = ["s_3", "s_2", "s_15", "s_1"]

rows = []
for plies, faces, celsius, film, cover, room, humid in [
    (1, 2, 60, 6, 0, 0, 0.5), (1, 2, 80, 20, 0, 0, 0.5), (4, 2, 60, 6, 0, 0, 0.5), (4, 2, 80, 6, 0, 0, 0.5),
    (10, 2, 60, 6, 0, 0, 0.5), (10, 2, 60, 20, 0, 0, 0.5), (10, 1, 60, 6, 0, 0, 0.5), (10, 1, 80, 6, 0, 0, 0.5),
    (20, 2, 60, 6, 0, 0, 0.5), (20, 2, 80, 20, 0, 0, 0.5), (10, 2, 50, 6, 0, 0, 0.7), (10, 2, 105, 6, 0, 0, 0.7),
    (4, 2, 60, 6, 0.02, 0, 0.5), (10, 1, 80, 20, 0.1, 0, 0.5), (10, 1, 80, 20, 1.0, 0, 0.5),
    (4, 2, 60, 6, 0, 1.0, 0.5), (4, 2, 80, 20, 0, 0.3, 0.5), (1, 2, 80, 20, 0, 1.0, 0.5), (4, 2, 105, 6, 0, 2.0, 0.5), (10, 2, 80, 6, 0, 0.5, 0.5), (10, 1, 100, 20, 0, 0.2, 0.5),
    (10, 2, 60, 6, 0, 1.0, 0.5), (2, 1, 70, 6, 0.05, 0.5, 0.3),
]:
    hot = celsius + 273.15
    heated = humid * p_sat(293.15) / p_sat(hot)
    mass, height = round(0.277 * plies, 6), round(0.7e-3 * plies, 7)
    times = oven(mass, height, faces, 3.0, cover, film, hot, heated, START, room)
    rows.append([mass, height, faces, cover, film, celsius, humid, room, f"{START:.9f}", *[f"{t:.4f}" for t in times[:4]],
                 *[f"{m:.8f}" for m in times[4:]], SOURCE])
write("drying_oven.csv",
      ["dry_areal_mass", "height", "faces_open", "cover", "film", "oven_c", "room_humidity", "room_per_area", "start_regain",
       *TIMES, "m_1800", "m_7200", "source"], rows)

rows = []
for celsius, kh, length, ultimate, bleed in [
    (20, 0, 0.5, 100, 0), (40, 0, 0.5, 100, 0), (60, 0, 0.5, 100, 0), (80, 0, 0.5, 100, 0),
    (40, 3e-12, 0.5, 100, 0), (60, 3e-12, 0.5, 100, 0), (80, 3e-12, 0.5, 100, 0), (60, 1e-13, 0.5, 100, 0),
    (80, 1e-13, 0.5, 100, 0), (60, 3e-12, 0.25, 100, 0), (30, 0, 0.5, 500, 0),
    (20, 0, 0.5, 500, 1.0), (20, 0, 0.5, 100, 0.3), (40, 3e-12, 0.5, 100, 0.05), (40, 3e-12, 0.5, 500, 0.2),
    (30, 0, 0.5, 2000, 3.0), (60, 1e-13, 0.5, 100, 0.02), (60, 3e-11, 1.0, 100, 1.0),
]:
    conductance = kh * 1.0 / (2 * 9.8e-6 * length)
    times = bag(2.77, 1.0, celsius + 273.15, 10.0, 10 / 3600, ultimate, conductance, bleed, START)
    rows.append([celsius, kh, length, ultimate, bleed, f"{START:.9f}", *[f"{t:.3f}" for t in times], SOURCE])
write("drying_bag.csv",
      ["celsius", "transmissivity", "length", "ultimate", "bleed", "start_regain", *TIMES, "source"], rows)
