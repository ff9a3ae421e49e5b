#!/usr/bin/env python3
"""Makes the drawings in this folder, as general drawing libraries write them, and `areas.toml` with what each holds.

Made with ezdxf 1.4.5, dxfwrite 1.2.2, svgwrite 1.4.3, drawsvg 2.4.2, svg.py 1.10.0, svgpathtools 1.8.0, matplotlib 3.11.2,
shapely 2.2.0 (areas), trimesh 5.2.0, numpy-stl 4.1.1 and meshio 5.3.5. The areas come from formulas or from shapely on the
same corners, never from what is under test. Run it in an empty folder; only meshio writes a date.
"""
import io, math, os, struct
import drawsvg, ezdxf, matplotlib, meshio, numpy as np, svg, svgpathtools, svgwrite, trimesh
from dxfwrite import DXFEngine
from ezdxf.addons.r12writer import r12writer
from shapely.geometry import Point, Polygon, box
from shapely.ops import unary_union
from stl import Mode, mesh as stlmesh

ezdxf.options.write_fixed_meta_data_for_testing = True
matplotlib.use("svg")
matplotlib.rcParams["svg.hashsalt"] = "bastwork"
import matplotlib.pyplot as plt

rows = []
PI = math.pi
ELL = [(0, 0), (400, 0), (400, 150), (150, 150), (150, 300), (0, 300)]
BLADE = [(0, 40), (120, 0), (420, 10), (500, 70), (420, 130), (120, 140), (0, 100)]
area = lambda pts: abs(Polygon(pts).area)


def keep(name, area_mm2, lib, holes=0, unit="", taps=0, measure=None):
    rows.append((name, unit, area_mm2, holes, taps, measure, lib))


# ---- SVG ------------------------------------------------------------------------------------------------------------
def svgw(name, draw, area_mm2, size=("600mm", "400mm"), view="0 0 600 400", profile="full", **kw):
    d = svgwrite.Drawing(name, size=size, profile=profile, **({"viewBox": view} if view else {}))
    draw(d)
    d.save()
    keep(name, area_mm2, "svgwrite", **kw)


line = dict(fill="none", stroke="black")
svgw("sw_rect.svg", lambda d: d.add(d.rect((20, 20), (500, 300), **line)), 150000)
svgw("sw_holes.svg", lambda d: [d.add(d.rect((20, 20), (500, 300), **line)), d.add(d.circle((120, 120), 30, **line)), d.add(d.ellipse((350, 170), (80, 40), **line))], 150000 - PI * 900 - PI * 3200, holes=2)
svgw("sw_rounded.svg", lambda d: d.add(d.rect((20, 20), (500, 300), 40, 40)), 150000 - (4 - PI) * 1600)
svgw("sw_ell.svg", lambda d: d.add(d.polygon(ELL, **line)), area(ELL))
svgw("sw_polyline_filled.svg", lambda d: d.add(d.polyline(BLADE, fill="#777")), area(BLADE))
svgw("sw_path_without_z.svg", lambda d: d.add(d.path("M20 20 H520 V320 H20", fill="gray")), 150000)
svgw("sw_path_gap.svg", lambda d: d.add(d.path("M20 20 H520 V320 H20 V20.8", **line)), 150000)
svgw("sw_arcs.svg", lambda d: d.add(d.path("M100 100 H400 A80 80 0 0 1 400 260 H100 A80 80 0 0 1 100 100 Z", **line)), 300 * 160 + PI * 6400)
svgw("sw_cubic.svg", lambda d: d.add(d.path("M50 300 C50 100 450 100 450 300 Z", **line)), 0.6 * 400 * 200)
svgw("sw_quad.svg", lambda d: d.add(d.path("M50 300 Q250 20 450 300 Z", **line)), 2 / 3 * 400 * 140)


def use(d):
    d.defs.add(d.rect((0, 0), (300, 200), id="plate"))
    d.add(d.use("#plate", (40, 30)))


def use_scaled(d):
    g = d.defs.add(d.g(id="blade"))
    g.add(d.polygon(BLADE, **line))
    u = d.use("#blade")
    u.translate(60, 40)
    u.scale(0.5, 0.5)
    d.add(u)


def symbol(d):
    s = d.symbol(id="s")
    s.viewbox(0, 0, 40, 30)
    s.add(d.rect((0, 0), (40, 30), **line))
    d.defs.add(s)
    d.add(d.use("#s", (10, 10), (400, 300)))


def nested(d):
    n = d.svg(insert=(50, 50), size=(400, 300))
    n.viewbox(0, 0, 40, 30)
    n.add(d.polygon([(0, 0), (40, 0), (40, 30), (20, 15), (0, 30)], **line))
    d.add(n)


def classes(d):
    d.defs.add(d.style(".off{display:none} .sheet{fill:none;stroke:#999} .cut{fill:none;stroke:#f00}"))
    d.add(d.rect((0, 0), (600, 400), class_="off"))
    d.add(d.rect((40, 40), (300, 200), class_="cut"))


def groups(d):
    g = d.add(d.g(transform="translate(100 80) rotate(20) scale(0.8)"))
    g.add(d.polygon(ELL, **line))


def background(colour):
    def draw(d):
        d.add(d.rect((0, 0), (600, 400), fill=colour))
        d.add(d.polygon(BLADE, fill="#204080"))
    return draw


def background_percent(d):
    d.add(d.rect((0, 0), ("100%", "100%"), fill="#f4f0e0"))
    d.add(d.polygon(ELL, fill="#204080"))


def overlap(d):
    d.add(d.rect((20, 20), (300, 200)))
    d.add(d.rect((220, 120), (300, 200)))


def frame(d):
    d.add(d.rect((0, 0), (420, 297), **line))
    d.add(d.rect((20, 10), (390, 277), **line))
    d.add(d.line((220, 287), (220, 257), **line))
    d.add(d.line((220, 257), (410, 257), **line))
    d.add(d.line((300, 257), (300, 287), **line))
    d.add(d.polygon([(x / 2 + 60, y / 2 + 80) for x, y in BLADE], **line))
    d.add(d.circle((150, 115), 12, **line))
    d.add(d.text("Blade", (225, 275)))


svgw("sw_use.svg", use, 60000)
svgw("sw_use_scaled.svg", use_scaled, area(BLADE) / 4)
svgw("sw_symbol.svg", symbol, 120000)
svgw("sw_nested.svg", nested, 120000 - 30000)
svgw("sw_class_hidden.svg", classes, 60000)
svgw("sw_group_turned.svg", groups, area(ELL) * 0.64)
svgw("sw_background.svg", background("#fdf6e3"), area(BLADE))
svgw("sw_background_black.svg", background("black"), area(BLADE))
svgw("sw_background_percent.svg", background_percent, area(ELL))
svgw("sw_overlap.svg", overlap, 2 * 60000 - 100 * 100)
svgw("sw_frame.svg", frame, area(BLADE) / 4 - PI * 144, holes=1, size=("420mm", "297mm"), view="0 0 420 297")
svgw("sw_split.svg", lambda d: [d.add(d.rect((20, 20), (500, 300), **line)), d.add(d.line((270, 20), (270, 320), **line))], 150000)
svgw("sw_px_96.svg", lambda d: d.add(d.rect((96, 96), (960, 480), **line)), 254 * 127, size=(1200, 800), view="0 0 1200 800", unit="px")
svgw("sw_px_72.svg", lambda d: d.add(d.rect((72, 72), (720, 360), **line)), 254 * 127, size=(1200, 800), view="0 0 1200 800", unit="pt")
svgw("sw_side_measures.svg", lambda d: d.add(d.polygon(ELL, **line)), area(ELL) * 4, size=(1200, 800), view="0 0 1200 800", measure=(0, 800))
svgw("sw_inches.svg", lambda d: d.add(d.rect((1, 1), (20, 10), **line)), 200 * 25.4 ** 2, size=("24in", "12in"), view="0 0 24 12")
svgw("sw_tiny_profile.svg", lambda d: d.add(d.polygon(BLADE)), area(BLADE), profile="tiny")
svgw("sw_page_fit.svg", lambda d: [d.add(d.rect((0, 0), (600, 400), **line)), d.add(d.circle((300, 200), 100, **line))], 240000 - PI * 1e4, holes=1)
svgw("sw_overrun.svg", lambda d: [d.add(d.line(a, b, **line)) for a, b in [((15, 20), (526, 20)), ((520, 12), (520, 330)), ((530, 320), (10, 320)), ((20, 325), (20, 15))]], 150000)


def dsvg(name, draw, area_mm2, lib="drawsvg", **kw):
    d = drawsvg.Drawing(600, 400, origin=(0, 0))
    draw(d)
    d.save_svg(name)
    keep(name, area_mm2, lib, **({"unit": "mm"} | kw))


dsvg("ds_rect.svg", lambda d: d.append(drawsvg.Rectangle(10, 10, 400, 200, fill="none", stroke="black")), 80000)
dsvg("ds_circle.svg", lambda d: d.append(drawsvg.Circle(300, 200, 150, fill="none", stroke="black")), PI * 22500)
dsvg("ds_lines.svg", lambda d: d.append(drawsvg.Lines(*[c for p in ELL for c in p], close=True, fill="none", stroke="black")), area(ELL))
dsvg("ds_path.svg", lambda d: d.append(drawsvg.Path(fill="#c96").M(50, 50).L(450, 50).Q(550, 200, 450, 350).L(50, 350)), 400 * 300 + 2 / 3 * 300 * 50)
dsvg("ds_arc.svg", lambda d: d.append(drawsvg.Arc(300, 200, 150, 0, 180, fill="#999")), PI * 22500 / 2)


def ds_use(d):
    r = drawsvg.Rectangle(0, 0, 200, 100, fill="black")
    d.append(drawsvg.Use(r, 50, 60))


def ds_ring(d):
    d.append(drawsvg.Circle(300, 200, 150, fill="black"))
    d.append(drawsvg.Circle(300, 200, 60, fill="white"))


dsvg("ds_use.svg", ds_use, 20000)
dsvg("ds_ring.svg", ds_ring, PI * (22500 - 3600), holes=1)
dsvg("ds_background.svg", lambda d: [d.append(drawsvg.Rectangle(0, 0, 600, 400, fill="#eef")), d.append(drawsvg.Rectangle(100, 100, 300, 200, fill="#234"))], 60000)


def spy(name, elements, area_mm2, **kw):
    d = svg.SVG(width=svg.mm(600), height=svg.mm(400), viewBox=svg.ViewBoxSpec(0, 0, 600, 400), elements=elements)
    open(name, "w").write(str(d))
    keep(name, area_mm2, "svg.py", **kw)


spy("sp_rect.svg", [svg.Rect(x=10, y=10, width=400, height=200, fill="none", stroke="black")], 80000)
spy("sp_path.svg", [svg.Path(d=[svg.M(10, 10), svg.H(410), svg.V(210), svg.h(-400), svg.Z()])], 80000)
spy("sp_smooth.svg", [svg.Path(d=[svg.M(0, 100), svg.C(0, 150, 100, 150, 100, 100), svg.S(200, 50, 200, 100), svg.V(400), svg.H(0), svg.Z()])], 200 * 300)
spy("sp_two_loops.svg", [svg.Path(d=[svg.M(10, 10), svg.h(400), svg.v(300), svg.h(-400), svg.Z(), svg.m(100, 100), svg.v(100), svg.h(150), svg.v(-100), svg.Z()], fill_rule="evenodd")], 120000 - 15000, holes=1)
spy("sp_nested.svg", [svg.SVG(x=50, y=50, width=300, height=200, viewBox=svg.ViewBoxSpec(0, 0, 3, 2), elements=[svg.Rect(width=3, height=2)])], 60000)
spy("sp_dash_axes.svg", [svg.Rect(x=10, y=10, width=400, height=200, fill="none", stroke="black"), svg.Line(x1=0, y1=110, x2=430, y2=110, stroke="black", stroke_dasharray=[12, 3, 3, 3])], 80000)

svgpathtools.wsvg([svgpathtools.Path(svgpathtools.CubicBezier(0, 200j, 400 + 200j, 400), svgpathtools.Line(400, 0))], filename="pt_cubic.svg", colors=["black"], stroke_widths=[1], svg_attributes={"viewBox": "-50 -50 600 400", "width": "600mm", "height": "400mm"})
keep("pt_cubic.svg", 0.6 * 400 * 200, "svgpathtools")
svgpathtools.wsvg([svgpathtools.Line(complex(*a), complex(*b)) for a, b in zip(ELL, ELL[1:] + ELL[:1])], filename="pt_lines.svg", colors=["black"] * 6, stroke_widths=[1] * 6, svg_attributes={"viewBox": "-50 -50 600 400", "width": "600mm", "height": "400mm"})
keep("pt_lines.svg", area(ELL), "svgpathtools")


def mpl(name, draw, area_mm2, **kw):
    # One unit of the axes is one mm; the figure is as large as the axes.
    fig = plt.figure(figsize=(600 / 25.4, 400 / 25.4))
    ax = fig.add_axes([0, 0, 1, 1])
    ax.set_xlim(0, 600)
    ax.set_ylim(0, 400)
    ax.axis("off")
    draw(ax)
    fig.savefig(name, metadata={"Date": None, "Creator": None, "Format": None, "Type": None})
    plt.close(fig)
    keep(name, area_mm2, "matplotlib", **kw)


mpl("mp_polygon.svg", lambda ax: ax.add_patch(plt.Polygon(ELL, fill=False)), area(ELL))
mpl("mp_filled.svg", lambda ax: ax.add_patch(plt.Polygon(BLADE, color="#336699")), area(BLADE))
mpl("mp_circle.svg", lambda ax: ax.add_patch(plt.Circle((300, 200), 150, fill=False)), PI * 22500)
mpl("mp_holes.svg", lambda ax: [ax.add_patch(plt.Rectangle((50, 50), 500, 300, fill=False)), ax.add_patch(plt.Circle((200, 200), 60, fill=False))], 150000 - PI * 3600, holes=1)
mpl("mp_plot.svg", lambda ax: ax.plot(*zip(*(ELL + ELL[:1])), color="k"), area(ELL))

# ---- DXF ------------------------------------------------------------------------------------------------------------


def dxf(name, draw, area_mm2, version="R12", units=4, **kw):
    doc = ezdxf.new(version, units=units)
    draw(doc.modelspace(), doc)
    doc.header["$INSUNITS"] = units
    doc.saveas(name)
    # A file of that age does not say its unit.
    if version == "R12" and "measure" not in kw:
        kw.setdefault("unit", "mm")
    keep(name, area_mm2, f"ezdxf, {version}", **kw)


def rect(m, x, y, w, h, **a):
    m.add_polyline2d([(x, y), (x + w, y), (x + w, y + h), (x, y + h)], close=True, dxfattribs=a)


def lines(m, pts, **a):
    for p, q in zip(pts, pts[1:] + pts[:1]):
        m.add_line(p, q, dxfattribs=a)


dxf("ez_polyline.dxf", lambda m, d: rect(m, 0, 0, 500, 300), 150000)
dxf("ez_lines.dxf", lambda m, d: lines(m, ELL), area(ELL))
dxf("ez_circle_holes.dxf", lambda m, d: [m.add_circle((0, 0), 200), m.add_circle((80, 0), 20), m.add_circle((-80, 0), 20)], PI * (40000 - 800), holes=2)
dxf("ez_stadium.dxf", lambda m, d: [m.add_line((0, 0), (200, 0)), m.add_arc((200, 50), 50, 270, 90), m.add_line((200, 100), (0, 100)), m.add_arc((0, 50), 50, 90, 270)], 20000 + PI * 2500)
dxf("ez_bulge.dxf", lambda m, d: m.add_polyline2d([(0, 0, 0), (300, 0, 1), (300, 100, 0), (0, 100, 1)], format="xyb", close=True), 30000 + PI * 2500)
dxf("ez_inch_header_mm.dxf", lambda m, d: rect(m, 0, 0, 500, 300), 150000, units=1, unit="mm", version="R2000")
dxf("ez_inches.dxf", lambda m, d: rect(m, 0, 0, 20, 10), 200 * 25.4 ** 2, units=1, version="R2000")
dxf("ez_metres.dxf", lambda m, d: rect(m, 0, 0, 1.2, 0.6), 720000, units=6, version="R2000")
dxf("ez_no_unit.dxf", lambda m, d: rect(m, 0, 0, 50, 30), 150000, units=0, unit="cm")
dxf("ez_side_measures.dxf", lambda m, d: lines(m, ELL), area(ELL) / 4, units=0, measure=(1, 150))


def dxf_frame(m, d):
    d.layers.add("FRAME")
    rect(m, 0, 0, 420, 297, layer="FRAME")
    rect(m, 20, 10, 390, 277, layer="FRAME")
    lines(m, [(230, 10), (410, 10), (410, 66), (230, 66)], layer="FRAME")
    m.add_text("Blade", dxfattribs={"layer": "FRAME"}).set_placement((240, 30))
    lines(m, [(x / 2 + 60, y / 2 + 120) for x, y in BLADE])


def dxf_frame_plain(m, d):
    rect(m, 0, 0, 594, 420)
    lines(m, [(x + 50, y + 100) for x, y in ELL])
    m.add_circle((120, 170), 25)


def dxf_frame_odd(m, d):
    # Neither a standard size nor a name: nothing but the eye can tell.
    rect(m, 0, 0, 700, 400)
    rect(m, 100, 100, 300, 200)


def title_block(m, d):
    rect(m, 0, 0, 841, 594)
    for y in (20, 40, 60):
        m.add_line((661, y), (841, y))
    m.add_line((661, 0), (661, 60))
    m.add_line((751, 0), (751, 60))
    rect(m, 100, 150, 500, 300)
    m.add_circle((200, 300), 40)


dxf("ez_frame.dxf", dxf_frame, area(BLADE) / 4)
dxf("ez_frame_plain.dxf", dxf_frame_plain, area(ELL) - PI * 625, holes=1)
dxf("ez_frame_odd.dxf", dxf_frame_odd, 60000, taps=1)
dxf("ez_title_block.dxf", title_block, 150000 - PI * 1600, holes=1)
dxf("ez_overrun.dxf", lambda m, d: [m.add_line((-4, 0), (505, 0)), m.add_line((500, -6), (500, 309)), m.add_line((507, 300), (-3, 300)), m.add_line((0, 302), (0, -5))], 150000)
dxf("ez_gap.dxf", lambda m, d: [m.add_line((0, 0), (500, 0)), m.add_line((500, 0), (500, 300)), m.add_line((500, 300), (0, 300)), m.add_line((0, 300), (0, 0.8))], 150000)
dxf("ez_short_corner.dxf", lambda m, d: [m.add_line((0.6, 0), (505, 0)), m.add_line((500, -6), (500, 309)), m.add_line((507, 300), (-3, 300)), m.add_line((0, 302), (0, -5))], 150000)
dxf("ez_split.dxf", lambda m, d: [rect(m, 0, 0, 500, 300), m.add_line((200, 0), (260, 300))], 150000)
dxf("ez_split_tap.dxf", lambda m, d: [rect(m, 0, 0, 500, 300), m.add_line((200, 0), (200, 300))], 90000, taps=1)
dxf("ez_shared_edges.dxf", lambda m, d: [rect(m, 0, 0, 200, 300), rect(m, 200, 0, 300, 300)], 150000)
dxf("ez_overlap.dxf", lambda m, d: [rect(m, 0, 0, 300, 200), rect(m, 200, 100, 300, 200)], 110000)
dxf("ez_doubled.dxf", lambda m, d: [lines(m, ELL), lines(m, ELL)], area(ELL))


def centres(m, d):
    d.linetypes.add("CENTER", [2.0, 1.25, -0.25, 0.25, -0.25])
    d.layers.add("AXES", linetype="CENTER")
    rect(m, 0, 0, 500, 300)
    m.add_circle((250, 150), 60)
    m.add_line((-20, 150), (520, 150), dxfattribs={"layer": "AXES"})
    m.add_line((250, -20), (250, 320), dxfattribs={"layer": "AXES"})
    m.add_circle((250, 150), 100, dxfattribs={"layer": "AXES"})


def hidden(m, d):
    d.layers.add("OFF").off()
    rect(m, -100, -100, 900, 700, layer="OFF")
    rect(m, 0, 0, 500, 300)


def block(m, d):
    b = d.blocks.new("PLATE")
    b.add_lwpolyline([(0, 0), (250, 0), (250, 150), (0, 150)], close=True) if d.dxfversion != "AC1009" else rect(b, 0, 0, 250, 150)
    m.add_blockref("PLATE", (100, 50), dxfattribs={"xscale": 2, "yscale": 2, "rotation": 30})


dxf("ez_centre_lines.dxf", centres, 150000 - PI * 3600, holes=1)
dxf("ez_layer_off.dxf", hidden, 150000)
dxf("ez_block.dxf", block, 150000)
dxf("ez_solid.dxf", lambda m, d: m.add_solid([(0, 0), (400, 0), (0, 200), (400, 200)]), 80000)
dxf("ez_defpoints.dxf", lambda m, d: [rect(m, -100, -100, 900, 700, layer="Defpoints"), rect(m, 0, 0, 500, 300)], 150000)


def smooth(points, closed):
    """Area of the cubic spline through points over their chords, by scipy."""
    from scipy.interpolate import CubicSpline
    p = np.array(points + points[:1] if closed else points, float)
    t = np.concatenate([[0], np.cumsum(np.hypot(*np.diff(p, axis=0).T))])
    s = CubicSpline(t, p, bc_type="periodic" if closed else "natural")
    x, y = s(np.linspace(0, t[-1], 20001)).T
    return abs(np.sum(x[:-1] * y[1:] - x[1:] * y[:-1])) / 2


FIT = [(0, 0), (150, -40), (330, 20), (360, 160), (200, 240), (20, 180)]


def spline_fit(m, d):
    s = m.add_spline()
    s.fit_points = FIT + FIT[:1]
    s.closed = True


def spline_open(m, d):
    m.add_spline(fit_points=[(0, 0), (100, 120), (220, 150), (400, 0)])
    m.add_line((400, 0), (0, 0))


def paper(m, d):
    p = d.paperspace()
    p.add_lwpolyline([(0, 0), (200, 0), (200, 100), (0, 100)], close=True)


def hatch(m, d):
    h = m.add_hatch()
    h.paths.add_polyline_path([(0, 0), (400, 0), (400, 200), (0, 200)], is_closed=True)


def hatch_edges(m, d):
    h = m.add_hatch()
    e = h.paths.add_edge_path()
    e.add_line((0, 0), (300, 0))
    e.add_arc((300, 100), 100, 270, 90, ccw=True)
    e.add_line((300, 200), (0, 200))
    e.add_line((0, 200), (0, 0))


dxf("ez_spline_fit.dxf", spline_fit, smooth(FIT, True), version="R2000")
dxf("ez_spline_open.dxf", spline_open, smooth([(0, 0), (100, 120), (220, 150), (400, 0)], False), version="R2000")
dxf("ez_paper.dxf", paper, 20000, version="R2000")
dxf("ez_hatch.dxf", hatch, 80000, version="R2000")
dxf("ez_hatch_edges.dxf", hatch_edges, 60000 + PI * 5000, version="R2000")
dxf("ez_lwpolyline.dxf", lambda m, d: m.add_lwpolyline([(0, 0, 0), (300, 0, 0.5), (300, 200, 0), (0, 200, 0)], format="xyb", close=True), 60000 + (lambda a, r: r * r * (a - math.sin(a)) / 2)(4 * math.atan(0.5), 200 * 1.25 / 2), version="R2018")
dxf("ez_ellipse.dxf", lambda m, d: m.add_ellipse((0, 0), (200, 0), 0.5), PI * 200 * 100, version="R2010")

with r12writer("r12_lines.dxf") as w:
    for p, q in zip(ELL, ELL[1:] + ELL[:1]):
        w.add_line(p, q)
keep("r12_lines.dxf", area(ELL), "ezdxf r12writer", unit="mm")
with r12writer("r12_polyline.dxf") as w:
    w.add_polyline_2d([(0, 0), (300, 0), (300, 100), (0, 100)], closed=True)
    w.add_circle((100, 50), 20)
keep("r12_polyline.dxf", 30000 - PI * 400, "ezdxf r12writer", holes=1, unit="mm")


def dw(name, draw, area_mm2, **kw):
    d = DXFEngine.drawing(name)
    draw(d)
    d.save()
    keep(name, area_mm2, "dxfwrite", **({"unit": "mm"} | kw))


dw("dw_lines.dxf", lambda d: [d.add(DXFEngine.line(p, q)) for p, q in zip(BLADE, BLADE[1:] + BLADE[:1])], area(BLADE))
dw("dw_polyline.dxf", lambda d: d.add(DXFEngine.polyline(ELL, flags=1)), area(ELL))
dw("dw_rectangle.dxf", lambda d: d.add(DXFEngine.rectangle((0, 0), 400, 200)), 80000)

plane = trimesh.load_path(np.array(ELL + ELL[:1], float))
plane.export("tm_ell.dxf")
keep("tm_ell.dxf", area(ELL), "trimesh", unit="mm")
open("tm_ell.svg", "w").write(trimesh.path.exchange.svg_io.export_svg(plane))
keep("tm_ell.svg", area(ELL), "trimesh", unit="mm")

# ---- Shells ---------------------------------------------------------------------------------------------------------


def grid(f, n, m=None):
    """A sheet over the unit square by its map f, as corners and triangles."""
    m = m or n
    p = np.array([f(i / n, j / m) for j in range(m + 1) for i in range(n + 1)], float)
    at = lambda i, j: j * (n + 1) + i
    t = [t for j in range(m) for i in range(n) for t in ((at(i, j), at(i + 1, j), at(i + 1, j + 1)), (at(i, j), at(i + 1, j + 1), at(i, j + 1)))]
    return p, np.array(t)


def sum_area(p, t):
    a, b, c = (p[t[:, k]] for k in range(3))
    return np.linalg.norm(np.cross(b - a, c - a), axis=1).sum() / 2


half_pipe = lambda u, v: (600 * u, 100 * math.cos(PI * v), 100 * math.sin(PI * v))
saddle = lambda u, v: (400 * u, 400 * v, 60 * ((2 * u - 1) ** 2 - (2 * v - 1) ** 2))
pipe, pipe_t = grid(half_pipe, 2, 16)
sad, sad_t = grid(saddle, 8)


def tm(name, mesh, area_mm2, **kw):
    data = mesh.export(file_type=os.path.splitext(name)[1][1:] if not name.endswith("_ascii.stl") else "stl_ascii")
    if name.endswith(".ply") and "ascii" in name:
        data = trimesh.exchange.ply.export_ply(mesh, encoding="ascii")
    open(name, "wb").write(data if isinstance(data, bytes) else data.encode())
    keep(name, area_mm2, "trimesh", **({"unit": "mm"} | kw))


shell = lambda p, t: trimesh.Trimesh(p, t, process=False)
tm("tm_pipe.stl", shell(pipe, pipe_t), sum_area(pipe, pipe_t))
tm("tm_pipe_ascii.stl", shell(pipe, pipe_t), sum_area(pipe, pipe_t))
tm("tm_saddle.obj", shell(sad, sad_t), sum_area(sad, sad_t))
tm("tm_saddle.ply", shell(sad, sad_t), sum_area(sad, sad_t))
tm("tm_saddle_ascii.ply", shell(sad, sad_t), sum_area(sad, sad_t))
tm("tm_box_solid.stl", trimesh.creation.box((400, 300, 80)), 400 * 300 + 2 * 80 * 700)
tm("tm_metres.obj", shell(sad / 1000, sad_t), sum_area(sad, sad_t), unit="m")
tm("tm_measured.stl", shell(sad / 7, sad_t), sum_area(sad, sad_t), unit="", measure=(0, 400))
plate = trimesh.creation.box((400, 300, 3))
tm("tm_thin_plate.stl", plate, 400 * 300)


def np_stl(name, p, t, area_mm2, mode=Mode.BINARY, spoil=None, **kw):
    m = stlmesh.Mesh(np.zeros(len(t), dtype=stlmesh.Mesh.dtype), name=b"part")
    m.vectors[:] = p[t]
    out = io.BytesIO()
    m.save(name, fh=out, mode=mode, update_normals=True)
    data = out.getvalue()
    # The head of a file of bytes carries the day it was written.
    if mode == Mode.BINARY:
        data = b"part".ljust(80, b" ") + data[80:]
    open(name, "wb").write(spoil(data) if spoil else data)
    keep(name, area_mm2, "numpy-stl", **({"unit": "mm"} | kw))


np_stl("ns_saddle.stl", sad, sad_t, sum_area(sad, sad_t))
np_stl("ns_saddle_ascii.stl", sad, sad_t, sum_area(sad, sad_t), mode=Mode.ASCII)
np_stl("ns_trailing.stl", sad, sad_t, sum_area(sad, sad_t), spoil=lambda b: b + b"\0" * 37)
np_stl("ns_count_zero.stl", sad, sad_t, sum_area(sad, sad_t), spoil=lambda b: b[:80] + struct.pack("<I", 0) + b[84:])
np_stl("ns_comment.stl", sad, sad_t, sum_area(sad, sad_t), mode=Mode.ASCII, spoil=lambda b: b.replace(b"\n", b"\n# exported by hand\n", 1))
jitter = np.concatenate([sad[sad_t].reshape(-1, 3)])
jitter = jitter + np.random.default_rng(3).uniform(-0.001, 0.001, jitter.shape)
np_stl("ns_two_um.stl", jitter, np.arange(len(jitter)).reshape(-1, 3), sum_area(sad, sad_t))
left, left_t = grid(lambda u, v: (200 * u, 300 * v, 0), 4, 7)
right, right_t = grid(lambda u, v: (200 + 200 * u, 300 * v, 30 * u), 4, 11)
both, both_t = np.concatenate([left, right]), np.concatenate([left_t, right_t + len(left)])
np_stl("ns_seam.stl", both, both_t, sum_area(both, both_t))
rib = np.array([(0, 150, 0), (400, 150, 0), (400, 150, 40), (0, 150, 40)], float)
base, base_t = grid(lambda u, v: (400 * u, 300 * v, 0), 1, 2)
ribbed = np.concatenate([base, [rib[2], rib[3]]])
# Corners 2 and 3 of the base lie at its middle.
ribbed_t = np.concatenate([base_t, [(2, 3, 6), (2, 6, 7)]])
np_stl("ns_rib.stl", ribbed, ribbed_t, 400 * 300 + 400 * 40)

for ext in ("stl", "obj", "ply"):
    meshio.write(f"mi_pipe.{ext}", meshio.Mesh(pipe, [("triangle", pipe_t)]), **({"binary": True} if ext != "obj" else {}))
    keep(f"mi_pipe.{ext}", sum_area(pipe, pipe_t), "meshio", unit="mm")

with open("areas.toml", "w") as f:
    f.write("# What each drawing holds; made by make.py, which says how. `unit` is what the maker says, `taps` how many it takes.\n")
    for name, unit, a, holes, taps, measure, lib in sorted(rows):
        f.write(f'\n[[file]]\nname = "{name}"\nunit = "{unit}"\narea_mm2 = {a:.4f}\nholes = {holes}\ntaps = {taps}\n')
        if measure:
            f.write(f"measure = [{measure[0]}, {float(measure[1])}]\n")
        f.write(f'source = "{lib}"\n')
print(len(rows), "files")
