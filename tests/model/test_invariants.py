"""Each thing that must not be is seen, in a boat that is otherwise sound."""

from typing import Any

import msgspec
import pytest

from engine.model.document import Document
from engine.model.invariants import new_lost_ends, problems
from engine.model.network import Compartment, Condition, End
from engine.model.sheets import Place, Route
from tests.model.boats import port_names, small_boat


def codes(document: Document) -> set[str]:
    return {problem.code for problem in problems(document, port_names)}


def test_the_small_boat_is_sound() -> None:
    assert problems(small_boat(), port_names) == ()


def with_first(boat: Document, field: str, **changes: Any) -> Document:
    records = getattr(boat.network, field)
    first = msgspec.structs.replace(records[0], **changes)
    network = msgspec.structs.replace(boat.network, **{field: (first, *records[1:])})
    return msgspec.structs.replace(boat, network=network)


def with_sheet(boat: Document, **changes: Any) -> Document:
    return msgspec.structs.replace(boat, sheets=(msgspec.structs.replace(boat.sheets[0], **changes),))


@pytest.mark.parametrize(
    ("field", "changes", "code"),
    [
        ("parts", {"id": "p3"}, "id-twice"),
        ("parts", {"id": "p99"}, "id-not-counted"),
        ("parts", {"compartment": "c1"}, "no-such-compartment"),
        ("parts", {"enclosure": "e1"}, "no-such-enclosure"),
        ("parts", {"option": "o1"}, "no-such-option"),
        ("runs", {"poles": ()}, "poles"),
        ("runs", {"poles": ("+", "X")}, "poles"),
        ("runs", {"poles": ("+", "+")}, "poles"),
        ("runs", {"colours": ("RD", "YE")}, "colours"),
        ("runs", {"a": End(part="p77", port="s1")}, "end-on-no-part"),
        ("runs", {"a": End(part="p2", port="s99")}, "end-on-no-port"),
        ("runs", {"a": End(part="p3", port="a")}, "both-ends-on-one-port"),
        ("runs", {"route": ("c1",)}, "no-such-compartment"),
    ],
)
def test_a_fault_in_the_network_is_seen(field: str, changes: dict[str, Any], code: str) -> None:
    assert code in codes(with_first(small_boat(), field, **changes))


def test_a_position_twice_is_seen() -> None:
    boat = small_boat()
    panel = next(part for part in boat.network.parts if part.positions)
    twice = msgspec.structs.replace(panel, positions=(*panel.positions, panel.positions[0]))
    parts = tuple(twice if part is panel else part for part in boat.network.parts)
    assert "position-twice" in codes(
        msgspec.structs.replace(boat, network=msgspec.structs.replace(boat.network, parts=parts))
    )


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"places": (Place(part="p77", x_mm=0, y_mm=0),)}, "place-of-no-part"),
        ({"places": (Place(part="p2", x_mm=0, y_mm=0), Place(part="p2", x_mm=5, y_mm=0))}, "place-twice"),
        ({"routes": (Route(run="w77"),)}, "route-of-no-run"),
        ({"routes": (Route(run="w6"), Route(run="w6"))}, "route-twice"),
    ],
)
def test_a_fault_on_a_sheet_is_seen(changes: dict[str, Any], code: str) -> None:
    assert code in codes(with_sheet(small_boat(), **changes))


def test_a_condition_of_no_part_is_seen() -> None:
    boat = small_boat()
    spoken = Condition(id="k1", name="At anchor", switches={"p77": "on"})
    network = msgspec.structs.replace(
        boat.network, conditions=(spoken,), compartments=(Compartment(id="c2", name="Hold"),)
    )
    assert codes(msgspec.structs.replace(boat, network=network)) == {"condition-of-no-part"}


def test_lost_ends_are_only_those_that_were_not_lost_before() -> None:
    boat = small_boat()
    lost = with_first(boat, "runs", a=End(part="p2", port="s99"))
    assert [problem.found for problem in new_lost_ends(boat, lost, port_names)] == ["p2.s99"]
    assert new_lost_ends(lost, with_first(lost, "parts", label="Main"), port_names) == ()
