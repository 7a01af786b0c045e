"""House rules and deviations: taken in, refused, withdrawn, gone with their part, kept in files and sketches."""

from __future__ import annotations

import msgspec
import pytest

from engine.files.codec import decode_boat, encode_boat
from engine.files.errors import OpenError
from engine.library.device import load_library
from engine.model.document import Document
from engine.model.edits.house import deviate, set_house, withdraw
from engine.model.edits.placing import delete
from engine.model.edits.records import EditRefused
from engine.model.house import Deviation, House
from engine.model.invariants import problems
from engine.sketch import SketchError, read_sketch, write_sketch

SKETCH = """
G1 battery
A1 dc_panel
  1 breaker 10 A
E1 lamp
W1: G1.pos - E1.supply + 18 AWG 2 m bare
deviation untinned-conductor W1: code=bare reason="a dry saloon" by="R. Thorne" date=2026-05-01
deviation strange-rule A1.1 code=some-code reason=why by="R. Thorne" date=2026-05-02
deviation other-rule @boat code=some-code reason=why by="R. Thorne" date=2026-05-02
house "Quillan Bay" date=2026-05-01 sizes="14 AWG","1/0 AWG" sizes_reason="on the shelf" wire_number="A-99" wire_number_reason=why
house-limit critical-drop-percent 2 reason="lamps far forward"
house-limit spare-ways-share 0.2 reason="owners add"
house-severity oversized-holder-fuse.largest-over-limit requirement reason="owners fit what fits"
house-colour - YE reason="black is AC here"
"""


def boat() -> Document:
    return read_sketch(SKETCH, load_library())


def stated(document: Document, **fields: str) -> Deviation:
    told = {"rule": "a-rule", "code": "a-code", "subject": f"run:{document.network.runs[0].id}", "reason": "because",
            "by": "M. Hale", "date": "2026-05-03"}  # fmt: skip
    return Deviation(**{**told, **fields})


def test_they_go_through_file_and_sketch() -> None:
    document = boat()
    assert decode_boat(encode_boat(document)) == document
    assert read_sketch(write_sketch(document, load_library()), load_library()).network == document.network
    assert document.network.house.sizes == ("14 AWG", "1/0 AWG")
    assert document.network.deviations[1].subject.startswith("position:")
    assert not problems(document)


def test_a_boat_without_any_is_written_without_a_word_of_them() -> None:
    text = encode_boat(msgspec.structs.replace(boat(), network=msgspec.structs.replace(
        boat().network, house=House(), deviations=())))  # fmt: skip
    assert b"house" not in text
    assert b"deviations" not in text


def test_a_second_deviation_about_the_same_finding_replaces_the_first() -> None:
    document = boat()
    once = deviate(document, stated(document))
    again = deviate(once, stated(document, reason="another"))
    assert [each.reason for each in again.network.deviations if each.rule == "a-rule"] == ["another"]
    assert withdraw(again, "a-rule", "a-code", stated(document).subject) == document
    assert withdraw(document, "a-rule", "a-code", "run:w99") is document


@pytest.mark.parametrize("field", ["reason", "by", "date"])
def test_nobody_deviates_without_reason_name_and_date(field: str) -> None:
    document = boat()
    with pytest.raises(EditRefused) as refused:
        deviate(document, stated(document, **{field: " "}))
    assert refused.value.code == "deviation-without"
    with pytest.raises(EditRefused):
        deviate(document, stated(document, subject="run:w99"))


def test_a_deviation_goes_with_its_part_or_way() -> None:
    document = boat()
    run, panel = document.network.runs[0], document.network.parts[1]
    left = delete(document, {f"run:{run.id}", f"part:{panel.id}"}).network.deviations
    assert [each.rule for each in left] == ["other-rule"]


def test_the_same_house_rules_change_nothing() -> None:
    document = boat()
    assert set_house(document, document.network.house) is document
    assert set_house(document, House()).network.house == House()


def test_a_file_with_two_deviations_about_one_finding_is_refused() -> None:
    document = boat()
    twice = msgspec.structs.replace(document.network, deviations=document.network.deviations[:1] * 2)
    with pytest.raises(OpenError, match="stands twice"):
        decode_boat(encode_boat(msgspec.structs.replace(document, network=twice)))


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("deviation a-rule E1 code=x reason=why by=me", "deviation without"),
        ("house-limit critical-drop-percent 2", "gives no reason"),
        ("house-limit some-limit 2 reason=why", "limit"),
        ("house-limit critical-drop-percent much reason=why", "not a number"),
        ("house-severity a-rule requirement reason=why", "names no finding"),
        ("house-severity a-rule.code grave reason=why", "severity"),
        ("house-colour X YE reason=why", "pole"),
        ("house A\nhouse B", "no meaning"),
    ],
)
def test_a_line_that_is_not_whole_says_what_to_write(line: str, told: str) -> None:
    with pytest.raises(SketchError) as wrong:
        read_sketch(f"E1 lamp\n{line}", load_library())
    assert told in str(wrong.value)
