"""The AC side of Quill 34 is silent; each way of breaking it gives the finding a surveyor would write, and no other.

The finding that is expected stands beside each fault; a fault with two expects both.
"""

from __future__ import annotations

import time

import pytest

from engine.graph.boat import Boat
from engine.rules.runner import failed, load_rules, run_rules
from tests.rules.ac.quill import BOOKS, QUILL, YACHT, altered, boat, codes, findings
from tests.rules.cases import library

EXPOSED = "exposed-ac-parts:opens-by-hand"
NO_DEVICE = "no-residual-device:no-device"
NO_MAIN = "inlet-without-main:no-main"
UNEARTHED = "unearthed-case:no-earth"
THIN = "thin-earth:thin"
PLAIN_MAIN = (("F1 rcbo", "F1 breaker_ac_2"), (" residual_ma=30 trip_ms=100", ""))
INVERTER = """
T2 inverter "Inverter" output_a=10 bonds_neutral=yes metal_case=no
W30: T2.ac - A2.feed L,N,PE 12 AWG BK,WH,GN 1 m
W31: G1.pos - T2.dc + 2 AWG RD 1 m
W32: T2.neg - G1.neg - 2 AWG YE 1 m
"""
JOINT = """
W2 bus_neutral in=panel
W20: A2.feed - W2.s1 N 10 AWG WH 0.2 m
W21: W2.s2 - W1.s3 N 10 AWG WH 0.2 m
"""
EARTH_FUSE = "F9 fuse_bolt 30 A\nW16: A2.feed - F9.a PE 10 AWG GN 0.3 m\nW17: F9.b - W1.s1 PE 10 AWG GN 0.3 m\n"

# name: (the boat, codes under E-11, codes under ISO 13297)
FAULTS: dict[str, tuple[str, set[str], set[str]]] = {
    "guard off": (altered(("ac_guard=tool", "ac_guard=none")), {EXPOSED}, {EXPOSED}),
    "guard not known": (
        altered((" ac_guard=tool", ""), (" guard_needs_tool=yes", "")),
        {EXPOSED + "?"},
        {EXPOSED + "?"},
    ),
    "guard comes off by hand": (altered(("ac_guard=tool", "ac_guard=hand")), {EXPOSED}, {EXPOSED}),
    "guard off at the panel": (altered(("guard_needs_tool=yes", "guard_needs_tool=no")), {EXPOSED}, {EXPOSED}),
    "guard and wall off": (
        altered(("ac_guard=tool partition=yes", "ac_guard=none partition=no")),
        {EXPOSED, "ac-beside-dc:nothing-between"},
        {EXPOSED, "ac-beside-dc:nothing-between"},
    ),
    "inlet box opens by hand": (altered(("opens=tool", "opens=hand")), {EXPOSED}, {EXPOSED}),
    "panel back open, in no box": (
        altered(("back_cover=yes in=panel", "back_cover=no")),
        {"exposed-ac-parts:uncovered"},
        {"exposed-ac-parts:uncovered"},
    ),
    "main in no box": (
        altered(("manual_reset=yes in=inlet_box", "manual_reset=yes")),
        {"exposed-ac-parts:uncovered?"},
        {"exposed-ac-parts:uncovered?"},
    ),
    "no residual device": (altered(*PLAIN_MAIN), {NO_DEVICE}, {NO_DEVICE}),
    "no main breaker": (
        altered(("F1 rcbo", "F1 rcd"), (" trip_free=yes manual_reset=yes", "")),
        {NO_MAIN},
        {NO_MAIN},
    ),
    "single-pole main": (
        altered(("F1 rcbo", "F1 breaker_ac"), PLAIN_MAIN[1]),
        {NO_DEVICE, "single-pole-main:single-pole"},
        {NO_DEVICE, "single-pole-main:single-pole"},
    ),
    "main too far": (
        altered(("2.6 m", "3.4 m")),
        {"inlet-without-main:too-far", "no-residual-device:too-far"},
        {"inlet-without-main:too-far"},
    ),
    "feed bare": (altered(("2.6 m sheath", "2.6 m open")), set(), {"inlet-without-main:too-far"}),
    "feed length not known": (
        altered(("2.6 m sheath", "sheath")),
        {"inlet-without-main:too-far?", "no-residual-device:too-far?"},
        {"inlet-without-main:too-far?"},
    ),
    "main too large": (altered(('Shore main" 30 A', 'Shore main" 50 A')), {"main-over-service:over-service"}, set()),
    "residual device too coarse": (
        altered(("residual_ma=30", "residual_ma=100")),
        {"no-residual-device:too-coarse"},
        {"no-residual-device:too-coarse"},
    ),
    "residual device too slow": (
        altered(("trip_ms=100", "trip_ms=300")),
        {"no-residual-device:too-slow"},
        {"no-residual-device:too-slow"},
    ),
    "galley outlets without their own": (
        altered(('5 mA "Galley', '"Galley')),
        {"outlet-without-residual:unprotected"},
        {"outlet-without-residual:unprotected"},
    ),
    "galley outlets with ten": (
        altered(('5 mA "Galley', '10 mA "Galley')),
        {"outlet-without-residual:unprotected"},
        set(),
    ),
    "heater ahead of the main": (
        altered(("W7: A2.4 - E1", "W7: F1.a - E1")),
        {NO_MAIN, "no-residual-device:before-device"},
        {NO_MAIN, "no-residual-device:before-device"},
    ),
    "earth of the inlet not connected": (
        altered(("F1.a L,N,PE 10 AWG BK,WH,GN", "F1.a L,N 10 AWG BK,WH")),
        {UNEARTHED, "earth-not-tied:not-tied"},
        {UNEARTHED, "earth-not-tied:not-tied"},
    ),
    "earth not tied to the main ground": (
        altered(drop=("W10:",)),
        {"earth-not-tied:not-tied"},
        {"earth-not-tied:not-tied"},
    ),
    "earth through a fuse": (
        altered(drop=("W9:",), plus=EARTH_FUSE),
        {"switched-earth:switched"},
        {"switched-earth:switched"},
    ),
    "neutral joined to earth": (
        altered(plus=JOINT),
        {"neutral-earthed-aboard:joined-on-shore"},
        {"neutral-earthed-aboard:joined-on-shore"},
    ),
    "earth core thin": (
        altered(("X3.supply L,N,PE 12 AWG BK,WH,GN", 'X3.supply L,N,PE 12 AWG BK,WH,GN pe="14 AWG"')),
        {THIN},
        {THIN},
    ),
    "earth of its own thin": (altered(("W1.s1 PE 10 AWG", "W1.s1 PE 12 AWG")), {THIN}, {THIN}),
    "no polarity indicator": (
        altered(("bus_a=50", "bus_a=50 polarity_indicator=no"), drop=("P1 polarity", "W8:")),
        {"polarity-not-shown:no-indicator"},
        {"polarity-not-shown:no-indicator"},
    ),
    "unpolarised inlet": (altered(("polarised=yes", "polarised=no")), set(), {"polarity-not-shown:unpolarised"}),
    "leaky indicator": (altered(("30000", "10000")), {"polarity-not-shown:leaky-indicator"}, set()),
    "isolator too small": (
        altered(('isolator" 30 A', 'isolator" 16 A')),
        {"galvanic-isolator-unfit:underrated"},
        set(),
    ),
    "isolator fails open": (
        altered(("fail_safe=yes", "fail_safe=no")),
        {"galvanic-isolator-unfit:fails-unseen"},
        {"galvanic-isolator-unfit:fails-open"},
    ),
    "isolator bypassed": (
        altered(plus="W22: F1.b - W1.s4 PE 10 AWG GN 1 m\n"),
        {"galvanic-isolator-unfit:bypassed"},
        {"galvanic-isolator-unfit:bypassed"},
    ),
    "charger case not grounded": (altered(drop=("W14:",)), {"ungrounded-case:no-ground"}, set()),
    "charger case ground thin": (altered(("BOND 8 AWG", "BOND 12 AWG")), {"ungrounded-case:thin-ground"}, set()),
    "inverter on the panel": (
        altered(plus=INVERTER),
        {"ac-sources-meet:meet", "neutral-earthed-aboard:joined-on-shore", "shared-neutral:shared"},
        {"ac-sources-meet:meet", "neutral-earthed-aboard:joined-on-shore", "shared-neutral:shared"},
    ),
}
FOR_EARTHS = {"W4": "T1", "W5": "X2", "W6": "X3", "W7": "E1", "W2": "A2", "W3": "A2"}
FIELDS = (
    "service_a=30", "trip_ms=100", "residual_ma=30", "impedance_ohm=30000", "fail_safe=yes", "metal_case=yes",
    "ac_guard=tool", "partition=yes", "polarised=yes", "opens=hand", "opens=tool", "guard_needs_tool=yes",
    "insulation_class=I", "2.6 m", "sheath", "in=inlet_box", "@galley", "30 A",
)  # fmt: skip


def test_it_is_silent() -> None:
    assert findings(QUILL) == ()


def test_a_yacht_with_transformer_generator_and_inverter_is_silent() -> None:
    assert findings(YACHT) == ()


YACHT_FAULTS = {
    "generator without residual device": (
        ("F3 rcbo", "F3 breaker_ac_2"), (" residual_ma=30 trip_ms=40 in=b1", " in=b1"), "no-residual-device:no-device"
    ),
    "genset neutral not earthed": (
        ("G2 generator \"Genset\" bonds_neutral=yes", "G2 generator \"Genset\" bonds_neutral=no"), None,
        "neutral-not-earthed-once:not-earthed",
    ),
    "the inverter's joint not known": (
        ("charger\" bonds_neutral=yes", "charger\""), None, "neutral-not-earthed-once:not-earthed?"
    ),
    "the shield tied to the boat's earth": (
        ("W19:", "W20: T1.shield - W1.s3 PE 16mm2 1 m\nW19:"), None, "transformer-unfit:earths-joined"
    ),
    "the generator across the inverter's output": (
        ("W19:", "W20: F3.b - T2.acout L,N,PE 16mm2 1 m\nW19:"), None, "ac-sources-meet:meet"
    ),
    "selector makes first": (("break_before_make=yes", "break_before_make=no"), None, "ac-sources-meet:makes-first"),
    "primary held too high": (("input_a=60", "input_a=40"), None, "transformer-unfit:primary-over"),
}  # fmt: skip


@pytest.mark.parametrize("name", YACHT_FAULTS)
def test_each_fault_of_the_yacht_is_found(name: str) -> None:
    first, second, code = YACHT_FAULTS[name]
    text = YACHT
    for change in (first, second):
        if change is not None:
            assert change[0] in text
            text = text.replace(*change, 1)
    assert code in codes(text, "iso13297")


@pytest.mark.parametrize("name", FAULTS)
def test_each_fault_gives_its_finding_and_no_other(name: str) -> None:
    text, e11, iso = FAULTS[name]
    assert codes(text, "e11") == e11
    assert codes(text, "iso13297") == iso


@pytest.mark.parametrize("run", FOR_EARTHS)
def test_every_earth_that_is_cut_names_the_device(run: str) -> None:
    lines = [line for line in QUILL.split("\n") if line.startswith(f"{run}:")]
    text = altered((lines[0], lines[0].replace("L,N,PE", "L,N").replace("BK,WH,GN", "BK,WH")))
    found = [finding for finding in findings(text) if finding.rule.id == "unearthed-case"]
    first = boat(text).parts[found[0].outcome.subjects[0].removeprefix("part:")]
    assert first.designation == FOR_EARTHS[run]
    assert all(finding.outcome.verdict == "breaks" for finding in found)


@pytest.mark.parametrize("field", FIELDS)
def test_not_knowing_a_field_never_mends_a_fault(field: str) -> None:
    """With the field taken out, the broken rule still has something to say: for every third fault, to keep this short."""
    for name in list(FAULTS)[FIELDS.index(field) % 3 :: 3]:
        text = FAULTS[name][0]
        before = {finding.rule.id for finding in findings(text, ("e11",))}
        after = {finding.rule.id for finding in findings(text.replace(field, ""), ("e11",))}
        assert before <= after, (name, field)


def test_a_witness_is_there_to_draw() -> None:
    found = [each for each in findings(altered(plus=INVERTER)) if each.rule.id == "ac-sources-meet"]
    assert all("inverting" in str(finding.outcome.values["position"]) for finding in found)
    assert all(len(finding.outcome.path) > 2 for finding in found)


def selectors(count: int) -> str:
    """The boat with a generator and an inverter fed through a chain of selectors, each of which chooses one of two."""
    lines = ['G2 generator "Generator" bonds_neutral=yes rated_a=40', 'T2 inverter "Inverter" bonds_neutral=yes']
    lines += ["W40: G2.ac - Q1.in1 L,N,PE 10 AWG 0.1 m", "W41: T2.ac - Q1.in2 L,N,PE 10 AWG 0.1 m"]
    for n in range(1, count + 1):
        lines += [f"Q{n} ac_selector break_before_make=yes in=panel"]
        if n > 1:
            lines += [f"V{n}: Q{n - 1}.out - Q{n}.in1 L,N,PE 10 AWG 1 m", f"U{n}: Q1.out - Q{n}.in2 L,N,PE 10 AWG 1 m"]
    return altered(
        plus="\n".join(lines) + f"\nE9 load_ac insulation_class=I\nW43: Q{count}.out - E9.supply L,N,PE 10 AWG 1 m\n"
    )


@pytest.mark.parametrize("count", [12, 30])
def test_many_switches_are_searched_in_time(count: int) -> None:
    text = selectors(count)
    rules = [rule for rule in load_rules() if rule.family in ("ac", "exposed_ac")]
    fresh = Boat(boat(text).network, library())
    assert fresh.held_fitted
    start = time.perf_counter()
    report = run_rules(fresh, BOOKS, rules)
    taken_s = time.perf_counter() - start
    assert not any(failed(finding) for finding in report.findings)
    assert "ac-sources-meet" not in {finding.rule.id for finding in report.findings}
    assert taken_s < 0.5  # a slow machine under load; on a quiet one it is under 0.02 for 12
