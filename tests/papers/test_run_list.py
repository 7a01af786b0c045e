"""The run list: every wire, with numbers that can be worked out by hand."""

from __future__ import annotations

import pytest

from engine.papers.run_facts import RunFacts, number_key, run_facts
from engine.papers.run_list import run_list, run_list_table
from tests.papers.boats import SAMPLE_NAMES, SMALL, sample, sketched
from tests.papers.page_checks import words_on


def facts(text: str = SMALL) -> dict[str, RunFacts]:
    subject = sketched(text)
    return {one.run.number: one for one in run_facts(subject.boat, subject.books)}


@pytest.mark.parametrize("name", SAMPLE_NAMES)
def test_every_wire_is_on_the_list(name: str) -> None:
    subject = sample(name)
    words = words_on(run_list(subject)).split()
    assert {run.number for run in subject.document.network.runs if run.number} <= set(words)
    assert len(run_list_table(subject).rows) == len(subject.document.network.runs)


def test_ends_labels_and_protection() -> None:
    one = facts()["101"]
    assert (one.start, one.end) == ("A1:1", "E1:supply")
    assert one.labels == ("101  A1:1 / E1:supply", "101  E1:supply / A1:1")
    assert (one.protection, one.rating_a) == ("A1 way 1", 10)


def test_the_drop_by_the_formula_of_e11() -> None:
    """E = K I L / CM: 10.75 × 3 A × 26.25 ft out and back / 4107 CM = 0.206 V, 1.72 % of 12 V (K: E-11, second hand)."""
    assert facts()["101"].drop_percent == pytest.approx(100 * 10.75 * 3 * (8 / 0.3048) / 4106.72 / 12, rel=1e-4)


def test_a_range_of_length_is_a_range_of_drop() -> None:
    drop = facts()["102"].drop_percent
    assert isinstance(drop, tuple)
    assert drop[1] / drop[0] == pytest.approx(5 / 3)


def test_what_is_not_known_stays_unknown() -> None:
    one = facts()["107"]
    assert (one.design_a, one.allowed_a, one.drop_percent, one.length_m) == (None, None, None, None)
    row = next(row for row in run_list_table(sketched(SMALL)).rows if row[0] == "107")
    assert "?" in row
    assert None not in row
    assert "" not in row


def test_a_wire_that_nothing_holds_is_told() -> None:
    found = facts()
    assert found["4"].protection.startswith("none: ")
    assert found["3"].protection == "starting circuit"
    assert found["1"].protection == "F1 at its end"
    assert found["6"].protection == "–"


def test_numbers_in_order() -> None:
    assert sorted(["10", "A3", "2", "", "101"], key=number_key) == ["2", "10", "101", "A3", ""]
