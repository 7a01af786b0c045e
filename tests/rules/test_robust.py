"""No conductor or overcurrent rule fails on any boat of any case, and forgetting a field never makes it pass."""

from __future__ import annotations

import msgspec
import pytest

from engine.graph.boat import Boat
from engine.model.network import Network
from engine.rules.api import Book, Outcome
from engine.rules.runner import failed, load_rules, run_rules
from tests.rules.cases import FOLDER, boat_of, cases_of, library
from tests.rules.test_sabotage import clean, rules
from tests.samples.boats import document, with_noughts

BOOKS: tuple[Book, ...] = ("33cfr183", "e11", "iso13297")
SKETCHES = sorted({case.boat for file in FOLDER.glob("*.toml") for case in cases_of(file.stem).case})


@pytest.mark.parametrize("sketch", [pytest.param(text, id=str(n)) for n, text in enumerate(SKETCHES)])
def test_no_rule_fails(sketch: str) -> None:
    report = run_rules(boat_of(sketch), BOOKS, rules())
    assert [finding.outcome.values for finding in report.findings if failed(finding)] == []
    untold = [finding for finding in report.findings if finding.outcome.verdict == "cannot-tell"]
    assert all(finding.outcome.lacks for finding in untold), [f.outcome for f in untold if not f.outcome.lacks]


RUN_FIELDS: dict[str, object] = {
    "size": "", "insulation_c": None, "length_m": None, "length_basis": None, "route": (), "bundled": None, "cover": None,
    "stranded": None, "tinned": None,
}  # fmt: skip


ONE_QUESTION = {"unprotected-conductor": "protection", "distant-device": "protection", "oversized-device": "protection"}
"""Three rules that share one question: which of them speaks depends on what is wrong."""


def verdicts(network: Network) -> dict[tuple[str, str, str], set[str]]:
    """What each rule says of each subject under each rulebook."""
    found: dict[tuple[str, str, str], set[str]] = {}
    boat = Boat(network, library())
    for rule in rules():
        for book in rule.books:
            for outcome in rule.check(boat, book):
                found.setdefault((ONE_QUESTION.get(rule.id, rule.id), book, _about(outcome)), set()).add(
                    outcome.verdict
                )
    return found


def _about(outcome: Outcome) -> str:
    return outcome.subjects[0]


@pytest.mark.parametrize("field", RUN_FIELDS)
def test_a_field_of_a_run_forgotten_is_never_a_pass(field: str) -> None:
    known = verdicts(clean())
    runs = tuple(msgspec.structs.replace(run, **{field: RUN_FIELDS[field]}) for run in clean().runs)
    forgotten = verdicts(msgspec.structs.replace(clean(), runs=runs))
    for key, said in forgotten.items():
        if key in known and said == {"meets"}:
            assert known[key] == {"meets"}, key


@pytest.mark.parametrize(
    "name", ["rating_a", "holder_largest_a", "self_limiting", "running_a", "nominal_v", "cca_a", "bus_a"]
)
def test_a_value_of_a_part_forgotten_is_never_a_pass(name: str) -> None:
    known = verdicts(clean())
    parts = tuple(
        msgspec.structs.replace(part, values={key: value for key, value in part.values.items() if key != name})
        for part in clean().parts
    )
    forgotten = verdicts(msgspec.structs.replace(clean(), parts=parts))
    for key, said in forgotten.items():
        if key in known and said == {"meets"}:
            assert known[key] == {"meets"}, key
    assert any("cannot-tell" in said for said in forgotten.values())


def test_rules_are_there() -> None:
    assert {rule.family for rule in load_rules()} >= {"conductors", "overcurrent"}


@pytest.mark.parametrize("name", ["quill_34", "quill_26_launch", "marguerite_as_built"])
def test_a_nought_in_a_file_makes_no_rule_fail(name: str) -> None:
    """The editor takes none where there can be none, but a file may hold it: a rating, voltage or resistance of 0 is not known."""
    for what, network in with_noughts(document(name).network):
        report = run_rules(Boat(network, library()))
        assert [finding.rule.id for finding in report.findings if failed(finding)] == [], what
