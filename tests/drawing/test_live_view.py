"""What is live as annotation: a feed for each set of sources, dead runs, what one open device takes with it."""

from __future__ import annotations

from engine.drawing.annotate import Annotation
from engine.drawing.live_view import dead_annotation, live_annotation, with_positions
from engine.drawing.overlay import DEAD
from engine.graph.boat import Boat
from engine.graph.live import live
from tests.rules.cases import boat_of

TWO_BANKS = """
boat
G1 battery nominal_v=12
G2 battery nominal_v=12
Q1 battery_selector
E1 lamp running_a=1
E2 lamp running_a=1
W4 bus_negative
1: G1.pos - Q1.b1 + 10 AWG 1 m
2: G2.pos - Q1.b2 + 10 AWG 1 m
3: Q1.common - E1.supply + 14 AWG 1 m
4: G2.pos - E2.supply + 14 AWG 1 m
5: G1.neg - W4.s1 - 10 AWG 1 m
"""


def feeds(boat: Boat, shown: Annotation) -> dict[str, str]:
    """What each run's feed says, by wire number; "dead" where it is dead."""
    numbers = {run.id: run.number for run in boat.network.runs}
    return {numbers[run]: "dead" if feed == DEAD else shown.feeds[feed] for run, feed in shown.live.items()}


def annotated(state: str, only: str = "") -> tuple[Boat, Annotation]:
    boat = boat_of(TWO_BANKS)
    ids = {part.designation: part.id for part in boat.network.parts}
    return boat, live_annotation(boat, live(boat, {ids["Q1"]: state}), ids.get(only, ""))


def test_runs_of_the_same_sources_are_one_feed_and_returns_none() -> None:
    boat, shown = annotated("1")
    told = feeds(boat, shown)
    assert told == {"1": "live from G1", "2": "live from G2", "3": "live from G1", "4": "live from G2"}


def test_what_two_banks_feed_is_a_feed_of_its_own() -> None:
    boat, shown = annotated("both")
    assert set(feeds(boat, shown).values()) == {"live from G1, G2"}


def test_with_the_switch_off_what_is_behind_it_is_dead() -> None:
    boat, shown = annotated("off")
    assert feeds(boat, shown)["3"] == "dead"


def test_one_source_alone_can_be_followed() -> None:
    boat, shown = annotated("both", only="G1")
    assert set(feeds(boat, shown).values()) == {"live from G1"}
    boat, shown = annotated("1", only="G2")
    assert feeds(boat, shown) == {"1": "dead", "2": "live from G2", "3": "dead", "4": "live from G2"}


def test_what_goes_dead_is_framed_and_the_device_is_named_open() -> None:
    boat, shown = annotated("1")
    ids = {part.designation: part.id for part in boat.network.parts}
    told = dead_annotation(shown, [boat.parts[ids["E1"]]], {ids["E2"]: "G1"}, f"part:{ids['Q1']}")
    assert told.frames == {
        f"part:{ids['E1']}": "goes dead", f"part:{ids['E2']}": "loses G1", f"part:{ids['Q1']}": "open"
    }  # fmt: skip
    assert told.live == shown.live


def test_positions_stand_beside_their_switches() -> None:
    _, shown = annotated("1")
    assert with_positions(shown, {"p3": "1"}).beside == {"part:p3": "1"}
