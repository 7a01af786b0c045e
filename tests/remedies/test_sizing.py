"""Size the boat: what size can cure is cured, with a reason for each change, nothing thinner, nothing touched needlessly."""

from __future__ import annotations

from pathlib import Path

import pytest

from engine.cli import main
from engine.electrics.sizes import parse_size
from engine.files.opening import open_boat
from engine.library.device import load_library
from engine.pipeline import analyse
from engine.remedies.sizing import explanation, open_findings, size_boat
from engine.remedies.stock import Stock
from tests.samples.boats import boat_file, document

LIBRARY = load_library()
INCURABLE = {
    "undersized-conductor": 2,  # 10 and 11 join the two banks; no cable is thick enough for what a starter draws through them
    "oversized-panel-device": 1,  # the panel's feed has no device at all: one is to be put in, not sized
}
A_PAGE = 60
"""Lines."""


@pytest.fixture(scope="module", name="sized")
def sized_fixture():  # type: ignore[no-untyped-def]
    return size_boat(document("marguerite_as_built"), LIBRARY)


def test_marguerite_keeps_only_what_no_size_can_cure(sized) -> None:  # type: ignore[no-untyped-def]
    left = [finding.rule.id for finding in open_findings(analyse(sized.document.network, LIBRARY))]
    assert {rule: left.count(rule) for rule in left} == INCURABLE
    assert len(sized.left) == sum(INCURABLE.values())


def test_nothing_was_made_thinner_and_most_was_left_alone(sized) -> None:  # type: ignore[no-untyped-def]
    before = {run.id: run for run in document("marguerite_as_built").network.runs}
    changed = [run for run in sized.document.network.runs if run != before[run.id]]
    for run in changed:
        assert not before[run.id].size or parse_size(run.size).area_mm2 > parse_size(before[run.id].size).area_mm2
    assert 0 < len(changed) < len(before) / 4


def test_every_change_has_its_reason_on_one_page(sized) -> None:  # type: ignore[no-untyped-def]
    text = explanation(sized, "Marguerite")
    assert all(change.what in text and change.why in text for change in sized.changes)
    assert len(text.splitlines()) <= A_PAGE


def test_nothing_new_breaks(sized) -> None:  # type: ignore[no-untyped-def]
    def broken(network) -> set[tuple[str, str]]:  # type: ignore[no-untyped-def]
        found = analyse(network, LIBRARY).findings
        return {(each.rule.id, each.outcome.subjects[0]) for each in found if each.outcome.verdict == "breaks"}

    assert broken(sized.document.network) <= broken(document("marguerite_as_built").network)


def test_a_clean_boat_is_left_as_it_is() -> None:
    given = document("quill_34")
    assert size_boat(given, LIBRARY).document is given


def test_only_what_the_yard_stocks_is_used() -> None:
    stock = Stock(("16 AWG", "12 AWG", "2/0 AWG", "35 mm2", "70 mm2"))
    made = size_boat(document("marguerite_as_built"), LIBRARY, stock).document
    before = {run.id: run.size for run in document("marguerite_as_built").network.runs}
    used = {run.size for run in made.network.runs if run.size != before[run.id]}
    assert used <= {"16 AWG", "12 AWG", "2/0 AWG", "35 mm²", "70 mm²"}


def test_the_command_writes_a_boat_that_opens(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "sized.boat"
    assert main(["size", str(boat_file("marguerite_as_built")), "--out", str(out)]) == 1
    assert "changes" in capsys.readouterr().out
    assert open_boat(out, LIBRARY).network != document("marguerite_as_built").network
    assert main(["size", str(boat_file("quill_34"))]) == 0
    assert main(["size", str(tmp_path / "none.boat")]) == 2
