"""The load analysis against sums done by hand, and its laws as properties."""

from __future__ import annotations

import math

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.graph.boat import LIVE_POLES, Boat
from engine.graph.listed import keyed_edges_of
from engine.model.network import Part
from engine.studies.elements import graph_of
from engine.studies.loads import CaseLoads, load_analysis, worst_of
from engine.studies.network import solve
from tests.rules.cases import boat_of
from tests.samples.boats import NAMES, document, library

BOAT = """
G1 battery nominal_v=12 chemistry=AGM capacity_ah=100 internal_mohm=4
Q1 battery_switch
W1 bus_positive studs=4
W2 bus_negative studs=4
A1 dc_panel bus_a=100
  1 fuse 10/20 A "Radio"
  2 fuse 10/20 A "Pump"
  3 fuse ?/20 A spare
E1 radio running_a=6 standby_a=0.5 nominal_v=12
M1 pump running_a=7 starting_a=15 nominal_v=12
M2 windlass running_a=80 locked_rotor_a=300 nominal_v=12
E3 lamp power_w=24 nominal_v=12
1: G1.pos - Q1.in + 50 mm2 RD 1 m 105 C
2: Q1.out - W1.s1 + 50 mm2 RD 1 m 105 C
3: W1.s2 - A1.feed + 16 mm2 RD 2 m 105 C
4: W1.s3 - M2.supply + 50 mm2 RD 8 m 105 C
5: W1.s4 - E3.supply + 2.5 mm2 RD 8 m 105 C
6: G1.neg - W2.s1 - 50 mm2 YE 1 m 105 C
7: W2.s2 - A1.neg - 16 mm2 YE 2 m 105 C
8: W2.s3 - M2.neg - 50 mm2 YE 8 m 105 C
9: W2.s4 - E3.neg - 2.5 mm2 YE 8 m 105 C
11: A1.1 - E1.supply +- 2.5 mm2 RD,YE 4 m
12: A1.2 - M1.supply +- 2.5 mm2 RD,YE 4 m
condition sailing "Sailing" Q1=on E3=0.5 M1=0.1
condition anchoring "Anchoring" Q1=on E1=1 M2=0.8
condition left "Left alone" Q1=off E3=1
"""


@pytest.fixture(scope="module")
def boat() -> Boat:
    return boat_of(BOAT)


def part_of(boat: Boat, name: str) -> Part:
    return next(part for part in boat.network.parts if part.designation == name)


def run_of(boat: Boat, number: str) -> str:
    return next(run.id for run in boat.network.runs if run.number == number)


def case_named(boat: Boat, name: str) -> CaseLoads:
    return next(case for case in load_analysis(boat).each if case.case.name == name)


def test_the_figures_of_each_load(boat: Boat) -> None:
    loads = load_analysis(boat).loads
    radio, pump, windlass, lamp = (loads[part_of(boat, name).id] for name in ("E1", "M1", "M2", "E3"))
    assert (radio.running_a.middle, radio.standby_a.middle, radio.starting_a) == (6, 0.5, None)
    assert (pump.starting_a.middle, windlass.starting_a.middle) == (15, 300)  # type: ignore[union-attr]
    assert (lamp.running_a.middle, lamp.watts_w.middle) == (2, 24)
    assert radio.watts_w.middle == 72
    assert radio.running_a.sources[0].table == "E1, running current"


def test_sums_by_hand(boat: Boat) -> None:
    """Sailing: lamp 2 × 0.5, pump 7 × 0.1, radio standing by 0.5: 2.2 A. Anchoring: radio 6, windlass 80 × 0.8: 70 A."""
    sailing, anchoring = case_named(boat, "Sailing"), case_named(boat, "Anchoring")
    bank = part_of(boat, "G1")
    assert sailing.through(bank, "+").estimate.middle == pytest.approx(1 + 0.7 + 0.5)
    assert sailing.through(bank, "+").estimate.formula == "E1 0.5 + M1 0.7 + E3 1"
    assert anchoring.through(bank, "+").estimate.middle == pytest.approx(6 + 64)
    assert sailing.over(run_of(boat, "3"), "+").estimate.middle == pytest.approx(1.2)
    assert anchoring.over(run_of(boat, "3"), "+").estimate.middle == pytest.approx(6)


def test_running_standby_and_starting(boat: Boat) -> None:
    """Sailing, what works at once: lamp 2, pump 7, radio 0.5 by; the pump starts: 2.2 + (15 - 0.7). Anchoring: + 300 - 64."""
    sailing = case_named(boat, "Sailing").through(part_of(boat, "G1"), "+")
    assert sailing.running.middle == pytest.approx(2 + 7 + 0.5)
    assert sailing.standby.middle == pytest.approx(0.5)
    assert sailing.starting.middle == pytest.approx(2.2 + 15 - 0.7)
    anchoring = case_named(boat, "Anchoring").through(part_of(boat, "G1"), "+")
    assert anchoring.starting.middle == pytest.approx(70 + 300 - 64)


def test_the_worst_condition_of_a_feeder(boat: Boat) -> None:
    cases = load_analysis(boat).each
    for number, name in (("2", "Anchoring"), ("3", "Anchoring"), ("12", "Sailing"), ("5", "Sailing")):
        sums = [case.over(run_of(boat, number), "+") for case in cases]
        assert worst_of(cases, sums).condition == name


def test_what_no_source_feeds_says_so(boat: Boat) -> None:
    drawn = case_named(boat, "Left alone").drawn(part_of(boat, "E3"))
    assert (drawn.state, drawn.duty, drawn.amount.most) == ("not fed", 1.0, 0.0)
    assert drawn.amount.formula == "no source feeds it here"
    assert case_named(boat, "Left alone").drawn(part_of(boat, "M2")).state == "not fed"


def test_an_unknown_load_keeps_the_sum_open() -> None:
    boat = boat_of(BOAT.replace("M1 pump running_a=7", "M1 pump running_a=?"))
    found = case_named(boat, "Sailing").through(part_of(boat, "G1"), "+").estimate
    assert found.least == pytest.approx(1.5)
    assert math.isinf(found.most)
    assert found.lacks == (f"part:{part_of(boat, 'M1').id} running_a",)


def test_a_range_stays_a_range() -> None:
    boat = boat_of(BOAT.replace("M1 pump running_a=7", "M1 pump running_a=6..9"))
    found = case_named(boat, "Sailing").through(part_of(boat, "G1"), "+").estimate
    assert (found.least, found.most) == (pytest.approx(1.5 + 0.6), pytest.approx(1.5 + 0.9))


def test_a_motor_whose_starting_current_is_not_stated_keeps_the_start_open() -> None:
    boat = boat_of(BOAT.replace(" starting_a=15", ""))
    found = case_named(boat, "Sailing").through(part_of(boat, "G1"), "+")
    assert math.isinf(found.starting.most)
    assert not math.isinf(found.estimate.most)


INVERTER = """
G1 battery nominal_v=12 chemistry=AGM capacity_ah=100 internal_mohm=4
X1 shore_inlet nominal_v=120 service_a=30
T1 inverter continuous_w=2000 output_v=120 lowest_input_v=10.5 efficiency_pct=80
T2 shore_charger output_a=40 nominal_v=12 absorption_v=14.4
E1 load_ac running_a=7 nominal_v=120 power_factor=1
1: G1.pos - T1.dc + 70 mm2 RD 2 m
2: G1.neg - T1.neg - 70 mm2 YE 2 m
3: T1.ac - E1.supply L,N,PE 2.5 mm2 5 m
4: X1.boat - T2.ac L,N,PE 2.5 mm2 5 m
5: T2.out1 - G1.pos + 16 mm2 RD 2 m
6: T2.neg - G1.neg - 16 mm2 YE 2 m
condition out "At sea" T1=inverting X1=0 E1=0.5
condition in "Ashore" T1=off T2=0.5
"""


def test_converters_take_what_they_give() -> None:
    """Inverter at its lowest input: 3.5 A × 120 V / (0.8 × 10.5 V) = 50 A. Charger: 40 A × 0.5 × 14.4 V over 75 to 92 % (85)
    of 120 V."""
    boat = boat_of(INVERTER)
    at_sea = case_named(boat, "At sea").through(part_of(boat, "G1"), "+").estimate
    assert at_sea.middle == pytest.approx(50)
    ashore = case_named(boat, "Ashore").through(part_of(boat, "X1"), "L").estimate
    assert ashore.middle == pytest.approx(40 * 0.5 * 14.4 / (0.85 * 120))
    assert ashore.least == pytest.approx(40 * 0.5 * 14.4 / (0.92 * 120))
    assert any(source.status == "memory" for source in ashore.sources)
    assert case_named(boat, "Ashore").through(part_of(boat, "G1"), "+").estimate.most == 0
    assert case_named(boat, "At sea").through(part_of(boat, "X1"), "L").estimate.most == 0


BEHIND = INVERTER.replace(
    "E1 load_ac running_a=7 nominal_v=120 power_factor=1",
    "E1 motor_ac running_a=7 starting_a=21 nominal_v=120 power_factor=1",
)


def test_a_converter_hands_on_what_runs_and_what_starts_behind_it() -> None:
    """At sea, 120 V / (0.8 × 10.5 V): 7 A at full are 100 A, 21 A starting 300 A; a charger at half works at full: 40 A."""
    boat = boat_of(BEHIND)
    at_sea = case_named(boat, "At sea").through(part_of(boat, "G1"), "+")
    assert (at_sea.running.middle, at_sea.starting.middle) == (pytest.approx(100), pytest.approx(300))
    ashore = case_named(boat, "Ashore").through(part_of(boat, "X1"), "L")
    assert ashore.running.middle == pytest.approx(2 * ashore.estimate.middle)
    assert ashore.starting == ashore.estimate


SPLIT = """
X1 shore_inlet_split nominal_v=240 service_a=50
A1 ac_panel_split bus_a=50
  1 breaker 15 A "Left"
  2 breaker 15 A "Right"
E1 load_ac running_a=9 nominal_v=120 power_factor=1
E2 load_ac running_a=4 nominal_v=120 power_factor=1
E3 load_ac_split running_a=11 nominal_v=240 power_factor=1
1: X1.boat - A1.feed L1,L2,N,PE 6 mm2 4 m
11: A1.1 - E1.supply L1,N,PE 2.5 mm2 4 m
12: A1.2 - E2.supply L2,N,PE 2.5 mm2 4 m
"""


def test_each_leg_has_its_own_sum() -> None:
    boat = boat_of(SPLIT)
    case, inlet, panel = load_analysis(boat).each[0], part_of(boat, "X1"), part_of(boat, "A1")
    assert [case.through(inlet, pole).estimate.middle for pole in ("L1", "L2")] == [9, 4]
    assert [case.through(panel, pole).estimate.middle for pole in ("L1", "L2")] == [9, 4]
    assert case.over(run_of(boat, "1"), "L2").estimate.middle == 4


TWO_BANKS = """
G1 battery nominal_v=12 chemistry=AGM capacity_ah=100 internal_mohm=4
G2 battery nominal_v=12 chemistry=AGM capacity_ah=100 internal_mohm=4
Q1 battery_selector
E1 load_dc running_a=10 nominal_v=12
1: G1.pos - Q1.b1 + 16 mm2 RD 1 m
2: G2.pos - Q1.b2 + 16 mm2 RD 1 m
3: Q1.common - E1.supply + 16 mm2 RD 1 m
condition one "One" Q1=1 E1=1
condition both "Both" Q1=both E1=1
"""


def test_two_banks_on_one_load_share_it_in_some_way() -> None:
    boat = boat_of(TWO_BANKS)
    one, both = case_named(boat, "One"), case_named(boat, "Both")
    assert one.through(part_of(boat, "G1"), "+").estimate.exact
    assert one.through(part_of(boat, "G2"), "+").estimate.most == 0
    for bank in ("G1", "G2"):
        found = both.through(part_of(boat, bank), "+").estimate
        assert (found.least, found.most) == (0, 10)
        assert "from nothing to all" in found.formula
    assert both.over(run_of(boat, "3"), "+").estimate.middle == 10
    assert both.over(run_of(boat, "1"), "+").estimate.most == 10


def test_a_motor_that_may_be_fed_another_way_adds_nothing_for_certain() -> None:
    boat = boat_of(TWO_BANKS.replace("E1 load_dc running_a=10", "E1 motor running_a=10 starting_a=40"))
    found = case_named(boat, "Both").through(part_of(boat, "G1"), "+").starting
    assert (found.least, found.most) == (0, 40)


RING = """
G1 battery nominal_v=12 chemistry=AGM capacity_ah=100 internal_mohm=4
W1 bus_positive studs=4
W2 bus_positive studs=4
E1 load_dc running_a=20 nominal_v=12
E2 load_dc running_a=3 nominal_v=12
1: G1.pos - W1.s1 + 16 mm2 RD 1 m
2: W1.s2 - W2.s1 + 6 mm2 RD 5 m
3: W1.s3 - W2.s2 + 6 mm2 RD 5 m
4: W2.s3 - E1.supply + 6 mm2 RD 2 m
5: W1.s4 - E2.supply + 6 mm2 RD 2 m
"""


def test_of_two_ways_each_may_carry_all() -> None:
    boat = boat_of(RING)
    case = load_analysis(boat).each[0]
    for number in ("2", "3"):
        found = case.over(run_of(boat, number), "+").estimate
        assert (found.least, found.most) == (0, 20)
    assert case.over(run_of(boat, "4"), "+").estimate.middle == 20
    assert case.over(run_of(boat, "1"), "+").estimate.middle == 23


# Laws


@pytest.mark.parametrize("name", NAMES)
def test_the_wiring_is_that_of_the_network_solution(name: str) -> None:
    """The live conductors in force are those of the graph that the network solution is made from."""
    boat = Boat(document(name).network, library())
    for case in load_analysis(boat).each:
        theirs = {
            key
            for a, b, key, edge in keyed_edges_of(graph_of(boat, case.case))
            if edge.conducts and edge.kind not in ("blocking", "bond") and {a[2], b[2]} <= LIVE_POLES
        }
        ours = {key for _, _, key, _ in keyed_edges_of(case.reach.wires)}
        relays = [part.id for part in boat.network.parts if part.kind == "combining_relay"]
        assert {key for key in theirs - ours if key.partition("#")[0] not in relays} == set()
        assert ours <= theirs


@pytest.mark.parametrize("name", NAMES)
def test_a_panel_takes_what_its_ways_take_and_its_feeder_carries_it(name: str) -> None:
    boat = Boat(document(name).network, library())
    for case in load_analysis(boat).each:
        for panel in boat.with_role("dc_panel", "ac_panel"):
            for pole in _feed(boat, panel):
                whole = case.through(panel, pole).estimate
                ways = [
                    case.over(run.id, pole).estimate
                    for way in panel.positions
                    for run in boat.runs_at.get((panel.id, f"p{way.key}"), ())
                    if pole in run.poles
                ]
                assert whole.middle == pytest.approx(sum(each.middle for each in ways)) or math.isinf(whole.most)
                assert whole.least == pytest.approx(sum(each.least for each in ways))
                feeds = [run for run in boat.runs_at.get((panel.id, "feed"), ()) if pole in run.poles]
                for run in feeds:
                    over = case.over(run.id, pole)
                    assert {item.part.id for item in (*over.items, *over.perhaps)} >= {
                        item.part.id for item in case.through(panel, pole).items
                    }


@pytest.mark.parametrize("name", ["quill_34", "quill_26_launch"])
def test_a_bank_gives_what_its_loads_draw(name: str) -> None:
    """Every load that is fed with DC is in the sum of exactly one bank, by its own figure."""
    boat = Boat(document(name).network, library())
    for case in load_analysis(boat).each:
        banks = [case.through(bank, "+") for bank in boat.with_role("battery")]
        drawn = [case.drawn(load.part).amount for load in load_analysis(boat).loads.values() if not load.ac]
        assert sum(bank.estimate.middle for bank in banks) == pytest.approx(sum(each.middle for each in drawn))
        assert not any(bank.perhaps for bank in banks)


def _feed(boat: Boat, panel: Part) -> list[str]:
    return [pole for port in boat.ports(panel) if port.name == "feed" for pole in port.poles if pole in LIVE_POLES]


def test_the_network_at_constant_current_agrees() -> None:
    """Where every load draws constant current, what the solved network takes out of the bank is the sum of the list."""
    boat = boat_of(BOAT.replace("E3 lamp power_w=24", "E3 lamp running_a=2"))
    bank = part_of(boat, "G1")
    for condition, case in zip(boat.network.conditions, load_analysis(boat).each, strict=True):
        solved = solve(boat, condition).supplies[bank.id][0].current_a
        assert case.through(bank, "+").estimate.middle == pytest.approx(solved, abs=1e-6)


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.floats(0.1, 50), min_size=1, max_size=6), st.floats(0.1, 50), st.floats(0, 1), st.integers(0, 5)
)  # fmt: skip
def test_another_load_never_lowers_a_sum(amps: list[float], more: float, duty: float, at: int) -> None:
    def sums(currents: list[float]) -> dict[str, float]:
        boat = boat_of(_ladder(currents, duty))
        case = load_analysis(boat).each[0]
        return {run.number: case.over(run.id, "+").estimate.middle for run in boat.network.runs if "+" in run.poles}

    before, after = sums(amps), sums([*amps, more])
    assert all(after[number] >= before[number] - 1e-9 for number in before if not number.startswith("L"))
    assert after["F0"] == pytest.approx(before["F0"] + more * duty)


def _ladder(currents: list[float], duty: float) -> str:
    """Buses in a row, a load on each."""
    lines = ["G1 battery nominal_v=12", *(f"W{n} bus_positive studs=3" for n in range(len(currents)))]
    lines += [f"E{n} load_dc running_a={amps!r}" for n, amps in enumerate(currents)]
    for n in range(len(currents)):
        start = f"W{n - 1}.s3" if n else "G1.pos"
        lines += [f"F{n}: {start} - W{n}.s1 + 16 mm2 RD 1 m", f"L{n}: W{n}.s2 - E{n}.supply + 16 mm2 RD 1 m"]
    duties = " ".join(f"E{n}={duty!r}" for n in range(len(currents)))
    return "\n".join([*lines, f'condition k "All" {duties}'])


def test_without_conditions_everything_is_on() -> None:
    boat = boat_of(RING)
    assert [case.case.name for case in load_analysis(boat).each] == ["Everything on, no charging"]
    assert msgspec.structs.asdict(load_analysis(boat).each[0].case)["rests"] is False
