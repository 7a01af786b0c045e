"""Take any one fuse or breaker out of the Quill 34, thin any one conductor, uncover her AC side: a finding names it.

The boat as she is has no finding at all (test_quill_34), so every finding here comes from what was done to her. "Names
it": the first rule that is broken has the conductor, or the device, among its subjects.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from msgspec.structs import replace

from engine.graph.boat import Boat
from engine.model.network import Enclosure, End, Network, Part, Position, Run
from engine.rules.api import Book
from engine.rules.runner import load_rules, run_rules
from tests.samples.boats import document, library, named, with_part, with_position, with_run

NETWORK: Network = document("quill_34").network
PARTS = {part.designation: part for part in NETWORK.parts}
RUNS = {run.number: run for run in NETWORK.runs}
US: tuple[Book, ...] = ("e11",)
ISO: tuple[Book, ...] = ("iso13297",)

DEVICE_RULES = (
    "unprotected-conductor",
    "oversized-device",
    "distant-device",
    "inlet-without-main",
    "oversized-holder-fuse",
    "oversized-panel-device",
)
SIZE_RULES = (
    "undersized-conductor",
    "oversized-device",
    "oversized-holder-fuse",
    "excessive-voltage-drop",
    "weak-cranking-cable",
    "thin-earth",
    "ungrounded-case",
    "below-minimum-size",
    "distant-device",
)

TOO_THIN: dict[str, tuple[str, str]] = {
    "1": ("2 AWG", "1 AWG"), "2": ("1 AWG", "2/0 AWG"), "3": ("10 AWG", "8 AWG"), "4": ("10 AWG", "8 AWG"),
    "5": ("4 AWG", "2 AWG"), "6": ("2 AWG", "2 AWG"), "7": ("1/0 AWG", "2/0 AWG"), "8": ("1/0 AWG", "2/0 AWG"),
    "9": ("14 AWG", "12 AWG"), "10": ("14 AWG", "12 AWG"), "11": ("14 AWG", "12 AWG"), "12": ("14 AWG", "12 AWG"),
    "13": ("10 AWG", "8 AWG"), "14": ("8 AWG", "6 AWG"), "15": ("16 AWG", "12 AWG"), "16": ("14 AWG", "12 AWG"),
    "17": ("16 AWG", "12 AWG"), "18": ("14 AWG", "12 AWG"), "19": ("16 AWG", "14 AWG"), "20": ("16 AWG", "14 AWG"),
    "21": ("10 AWG", "8 AWG"), "22": ("4 AWG", "4 AWG"), "23": ("8 AWG", "6 AWG"), "24": ("6 AWG", "6 AWG"),
    "31": ("4 AWG", "2 AWG"), "32": ("4 AWG", "2 AWG"), "33": ("2 AWG", "1 AWG"), "34": ("1 AWG", "2/0 AWG"),
    "35": ("1 AWG", "2/0 AWG"), "36": ("10 AWG", "8 AWG"), "37": ("4 AWG", "4 AWG"), "38": ("6 AWG", "6 AWG"),
    "39": ("18 AWG", "18 AWG"), "40": ("14 AWG", "14 AWG"), "41": ("18 AWG", "18 AWG"), "42": ("12 AWG", "18 AWG"),
    "61": ("20 AWG", "18 AWG"), "62": ("16 AWG", "14 AWG"), "63": ("16 AWG", "14 AWG"), "64": ("16 AWG", "14 AWG"),
    "65": ("16 AWG", "14 AWG"), "108": ("10 AWG", "10 AWG"), "120": ("20 AWG", "18 AWG"), "121": ("14 AWG", "14 AWG"),
    "201": ("16 AWG", "14 AWG"), "202": ("16 AWG", "14 AWG"), "203": ("16 AWG", "14 AWG"), "204": ("18 AWG", "16 AWG"),
    "205": ("18 AWG", "16 AWG"), "206": ("18 AWG", "16 AWG"), "207": ("18 AWG", "16 AWG"), "208": ("12 AWG", "12 AWG"),
}  # fmt: skip
"""Wire: the first size, going thinner, that a rule names under the US standard and under ISO. The table was made with the
program, one size at a time, and then gone over by hand: the fuse or current each wire must stand against its allowed
current in its loom and engine space, its voltage drop, or the smallest size. It guards what was found right then."""
BRANCH = ("16 AWG", "14 AWG")
"""The other branches: 20 A carriers, in looms of 7 to 24 conductors (14 AWG: 35 A x 0.5, next standard rating 20 A)."""


def devices() -> Iterator[object]:
    """Every fuse and breaker of the boat: parts, and the ways of panels that lead somewhere."""
    for part in NETWORK.parts:
        if library()[part.kind].role == "protection":
            yield pytest.param(part, None, id=part.designation)
        for position in part.positions:
            if position.state != "spare":
                yield pytest.param(part, position, id=f"{part.designation}.{position.key}")


def without(part: Part, position: Position | None) -> Network:
    """The boat with the device gone and its conductors joined."""
    if position is not None:
        return with_position(NETWORK, part, replace(position, device="none", residual_ma=None))
    is_ac = any("L" in run.poles for run in NETWORK.runs if part.id in (run.a.part, run.b.part))
    joint = replace(part, kind="terminal_block_ac" if is_ac else "terminal_block", values={"studs": 1.0, "cover": True})
    landed = [run for run in NETWORK.runs if part.id in (run.a.part, run.b.part)]
    return with_run(with_part(NETWORK, joint), *(_relanded(run, part.id) for run in landed))


def _relanded(run: Run, part: str) -> Run:
    ends = (End(part=part, port="s1") if end.part == part else end for end in (run.a, run.b))
    a, b = ends
    return replace(run, a=a, b=b)


def beside(part: Part, position: Position | None) -> set[str]:
    """The keys of the device and of the conductors that land on it."""
    ports = {f"p{position.key}"} if position else {"a", "b"}
    keys = {
        f"run:{run.id}" for run in NETWORK.runs for end in (run.a, run.b) if end.part == part.id and end.port in ports
    }
    return keys | {f"position:{part.id}/{position.key}" if position else f"part:{part.id}"}


@pytest.mark.parametrize(("part", "position"), list(devices()))
def test_a_device_that_is_gone_is_missed(part: Part, position: Position | None) -> None:
    gone, keys = without(part, position), beside(part, position)
    assert named(gone, keys, US, DEVICE_RULES)
    assert named(gone, keys, ISO, DEVICE_RULES)


def test_no_device_is_left_out() -> None:
    """Ten fuses and breakers of the battery locker, the shore breaker, 19 and 2 and 5 DC ways, 4 AC ways."""
    assert len(list(devices())) == 10 + 1 + 19 + 2 + 5 + 4


def test_every_wire_is_in_the_table_or_a_branch() -> None:
    assert set(TOO_THIN) <= set(RUNS)
    assert all(number.startswith("1") and len(number) == 3 for number in set(RUNS) - set(TOO_THIN))


@pytest.mark.parametrize("number", list(RUNS))
def test_a_conductor_below_its_need_is_noticed_under_us_rules(number: str) -> None:
    thin = replace(RUNS[number], size=TOO_THIN.get(number, BRANCH)[0])
    assert named(with_run(NETWORK, thin), {f"run:{thin.id}"}, US, SIZE_RULES)


@pytest.mark.parametrize("number", list(RUNS))
def test_a_conductor_below_its_need_is_noticed_under_iso(number: str) -> None:
    thin = replace(RUNS[number], size=TOO_THIN.get(number, BRANCH)[1])
    assert named(with_run(NETWORK, thin), {f"run:{thin.id}"}, ISO, SIZE_RULES)


@pytest.mark.parametrize("number", [number for number, run in RUNS.items() if "PE" in run.poles and len(run.poles) > 1])
def test_an_earth_thinner_than_its_cable_is_noticed(number: str) -> None:
    thin = replace(RUNS[number], pe_size="18 AWG")
    assert named(with_run(NETWORK, thin), {f"run:{thin.id}"}, US, ("thin-earth",))


def with_box(box: str, **changed: object) -> Network:
    boxes = tuple(_changed(each, changed) if each.id == box else each for each in NETWORK.enclosures)
    return replace(NETWORK, enclosures=boxes)


def _changed(box: Enclosure, changed: dict[str, object]) -> Enclosure:
    return replace(box, **changed)


def exposed(network: Network, verdict: str) -> set[str]:
    """What the rules on AC within reach say, by rule."""
    rules = tuple(rule for rule in load_rules() if rule.family == "exposed_ac")
    report = run_rules(Boat(network, library()), US + ISO, rules)
    return {finding.rule.id for finding in report.findings if finding.outcome.verdict == verdict}


@pytest.mark.parametrize("guard", ["none", "hand"])
def test_without_the_guard_the_ac_side_is_exposed(guard: str) -> None:
    assert exposed(with_box("panel", ac_guard=guard), "breaks") == {"exposed-ac-parts"}


def test_the_panel_itself_may_say_that_its_guard_comes_off_by_hand() -> None:
    panel = PARTS["A3"]
    bare = replace(panel, values={**panel.values, "guard_needs_tool": False})
    assert exposed(with_part(NETWORK, bare), "breaks") == {"exposed-ac-parts"}


def test_without_guard_and_partition_ac_lies_beside_dc() -> None:
    bare = with_box("panel", ac_guard="none", partition=False)
    panel = replace(PARTS["A3"], values={**PARTS["A3"].values, "guard_needs_tool": False, "dc_partition": False})
    assert exposed(with_part(bare, panel), "breaks") == {"exposed-ac-parts", "ac-beside-dc"}


def test_the_box_of_the_shore_breaker_left_open_is_exposed() -> None:
    assert exposed(with_box("inlet", opens="hand", ac_guard="none"), "breaks") == {"exposed-ac-parts"}


def test_a_guard_of_which_nothing_is_said_is_no_pass() -> None:
    silent = replace(PARTS["A3"], values={**PARTS["A3"].values, "guard_needs_tool": None})
    assert exposed(with_part(with_box("panel", ac_guard=None), silent), "cannot-tell") == {"exposed-ac-parts"}
