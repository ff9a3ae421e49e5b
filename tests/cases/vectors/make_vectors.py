"""Rewrites the vector files in this folder from two independent libraries.

Needs: pip install CoolProp PsychroLib. Run: python3 make_vectors.py
"""
import csv
from importlib.metadata import version
from pathlib import Path

import CoolProp
import psychrolib
from CoolProp.CoolProp import PropsSI

HERE = Path(__file__).parent
psychrolib.SetUnitSystem(psychrolib.SI)

REFERENCE = f"CoolProp {CoolProp.__version__} (IAPWS-95)"
HANDBOOK = f"PsychroLib {version('PsychroLib')} (ASHRAE Handbook Fundamentals 2017)"

SATURATION_C = [0.01, 2.5, 5, 7.5, 10, 12.5, 15, 17.5, 20, 22.5, 25, 27.5, 30, 35, 40, 45,
                50, 55, 60, 65, 70, 75, 80, 85, 90, 95, 100, 105, 110, 120, 130, 140, 150]
ALTITUDE_M = [-500, -200, 0, 100, 200, 240, 350, 500, 750, 1000, 1250, 1500, 1750, 2000,
              2500, 3000, 3500, 4000, 5000, 6000, 7000, 8000, 9000, 10000, 11000]


def write(name, header, rows):
    with open(HERE / name, "w", newline="", encoding="utf-8") as f:
        out = csv.writer(f, lineterminator="\n")
        out.writerow(header)
        out.writerows(rows)


write(
    "saturation_pressure.csv",
    ["t_c", "p_pa", "source"],
    [(t, f"{PropsSI('P', 'T', t + 273.15, 'Q', 0, 'Water'):.4f}", REFERENCE) for t in SATURATION_C]
    + [(t, f"{psychrolib.GetSatVapPres(t):.4f}", HANDBOOK) for t in SATURATION_C],
)
write(
    "standard_pressure.csv",
    ["altitude_m", "p_pa", "source"],
    [(h, f"{psychrolib.GetStandardAtmPressure(h):.3f}", HANDBOOK) for h in ALTITUDE_M],
)
