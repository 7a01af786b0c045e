"""Where ways lead, begun with the boat before: found again where another way leads there, near or farther on."""

from __future__ import annotations

import msgspec
import pytest

from engine.graph.boat import Boat
from engine.model.edits.placing import delete
from engine.model.network import Network
from engine.rules.routes import Route, routes
from engine.rules.ways import Way, ways
from tests.graph.skeletons import apart
from tests.graph.test_demand import boat
from tests.samples.boats import document, library, with_part

WHOLE = boat("""
G1 battery nominal_v=12
G2 battery nominal_v=12
W901 bus_positive studs=9
W902 bus_negative studs=9
W903 bus_negative studs=9
W904 bus_negative studs=9
A1 dc_panel
  1 breaker 10 A
  2 breaker 10 A
E1 lamp running_a=1
E2 lamp running_a=1
E3 lamp running_a=1
W1: G1.pos - W901.s1 +
W2: W901.s2 - A1.feed +
W3: A1.neg - W902.s1 -
W4: W902.s2 - G1.neg -
W5: A1.1 - E1.supply +-
W6: A1.2 - E2.supply +
W7: E2.neg - W903.s1 -
W8: W903.s2 - W902.s3 -
W9: E2.neg - W902.s4 -
W10: G2.pos - W901.s3 +
W11: G2.neg - W902.s5 -
W12: A1.2 - E3.supply +-
W13: G2.pos - A1.feed +
W14: W903.s3 - G1.neg -
W15: A1.neg - W903.s4 -
W16: W903.s5 - W904.s1 -
W17: W904.s2 - G1.neg -
""").network
FIRST = ("W1", "W2", "W3", "W4", "W5", "W6", "W7", "W8", "W16")


def only(*numbers: str) -> Network:
    return msgspec.structs.replace(WHOLE, runs=tuple(run for run in WHOLE.runs if run.number in numbers))


def listed(network: Network) -> tuple[tuple[Route, ...], tuple[Way, ...]]:
    of = Boat(network, library())
    return routes(of), ways(of)


EDITS: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "a load comes": ((), ("W12",)),
    "a load goes": (("W5",), ()),
    "no way back": (("W8",), ()),
    "another way back": (("W8",), ("W9",)),
    "a ring in the return": ((), ("W9",)),
    "a ring by which it is nearer": ((), ("W17",)),
    "the panel's return goes": (("W3",), ()),
    "the panel's return lands elsewhere": (("W3",), ("W15",)),
    "the return of all goes": (("W4",), ()),
    "another return of all": (("W4",), ("W14",)),
    "a nearer battery comes": ((), ("W13", "W11")),
    "another battery": (("W1",), ("W10",)),
    "no battery": (("W1",), ()),
    "the feeder goes": (("W2",), ()),
}


@pytest.mark.parametrize(("less", "more"), EDITS.values(), ids=EDITS)
def test_the_ways_are_those_from_nothing(less: tuple[str, ...], more: tuple[str, ...]) -> None:
    first, other = only(*FIRST), only(*(set(FIRST) - set(less)), *more)
    with apart():
        anew = listed(other)
    with apart():
        before, begun, back = listed(first), listed(other), listed(first)
    assert begun == anew
    assert begun[1] != before[1]
    assert back == before


def test_the_parts_of_a_way_are_those_of_the_boat() -> None:
    first = only(*FIRST)
    for part in first.parts:
        other = with_part(first, msgspec.structs.replace(part, label="Other"))
        with apart():
            anew = listed(other)
        with apart():
            listed(first)
            assert listed(other) == anew


def test_ways_that_no_edit_touches_stay_the_same_objects() -> None:
    first = document("quill_34")
    lamp = next(run.id for run in first.network.runs if run.number == "101")
    with apart():
        before, after = listed(first.network), listed(delete(first, [f"run:{lamp}"]).network)
    kept = {id(each) for each in (*before[0], *before[1])}
    assert [route.part for route in after[0] if id(route) not in kept] == []
    assert [way.part.id for way in after[1] if id(way) not in kept and way in before[1]] == []
