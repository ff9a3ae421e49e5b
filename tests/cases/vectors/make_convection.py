"""Rewrites convection.csv: still air from CoolProp, Nusselt numbers from the `ht` library.

The laminar form of Churchill and Chu, which `ht` does not have, is written out here with CoolProp's air.

Needs: pip install CoolProp ht. Run: python3 make_convection.py
"""
from importlib.metadata import version
from pathlib import Path

from CoolProp.CoolProp import PropsSI
from ht.conv_free_immersed import Nu_horizontal_plate_McAdams, Nu_vertical_plate_Churchill

rows = ["surface_k,air_k,size_m,conductivity,viscosity,prandtl,rayleigh,vertical,vertical_laminar,facing_up,source"]
SOURCE = f"CoolProp {version('CoolProp')}; ht {version('ht')}: Churchill and Chu for all Ra, McAdams"
for surface, air in [(306.15, 296.15), (336.15, 296.15), (283.15, 273.15), (360.0, 290.0), (301.15, 299.15)]:
    for size in [0.03, 0.08, 0.2, 0.5]:
        film = (surface + air) / 2
        get = lambda what: PropsSI(what, "T", film, "P", 101325, "Air")
        k, nu, pr = get("L"), get("V") / get("D"), get("PRANDTL")
        gr = 9.80665 * (surface - air) / film * size**3 / nu**2
        wall = Nu_vertical_plate_Churchill(Pr=pr, Gr=gr) * k / size
        laminar = (0.68 + 0.670 * (gr * pr) ** 0.25 / (1 + (0.492 / pr) ** (9 / 16)) ** (4 / 9)) * k / size
        plate = Nu_horizontal_plate_McAdams(Pr=pr, Gr=gr, buoyancy=True) * k / size
        rows.append(",".join(f"{x:.7g}" for x in (surface, air, size, k, nu, pr, gr * pr, wall, laminar, plate)) + f",{SOURCE}")
Path(__file__).with_name("convection.csv").write_text("\n".join(rows) + "\n")
