"""The bounds by adding up ohms against the solved network: equal where a boat is a tree with one battery, never beyond it."""

from __future__ import annotations

import subprocess
import sys

import msgspec
import pytest

from engine.graph.boat import Boat
from engine.studies.fault_bounds import alone_sources, lacks_of, least_faults, most_from
from engine.studies.faults import fault_levels
from engine.studies.protection import faults
from tests.rules.cases import boat_of
from tests.samples.boats import analysis
from tests.studies.test_curves import PANEL
from tests.studies.test_faults import BANK
from tests.studies.test_selectivity import RING as WIRES_IN_A_RING
from tests.studies.test_selectivity import boat_with
from tests.studies.test_trace import RING

SELECTOR = """
X1 shore_inlet service_a=16 nominal_v=230
G1 generator nominal_v=230 rated_a=20
S1 ac_selector
W1: X1.boat - S1.in1 L,N,PE 2.5 mm2 1 m
W2: G1.ac - S1.in2 L,N,PE 2.5 mm2 1 m
"""


def pairs(boat: Boat) -> list[tuple[float, float]]:
    """(bound, the network's smallest) for every core that both know."""
    known = faults(boat)
    found: dict[tuple[str, str], float] = {}
    for each in least_faults(boat):
        key = (each.run, each.pole)
        found[key] = min(found.get(key, float("inf")), each.current_a)
    return [(amps, known[key].least_a) for key, amps in found.items() if key in known]


@pytest.mark.parametrize("sketch", [BANK, PANEL])
def test_of_a_tree_the_bound_is_the_current_itself(sketch: str) -> None:
    found = pairs(boat_of(sketch))
    assert len(found) >= 3
    for bound, exact in found:
        assert bound == pytest.approx(exact, rel=1e-6)


def test_the_launch_too() -> None:
    """Two dozen cores, a selector, an alternator that is no source by itself."""
    found = pairs(analysis("quill_26_launch").boat)
    assert len(found) > 20
    assert all(bound == pytest.approx(exact, rel=1e-6) for bound, exact in found)


def test_the_wire_that_closes_a_ring_is_bounded_as_well() -> None:
    """No way with the fewest edges uses it; its far end is the one with the more ohms."""
    boat = boat_of(WIRES_IN_A_RING)
    assert {boat.runs[each.run].number for each in least_faults(boat)} >= {"1", "2", "3", "4", "6"}
    assert all(0 < bound <= exact * (1 + 1e-6) for bound, exact in pairs(boat))


def test_in_a_ring_and_with_two_banks_it_lies_below() -> None:
    """A further way in parallel only adds current (Rayleigh). The Quill 34 has two banks and one negative bus."""
    for boat in (boat_of(RING), analysis("quill_34").boat):
        found = pairs(boat)
        assert found
        assert all(0 < bound <= exact * (1 + 1e-6) for bound, exact in found)


def test_everything_at_once_gives_less_than_the_sum_of_all() -> None:
    for name in ("quill_34", "quill_26_launch", "marguerite_as_built"):
        boat = analysis(name).boat
        levels = [level.most_a for node, level in fault_levels(boat).items() if node[2] == "+"]
        assert max(levels) <= most_from(boat) * (1 + 1e-9)


def test_the_devices_on_the_way_are_those_of_the_network() -> None:
    boat = boat_with("fuse_bolt 100/100 A", "fuse_blade 10/30 A")
    for each in least_faults(boat):
        assert each.guards == tuple(guard.key for guard in faults(boat)[each.run, each.pole].guards)


def test_a_length_nobody_knows_gives_no_current_and_names_the_field() -> None:
    boat = boat_of(BANK.replace("2.5 mm2 RD 5 m", "2.5 mm2 RD"))
    run = next(run for run in boat.network.runs if run.number == "3")
    found = next(each for each in least_faults(boat) if each.run == run.id)
    assert (found.current_a, lacks_of(boat, found)) == (0.0, (f"run:{run.id} length_m",))


def test_a_size_that_cannot_be_read_gives_no_current_and_names_the_field() -> None:
    """Its ohms were left out of the sum, and nothing was said."""
    boat = boat_of(BANK)
    run = next(run for run in boat.network.runs if run.number == "3")
    runs = tuple(msgspec.structs.replace(each, size="thick") if each is run else each for each in boat.network.runs)
    odd = Boat(msgspec.structs.replace(boat.network, runs=runs), boat.library)
    found = next(each for each in least_faults(odd) if each.run == run.id)
    assert (found.current_a, lacks_of(odd, found)) == (0.0, (f"run:{run.id} size",))


def test_no_way_leads_through_both_sides_of_a_selector() -> None:
    """From the generator through the selector to the inlet nothing flows: its contacts are never closed together."""
    boat = boat_of(SELECTOR)
    reached = {
        alone.source.supply.part.designation: {node[0] for node in alone.trail.at} for alone in alone_sources(boat)
    }
    ids = {part.designation: part.id for part in boat.network.parts}
    assert ids["S1"] in reached["G1"]
    assert ids["X1"] not in reached["G1"]


def test_it_needs_no_matrix() -> None:
    """The check of a boat is started by whoever waits: neither NumPy nor SciPy is loaded for a bound."""
    code = "import sys, engine.studies.fault_bounds, engine.rules.faults.conductor_burns_first; print('numpy' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"
