"""Size the boat: what size can cure is cured, with a reason for each change, nothing thinner, nothing touched needlessly."""

from __future__ import annotations

from pathlib import Path

import pytest

from engine.cli import main
from engine.electrics.sizes import parse_size
from engine.files.opening import open_boat
from engine.library.device import load_library
from engine.pipeline import analyse
from engine.remedies.changes import changed_keys
from engine.remedies.sizing import Wish, broken, explanation, open_findings, size_boat, texts
from engine.remedies.stock import Stock
from engine.sketch import read_sketch
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


def test_a_change_that_a_later_one_goes_beyond_says_so(sized) -> None:  # type: ignore[no-untyped-def]
    assert "wire 13: 16 mm², then more: see 6" in texts(sized)
    assert broken(sized.after) < broken(sized.before)


def test_only_the_selection_is_touched() -> None:
    given, only = document("marguerite_as_built"), frozenset({"run:w13", "part:p12"})
    sized = size_boat(given, LIBRARY, wish=Wish(only=only))
    assert set(changed_keys(given, sized.document)) == only
    assert {change.what for change in sized.changes} >= {"F3 Refrigerator: 20 A", "wire 13: 16 mm²"}


def test_it_ends_when_it_is_told_to() -> None:
    sized = size_boat(document("marguerite_as_built"), LIBRARY, watch=lambda changes: changes < 2)
    assert len(sized.changes) == 2


def test_thinner_only_where_it_is_asked_and_no_rule_minds() -> None:
    thick = read_sketch(THICK, LIBRARY)
    assert size_boat(thick, LIBRARY).document is thick
    sized = size_boat(thick, LIBRARY, wish=Wish(thinner=True))
    assert all(parse_size(run.size) < parse_size("6 AWG") for run in sized.document.network.runs)
    assert len(sized.changes) == 3
    assert {each.rule.id for each in sized.after.findings} <= {each.rule.id for each in sized.before.findings}


THICK = """
boat engine=none
G1 battery nominal_v=12
F1 fuse_blade 15 A
E1 lamp running_a=2
W1: G1.pos - F1.a + 6 AWG 0.1 m 105 C open bundled=1
W2: F1.b - E1.supply + 6 AWG 2 m 105 C open bundled=1
W3: E1.neg - G1.neg - 6 AWG 2 m 105 C open bundled=1
"""


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
