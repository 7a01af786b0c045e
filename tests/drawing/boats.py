"""Boats for the drawing tests: a sloop placed by hand, written as a sketch; panels of any number of ways."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import Any

from engine.drawing.layout import lay_out
from engine.library.device import Library, load_library
from engine.library.symbol import Symbol, load_symbols
from engine.model.document import Document
from engine.model.network import Part
from engine.model.sheets import Place, Sheet
from engine.sketch import read_sketch

CIRCUITS = (
    ("navigation_light", "Running lights", 1.5, 10, 11.0),
    ("navigation_light", "Steaming light", 0.5, 10, 14.0),
    ("navigation_light", "Anchor light", 0.5, 10, 18.0),
    ("navigation_light", "Tricolour", 0.8, 10, 18.0),
    ("electronics", "Instruments", 2.0, 5, 5.0),
    ("electronics", "Plotter", 4.0, 10, 5.0),
    ("radio", "VHF", 6.0, 10, 3.0),
    ("load_dc", "Autopilot", 10.0, 15, 6.0),
    ("lamp", "Compass light", 0.1, 5, 4.0),
    ("lamp", "Cabin lights port", 3.0, 10, 6.0),
    ("lamp", "Cabin lights starboard", 3.0, 10, 6.0),
    ("lamp", "Cabin lights forward", 1.5, 10, 8.0),
    ("pump", "Water pump", 7.0, 15, 4.0),
    ("pump", "Shower sump", 4.0, 10, 6.0),
    ("refrigerator", "Refrigerator", 6.0, 15, 3.0),
    ("load_dc", "Stereo", 5.0, 10, 4.0),
    ("dc_outlet", "12 V outlets", 10.0, 15, 5.0),
    ("bilge_pump", "Bilge pump manual", 5.0, 10, 3.0),
    ("heater", "Heater", 9.0, 15, 5.0),
)


@lru_cache(maxsize=1)
def library() -> Library:
    """The program's devices."""
    return load_library()


@lru_cache(maxsize=1)
def symbols() -> Mapping[str, Symbol]:
    """The program's symbols."""
    return load_symbols()


def ways_text(count: int) -> str:
    """Ways of a panel: the circuits, then spares."""
    lines = []
    for number in range(1, count + 1):
        if number <= len(CIRCUITS):
            _, label, _, rating, _ = CIRCUITS[number - 1]
            lines.append(f'  {number} fuse {rating}/20 A "{label}"')
        elif number == len(CIRCUITS) + 1:
            lines.append(f'  {number} fuse ?/20 A prepared "Cut-out at the helm"')
        else:
            lines.append(f"  {number} fuse ?/20 A spare")
    return "\n".join(lines)


def circuits_text(count: int) -> str:
    """Loads and runs of the panel A1."""
    lines = []
    for number, (kind, label, running, _, length) in enumerate(CIRCUITS[:count], 1):
        lines.append(f'E{number} {kind} "{label}" running_a={running}')
        lines.append(f"{100 + number}: A1.{number} - E{number}.supply +- 14 AWG RD,YE {length} m")
    return "\n".join(lines)


QUILL = f"""
boat "Quill 34" model="Quill 34" yard="Quillan Bay" rules=us fuel=diesel engine=inboard units=us drawn_by="T. Arden" \
date=2026-05-04 drawing_number=QB34-E-001 revision=A
G1 battery "Start battery" nominal_v=12 capacity_ah=80 cca_a=600
G2 battery "House bank" nominal_v=12 capacity_ah=200 cca_a=1800
G3 alternator "Alternator" rated_a=60
T1 shore_charger "Shore charger" output_a=30
F1 fuse_post 80 A
F2 fuse_post 200 A
Q1 battery_switch "Start switch"
Q2 battery_switch "House switch"
M1 engine_starter "Starter" cranking_a=240
W1 bus_positive "Positive bus 1" studs=5 battery_number=1 rating_a=150
W2 bus_positive "Positive bus 2" studs=8 battery_number=2 rating_a=250
W3 bus_positive "House bus" studs=4 rating_a=250
W4 bus_negative "DC ground bus" studs=10 rating_a=250
K1 combining_relay "Combining relay"
F3 fuse_bolt 40 A
F4 fuse_bolt 40 A
F5 fuse_bolt 80 A "Panel feed"
F6 breaker 100 A "Windlass"
F7 fuse_bolt 80 A "Alternator"
F8 fuse_bolt 40 A "Charger"
F9 fuse_bolt 40 A "Charger"
F10 fuse_blade 30 A "24-hour circuits"
R1 shunt "House shunt"
XG main_ground_point "Main ground point"
M2 windlass "Windlass" running_a=85
A1 dc_panel "DC panel" bus_a=100
{ways_text(24)}
{circuits_text(19)}
1: G1.pos - Q1.in + 2/0 AWG RD 1.2 m cranking
2: Q1.out - M1.pos + 2/0 AWG RD 2.4 m cranking
3: G1.pos - F1.a + 6 AWG RD 0.5 m
4: F1.b - W1.s1 + 6 AWG RD 0.3 m
5: G2.pos - F2.a + 2/0 AWG RD 0.4 m
6: F2.b - W2.s1 + 2/0 AWG RD 1.0 m
7: W2.s2 - Q2.in + 2/0 AWG RD 0.6 m
8: Q2.out - W3.s1 + 2/0 AWG RD 0.4 m
9: W3.s2 - F5.a + 2 AWG RD 0.1 m
10: F5.b - A1.feed + 2 AWG RD 3.4 m
11: W4.s7 - A1.neg - 2 AWG YE 3.4 m
12: W3.s3 - F6.a + 1/0 AWG RD 0.1 m
13: F6.b - M2.supply + 1/0 AWG RD 9.0 m
14: W4.s8 - M2.neg - 1/0 AWG YE 9.0 m
15: W1.s3 - F3.a + 6 AWG RD 0.3 m
16: F3.b - K1.a + 6 AWG RD 0.5 m
17: K1.b - F4.a + 6 AWG RD 0.5 m
18: F4.b - W2.s3 + 6 AWG RD 0.3 m
19: G3.bplus - F7.a + 6 AWG RD 2.6 m
20: F7.b - W2.s4 + 6 AWG RD 0.2 m
21: T1.out1 - F8.a + 8 AWG RD 2.3 m
22: F8.b - W1.s4 + 8 AWG RD 0.2 m
23: T1.out2 - F9.a + 8 AWG RD 1.9 m
24: F9.b - W2.s5 + 8 AWG RD 0.2 m
25: G1.neg - W4.s1 - 2/0 AWG YE 1.5 m
26: G2.neg - R1.batt - 2/0 AWG YE 0.5 m
27: R1.bus - W4.s2 - 2/0 AWG YE 0.5 m
28: W4.s3 - XG.neg - 2/0 AWG YE 1.2 m
29: T1.neg - W4.s4 - 8 AWG YE 1.6 m
30: K1.neg - W4.s5 - 16 AWG YE 1.0 m
31: W2.s6 - F10.a + 10 AWG RD 0.1 m
X1 shore_inlet "Shore inlet 30 A" service_a=30
F20 rcbo "Main, 30 mA" rating_a=30 residual_ma=30
L1 galvanic_isolator "Galvanic isolator"
A2 ac_panel "AC panel" bus_a=30
  1 breaker 15 A "Charger"
  2 breaker 15 A 5 mA "Galley outlets"
  3 breaker 15 A 5 mA "Cabin outlets"
  4 breaker 15 A "Water heater"
  5 breaker ? A spare
  6 breaker ? A spare
X2 ac_outlet_residual "Galley outlets" residual_ma=5
X3 ac_outlet_residual "Cabin outlets" residual_ma=5
E40 water_heater "Water heater" power_w=1500
201: X1.boat - F20.a L,N,PE 10 AWG BK,WH,GN 2.6 m
202: F20.b - L1.shore L,N,PE 10 AWG BK,WH,GN 0.3 m
203: L1.boat - A2.feed L,N,PE 10 AWG BK,WH,GN 2.0 m
204: A2.1 - T1.ac L,N,PE 14 AWG BK,WH,GN 3.0 m
205: A2.2 - X2.supply L,N,PE 12 AWG BK,WH,GN 4.0 m
206: A2.3 - X3.supply L,N,PE 12 AWG BK,WH,GN 6.0 m
207: A2.4 - E40.supply L,N,PE 12 AWG BK,WH,GN 3.0 m
"""

QUILL_DC: dict[str, tuple[Any, ...]] = {
    "G1": (45, 55), "G2": (45, 115), "F1": (75, 55), "F2": (75, 115), "Q1": (95, 30), "M1": (150, 30),
    "W1": (110, 55), "W2": (150, 95), "F3": (127.5, 65), "K1": (127.5, 85, 90), "F4": (127.5, 105),
    "Q2": (172.5, 100), "W3": (195, 90), "F5": (212.5, 40), "F6": (212.5, 100), "G3": (45, 150), "F7": (110, 150),
    "T1": (45, 180), "F8": (75, 172.5), "F9": (110, 180), "F10": (172.5, 120), "R1": (75, 210), "XG": (165, 240),
    "W4": (90, 225, 90), "A1": (240, 20, 0, False, 200), "M2": (222.5, 205),
}  # fmt: skip
"""Designation: x, y (mm), rotation."""


def document_of(text: str, *sheets: tuple[str, str, Mapping[str, tuple[Any, ...]]]) -> Document:
    """A sketch with places: each sheet is (title, format, designation: (x, y, rotation, mirrored))."""
    from msgspec.structs import replace

    made = read_sketch(text, library())
    parts = {part.designation: part for part in made.network.parts}
    listed = tuple(
        Sheet(
            id=f"s{n}", title=title, format=paper, places=tuple(_place(parts[name], *at) for name, at in spots.items())
        )
        for n, (title, paper, spots) in enumerate(sheets, 1)
    )
    return replace(made, sheets=listed)


def _place(
    part: Part, x: float, y: float, rotation: Any = 0, mirrored: bool = False, height: float | None = None
) -> Place:
    return Place(part=part.id, x_mm=x, y_mm=y, rotation=rotation, mirrored=mirrored, height_mm=height)


def quill() -> Document:
    """The sloop on two sheets."""
    loads = {f"E{n}": (357.5, 50 + 7.5 * (n - 1)) for n in range(1, 20)}
    ac = {"X1": (50, 60), "F20": (80, 60), "L1": (110, 60), "A2": (140, 40), "X2": (290, 80), "X3": (290, 95),
          "E40": (290, 110), "T1": (290, 60)}  # fmt: skip
    return document_of(QUILL, ("Direct current", "A3", QUILL_DC | loads), ("Alternating current", "A3", ac))


def panel_boat(ways: int = 20, loads: int = 18) -> Document:
    """A panel on an A3 sheet, a load in line with each way, a feed with its fuse."""
    text = f"""
boat "Quill 26 Launch" yard="Quillan Bay" rules=us fuel=petrol engine=inboard units=us drawing_number=QB26-E-002
G1 battery "Battery" nominal_v=12 capacity_ah=100
F1 fuse_post 100 A
A1 dc_panel "DC panel" bus_a=100
{ways_text(ways)}
{circuits_text(loads)}
1: G1.pos - F1.a + 2 AWG RD 0.2 m
2: F1.b - A1.feed + 2 AWG RD 2.0 m
3: G1.neg - A1.neg - 2 AWG YE 2.2 m
"""
    spots: dict[str, tuple[Any, ...]] = {"G1": (50, 40), "F1": (90, 40), "A1": (140, 15)}
    spots |= {f"E{n}": (320, 45 + 10 * (n - 1)) for n in range(1, loads + 1)}
    return document_of(text, ("Panel", "A3", spots))


def two_sheets() -> Document:
    """A battery on one sheet whose fuse stands on the next; the bus stands on both."""
    text = """
boat "Marguerite" rules=iso units=metric
G1 battery "House bank" capacity_ah=100
F1 fuse_bolt 100 A
W1 bus_positive "Positive bus" studs=4
E1 load_dc "Heater" running_a=9
1: G1.pos - F1.a + 35 mm2 RD 0.5 m
2: F1.b - W1.s1 + 35 mm2 RD 0.5 m
3: W1.s2 - E1.supply + 4 mm2 RD 6 m
4: E1.neg - G1.neg - 4 mm2 BK 6 m
"""
    return document_of(
        text,
        ("Batteries", "A4", {"G1": (60, 100), "W1": (150, 100)}),
        ("Loads", "A4", {"F1": (60, 60), "W1": (110, 60), "E1": (150, 65)}),
    )


def knot() -> Document:
    """Loads all round a bus that are joined to it crosswise: hard to lead, no shape fits them all."""
    lines = ["W1 bus_positive studs=12", "W2 bus_negative studs=12"]
    spots: dict[str, tuple[Any, ...]] = {"W1": (150, 90), "W2": (250, 90)}
    for n in range(1, 13):
        lines.append(f'E{n} load_dc "Load {n}" running_a={n}')
        lines.append(f"{n}: W1.s{13 - n} - E{n}.supply + 12 AWG RD 3 m")
        lines.append(f"{20 + n}: E{n}.neg - W2.s{n} - 12 AWG YE 3 m")
        spots[f"E{n}"] = (60 + 280 * (n % 2), 50 + 15 * n, 0, bool(n % 2 == 0))
    return document_of("\n".join(lines), ("Knot", "A3", spots))


def laid_out(text: str = QUILL) -> Document:
    """A sketch placed by the program."""
    return lay_out(read_sketch(text, library()), library(), symbols())


def one_sheet() -> Document:
    """A small boat with both systems on one sheet."""
    text = """
G1 battery "Battery" nominal_v=12 capacity_ah=100
F1 fuse_post 50 A
E1 load_dc "Heater" running_a=9
X1 shore_inlet "Shore inlet" service_a=30 nominal_v=120
F2 rcbo "Main" rating_a=30 residual_ma=30
E2 water_heater "Water heater" power_w=1500
1: G1.pos - F1.a + 6 AWG RD 0.2 m
2: F1.b - E1.supply + 10 AWG RD 4 m
3: E1.neg - G1.neg - 10 AWG YE 4 m
4: X1.boat - F2.a L,N,PE 10 AWG BK,WH,GN 2 m
5: F2.b - E2.supply L,N,PE 12 AWG BK,WH,GN 6 m
"""
    dc = {"G1": (60, 50), "F1": (100, 50), "E1": (180, 50)}
    return document_of(text, ("Both", "A3", dc | {"X1": (60, 150), "F2": (110, 150), "E2": (180, 150)}))
