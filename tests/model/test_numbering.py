"""Automatic designations and wire numbers."""

import pytest

from engine.model.network import End, Network, Part, Run
from engine.model.numbering import free_designation, next_designation, next_wire_number, renumbered


def network(designations: list[str], numbers: list[str] | None = None) -> Network:
    parts = tuple(Part(id=f"p{n}", kind="x", designation=name) for n, name in enumerate(designations))
    a, b = End(part="p0", port="a"), End(part="p1", port="b")
    runs = tuple(Run(id=f"w{n}", a=a, b=b, poles=("+",), number=name) for n, name in enumerate(numbers or []))
    return Network(parts=parts, runs=runs)


@pytest.mark.parametrize(
    ("designations", "letter", "expected"),
    [
        ([], "F", "F1"),
        (["F1", "F7", "Q9"], "F", "F8"),
        (["F1a", "Fx", "F"], "F", "F1"),
        (["FC4"], "F", "F1"),
    ],
)
def test_a_designation_is_the_letter_and_the_number_after_the_highest(
    designations: list[str], letter: str, expected: str
) -> None:
    assert next_designation(network(designations), letter) == expected


def test_the_next_wire_number_passes_over_names() -> None:
    assert next_wire_number(network([], ["3", "12", "B7", ""])) == "13"


@pytest.mark.parametrize(
    ("wanted", "taken", "expected"),
    [("F3", {"F1"}, "F3"), ("F1", {"F1", "F4"}, "F5"), ("bilge", {"bilge"}, "bilge1"), ("7", {"7", "9"}, "10")],
)
def test_a_taken_name_goes_on_counting(wanted: str, taken: set[str], expected: str) -> None:
    assert free_designation(wanted, taken) == expected


def test_renumbering_follows_the_order_and_forgets_no_run() -> None:
    runs = network([], ["9", "8", "7"]).runs
    assert renumbered(runs, ["w2", "gone", "w2"]) == {"w2": "1", "w0": "2", "w1": "3"}
