"""The AC side of the sample Quill 34 as a sketch: 120 V 30 A shore, a residual-current main, screwed guard, four circuits."""

from __future__ import annotations

from functools import cache

from engine.graph.boat import Boat
from engine.rules.api import Book, Finding
from engine.rules.runner import load_rules, run_rules
from engine.sketch import read_sketch
from tests.rules.cases import library

BOOKS: tuple[Book, ...] = ("e11", "iso13297")

QUILL = """
boat "Quill 34" rules=us,iso fuel=diesel engine=inboard
space saloon "Saloon" kind=dry
space galley "Galley" kind=galley
space locker "Cockpit locker" kind=dry
box inlet_box "Inlet box" opens=tool ac_guard=none partition=no @locker
box panel "Hinged panel" opens=hand ac_guard=tool partition=yes @saloon
X1 shore_inlet "Shore inlet" service_a=30 nominal_v=120 frequency_hz=60 polarised=yes
F1 rcbo "Shore main" 30 A residual_ma=30 trip_ms=100 trip_free=yes manual_reset=yes in=inlet_box
F2 galvanic_isolator "Galvanic isolator" 30 A fail_safe=yes @locker
A2 ac_panel "AC panel" bus_a=50 guard_needs_tool=yes back_cover=yes in=panel @saloon
  1 breaker 15 A "Charger"
  2 breaker 15 A 5 mA "Galley outlets"
  3 breaker 15 A 5 mA "Cabin outlets"
  4 breaker 15 A "Water heater"
  5 breaker 15 A spare
  6 blank
P1 polarity_indicator "Polarity" impedance_ohm=30000 in=panel
T1 shore_charger "Shore charger" output_a=30 metal_case=yes self_limiting=yes
X2 ac_outlet "Galley outlets" @galley
X3 ac_outlet "Cabin outlets" @saloon
E1 water_heater "Water heater" power_w=1500 nominal_v=120 insulation_class=I
W1 bus_earth "Earth bus" studs=4 in=panel
A1 dc_panel "DC panel" in=panel
  1 fuse 3/20 A "Cabin lights"
G1 battery "House" nominal_v=12
F3 fuse_post "Charger fuse" 40 A
X9 main_ground_point "Main ground"
W1: X1.boat - F1.a L,N,PE 10 AWG BK,WH,GN 2.6 m sheath 105 C
W2: F1.b - F2.shore L,N,PE 10 AWG BK,WH,GN 0.4 m sheath 105 C
W3: F2.boat - A2.feed L,N,PE 10 AWG BK,WH,GN 3 m sheath 105 C
W4: A2.1 - T1.ac L,N,PE 12 AWG BK,WH,GN 2 m sheath 105 C
W5: A2.2 - X2.supply L,N,PE 12 AWG BK,WH,GN 3 m sheath 105 C
W6: A2.3 - X3.supply L,N,PE 12 AWG BK,WH,GN 3 m sheath 105 C
W7: A2.4 - E1.supply L,N,PE 12 AWG BK,WH,GN 4 m sheath 105 C
W8: A2.feed - P1.line L,N,PE 16 AWG BK,WH,GN 0.1 m sheath 105 C
W9: A2.feed - W1.s1 PE 10 AWG GN 0.3 m sheath 105 C
W10: W1.s2 - X9.earth PE 8 AWG GN 3 m sheath 105 C
W11: T1.out1 - F3.b + 8 AWG RD 2 m sheath 105 C
W12: F3.a - G1.pos + 8 AWG RD 0.1 m sheath 105 C
W13: T1.neg - G1.neg - 8 AWG YE 2 m sheath 105 C
W14: T1.case - X9.bond BOND 8 AWG GN 2 m sheath 105 C
W15: G1.neg - X9.neg - 2/0 AWG YE 1 m
"""

YACHT = """
boat "Quill 52" rules=iso,us fuel=diesel engine=inboard
space e "Engine space" kind=engine
space g "Galley" kind=galley
box b1 "Shore box" opens=tool
box b2 "AC cabinet" opens=hand ac_guard=tool partition=yes
X1 shore_inlet "Shore 1" service_a=63 nominal_v=230
F1 breaker_ac_2 "Main" 63 A in=b1
T1 isolation_transformer "Isolator" bonds_neutral=yes input_a=60 output_a=60
F2 rcbo "Shore residual" 63 A residual_ma=30 trip_ms=40 in=b2
G2 generator "Genset" bonds_neutral=yes rated_a=56 self_limiting=yes own_breaker=yes
F3 rcbo "Genset residual" 63 A residual_ma=30 trip_ms=40 in=b1
Q1 ac_selector "Source" 63 A break_before_make=yes in=b2
T2 inverter_charger "Inverter/charger" bonds_neutral=yes metal_case=yes output_a=22
A2 ac_panel "AC panel" in=b2 guard_needs_tool=yes
  1 breaker 16 A 2P "Heater"
  2 breaker 16 A 2P 5 mA "Galley"
  3 breaker 16 A 2P 5 mA "Engine room"
E1 water_heater "Heater" insulation_class=I
X2 ac_outlet "Galley" @g
X3 ac_outlet "Engine room" @e
G1 battery "House" nominal_v=24
F9 fuse_class_t 300 A
X9 main_ground_point
W1 bus_earth in=b2
W1: X1.boat - F1.a L,N,PE 16mm2 0.4 m sheath
W2: F1.b - T1.pri L,N,PE 16mm2 2 m sheath
W3: T1.sec - F2.a L,N,PE 16mm2 0.4 m sheath
W4: F2.b - Q1.in1 L,N,PE 16mm2 1 m
W5: G2.ac - F3.a L,N,PE 16mm2 0.4 m
W6: F3.b - Q1.in2 L,N,PE 16mm2 4 m
W7: Q1.out - T2.acin L,N,PE 16mm2 4 m
W8: T2.acout - A2.feed L,N,PE 16mm2 4 m
W9: A2.1 - E1.supply L,N,PE 2.5mm2 4 m
W10: A2.2 - X2.supply L,N,PE 2.5mm2 4 m
W11: A2.3 - X3.supply L,N,PE 2.5mm2 4 m
W12: A2.feed - W1.s1 PE 16mm2 1 m
W13: W1.s2 - X9.earth PE 16mm2 1 m
W14: G1.neg - X9.neg - 95mm2 1 m
W15: G1.pos - F9.a + 95mm2 0.2 m
W16: F9.b - T2.dc + 95mm2 1 m
W17: T2.neg - G1.neg - 95mm2 1 m
W18: T2.case - X9.bond BOND 95mm2 1 m
W19: G2.case - X9.bond BOND 16mm2 1 m
"""
"""The AC side of a yacht on 230 V: isolation transformer, generator, selector, inverter/charger, two-pole branches."""


def altered(*changes: tuple[str, str], drop: tuple[str, ...] = (), plus: str = "") -> str:
    """The sketch with texts replaced, lines that begin so dropped, and lines added. Each must be there."""
    text = QUILL
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    for start in drop:
        assert f"\n{start}" in text, start
        text = "\n".join(line for line in text.split("\n") if not line.startswith(start))
    return text + plus


@cache
def boat(text: str) -> Boat:
    """The boat of a sketch."""
    return Boat(read_sketch(text, library()).network, library())


@cache
def findings(text: str, books: tuple[Book, ...] = BOOKS) -> tuple[Finding, ...]:
    """Everything the AC rules find."""
    rules = [rule for rule in load_rules() if rule.family in ("ac", "exposed_ac")]
    return run_rules(boat(text), books, rules).findings


def codes(text: str, book: Book) -> set[str]:
    """rule:code of each finding; what cannot be told ends in "?"."""
    return {
        f"{finding.rule.id}:{finding.outcome.code}{'?' if finding.outcome.verdict == 'cannot-tell' else ''}"
        for finding in findings(text, (book,))
    }
