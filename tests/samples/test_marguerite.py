"""Marguerite as found: the faults her README lists are exactly those that the check says are broken."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator

import pytest

from engine.cli import main
from engine.graph.boat import Boat
from tests.samples.boats import SAMPLES, analysis, boat_file, document

NAME = "marguerite_as_built"
ROW = re.compile(r"^\| (\d+) \| (.+?) \| (.+?) \|$", re.MULTILINE)
FOUND = re.compile(r"`([a-z-]+)` ([^;]+)")


def rows() -> list[tuple[int, str, tuple[tuple[str, str], ...]]]:
    """The faults of the README: number, words, (rule id, subject)."""
    text = (SAMPLES / "README.md").read_text(encoding="utf-8")
    return [
        (int(number), fault, tuple((rule, subject.strip()) for rule, subject in FOUND.findall(found)))
        for number, fault, found in ROW.findall(text)
    ]


def subject_name(boat: Boat, key: str) -> str:
    """A subject as the README calls it: E7, wire 110, way A1.7, the name of a box."""
    kind, _, rest = key.partition(":")
    if kind == "run":
        return boat.runs[rest].number
    if kind == "box":
        return boat.enclosures[rest].name
    part, _, way = rest.partition("/")
    return boat.parts[part].designation + (f".{way}" if way else "")


def broken() -> Iterator[tuple[str, str]]:
    """What the check says is broken: (rule id, subject). Of two battery-switch faults the second names what is ahead."""
    got = analysis(NAME)
    for finding in got.findings:
        subjects = finding.outcome.subjects
        if finding.outcome.verdict == "breaks":
            at = 1 if finding.outcome.code == "inverter-ahead" else 0
            yield finding.rule.id, subject_name(got.boat, subjects[at])


def test_the_listed_faults_are_found_and_no_others() -> None:
    listed = Counter(found for _, _, all_found in rows() for found in all_found)
    assert listed == Counter(broken())


def test_there_are_at_least_25_faults_of_kinds_of_their_own() -> None:
    numbers = [number for number, _, _ in rows()]
    assert numbers == list(range(1, len(numbers) + 1))
    assert len(numbers) >= 25
    assert len({rule for _, _, found in rows() for rule, _ in found}) >= 25


def test_every_fault_is_found_by_something() -> None:
    assert all(found for _, _, found in rows())


def test_what_cannot_be_told_names_the_missing_fields() -> None:
    untold = [finding for finding in analysis(NAME).findings if finding.outcome.verdict == "cannot-tell"]
    assert untold
    assert all(finding.outcome.lacks for finding in untold)


def test_the_unknown_wires_are_not_passed() -> None:
    """Wires 108 and 109 are to be identified: nothing about their thickness may be called good."""
    got = analysis(NAME)
    unknown = {f"run:{run.id}" for run in got.boat.network.runs if run.size == ""}
    passed = {outcome.subjects[0] for rule, _, outcome in got.report.met if rule == "undersized-conductor"}
    assert unknown
    assert not unknown & passed


def test_both_unit_worlds_and_every_kind_of_evidence_are_aboard() -> None:
    network = document(NAME).network
    sizes = {run.size.split(" ")[-1] for run in network.runs if run.size}
    assert sizes == {"AWG", "mm2"}
    evidence = [*(part.evidence for part in network.parts), *(run.evidence for run in network.runs)]
    kinds = {said.kind for of_one in evidence for all_said in of_one.values() for said in all_said}
    assert kinds == {"traced", "label", "measured", "nameplate"}


def test_the_command_exits_1(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(boat_file(NAME))]) == 1
    assert "DANGER" in capsys.readouterr().out
