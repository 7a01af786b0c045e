"""How runs are protected, begun with the boat before: judged again where something is another, however far from their ends."""

from __future__ import annotations

from collections.abc import Callable

import msgspec
import pytest

from engine.graph.boat import Boat
from engine.model.edits.placing import delete
from engine.model.network import Network
from engine.rules.protection import Protection, by_run
from tests.graph.skeletons import apart
from tests.graph.test_demand import boat
from tests.samples.boats import document, library, with_part, with_run

WHOLE = boat("""
boat engine=inboard
space cabin
space engine kind=engine
G1 battery nominal_v=12
W901 bus_positive studs=6
W902 bus_positive studs=6
W903 bus_positive studs=6
F1 fuse_bolt rating_a=100
A1 dc_panel @cabin
  1 breaker 10 A
E1 lamp running_a=1 @cabin
E2 lamp running_a=1
E3 lamp running_a=1
W1: G1.pos - W901.s1 + 2 AWG 0.05 m 105 C open bundled=1
W2: W901.s2 - W902.s1 + 2 AWG 0.05 m 105 C open bundled=1
W3: W902.s2 - F1.a + 2 AWG 0.05 m 105 C open bundled=1
W4: F1.b - W903.s1 + 2 AWG 1 m 105 C open bundled=1
W5: W903.s2 - A1.feed + 8 AWG 1 m 105 C open bundled=1
W6: A1.1 - E1.supply + 16 AWG 2 m 105 C open bundled=1
W7: W903.s3 - E3.supply + 16 AWG 2 m 105 C open bundled=1
W8: W902.s3 - E2.supply + 16 AWG 2 m 105 C open bundled=1
W9: W903.s4 - A1.feed + 8 AWG 1 m 105 C open bundled=1
""").network


def less(network: Network, *numbers: str) -> Network:
    return msgspec.structs.replace(network, runs=tuple(run for run in network.runs if run.number not in numbers))


FIRST = less(WHOLE, "W8", "W9")


def other_run(number: str, **fields: object) -> Network:
    run = next(each for each in FIRST.runs if each.number == number)
    return with_run(FIRST, msgspec.structs.replace(run, **fields))


def other_part(designation: str, **fields: object) -> Network:
    part = next(each for each in FIRST.parts if each.designation == designation)
    return with_part(FIRST, msgspec.structs.replace(part, **fields))


def protections(network: Network) -> dict[str, tuple[Protection, ...]]:
    """By the numbers of the runs."""
    of = Boat(network, library())
    return {of.runs[name].number: ends for name, ends in by_run(of, "e11").items()}


EDITS: tuple[tuple[str, str, Callable[[], Network]], ...] = (
    ("a larger device next", "W1", lambda: other_part("F1", values={"rating_a": 500.0})),
    ("farther to the next device", "W1", lambda: other_run("W3", length_m=3.0)),
    ("a load before the next device", "W1", lambda: less(WHOLE, "W9")),
    ("thinner what it takes over from", "W7", lambda: other_run("W4", size="16 AWG")),
    ("no longer all that feeds the panel", "W5", lambda: less(WHOLE, "W8")),
    ("into an engine space", "W6", lambda: other_part("E1", compartment=FIRST.compartments[1].id)),
    ("another size", "W6", lambda: other_run("W6", size="10 AWG")),
)


@pytest.mark.parametrize(("number", "edit"), [each[1:] for each in EDITS], ids=[each[0] for each in EDITS])
def test_a_run_is_judged_again_where_something_is_another(number: str, edit: Callable[[], Network]) -> None:
    other = edit()
    with apart():
        anew = protections(other)
    with apart():
        before, begun = protections(FIRST), protections(other)
        assert begun == anew
        assert begun[number] != before[number]
        assert protections(FIRST) == before


def test_what_no_edit_touches_stays_the_same_object() -> None:
    first = document("quill_34")
    lamp = next(run.id for run in first.network.runs if run.number == "101")
    with apart():
        before = by_run(Boat(first.network, library()), "e11")
        after = by_run(Boat(delete(first, [f"run:{lamp}"]).network, library()), "e11")
    assert set(before) - set(after) == {lamp}
    assert all(ends is before[run] for run, ends in after.items())
