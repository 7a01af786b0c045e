"""Answers of an inspection: taken in, replaced, taken back, gone with their part, kept in files and sketches."""

from __future__ import annotations

import msgspec
import pytest

from engine.files.codec import decode_boat, encode_boat
from engine.files.errors import OpenError
from engine.library.device import load_library
from engine.model.document import Document
from engine.model.edits.answering import answer, unanswer
from engine.model.edits.placing import delete
from engine.model.edits.records import EditRefused
from engine.model.invariants import problems
from engine.model.network import Answer
from engine.sketch import read_sketch, write_sketch

SKETCH = """
G1 battery
E1 lamp
W1: G1.pos - E1.supply + 18 AWG 2 m
answer battery-hold-down G1 yes by="R. Thorne" date=2026-05-01 note="tray and strap"
answer sheath-exit W1: 500
answer chafe @class:dc no
answer compass @boat yes
"""


def boat() -> Document:
    return read_sketch(SKETCH, load_library())


def test_a_sketch_says_them_both_ways() -> None:
    made = boat()
    assert [(each.subject, each.answer) for each in made.network.answers] == [
        ("part:p1", True), ("run:w1", 500.0), ("class:dc", False), ("boat", True)
    ]  # fmt: skip
    assert read_sketch(write_sketch(made, load_library()), load_library()) == made


def test_a_file_keeps_them_and_says_nothing_where_there_are_none() -> None:
    made = boat()
    assert decode_boat(encode_boat(made)) == made
    bare = msgspec.structs.replace(made, network=msgspec.structs.replace(made.network, answers=()))
    assert b"answers" not in encode_boat(bare)


def test_a_second_answer_takes_the_place_of_the_first() -> None:
    made = answer(boat(), Answer(item="battery-hold-down", subject="part:p1", answer=False))
    about = [each.answer for each in made.network.answers if each.item == "battery-hold-down"]
    assert about == [False]
    assert problems(made) == ()


def test_an_answer_can_be_taken_back() -> None:
    made = boat()
    assert len(unanswer(made, "compass", "boat").network.answers) == 3
    assert unanswer(made, "compass", "part:p1") is made


def test_it_goes_with_the_part_and_its_runs() -> None:
    made = delete(boat(), ["part:p1"])
    assert [each.subject for each in made.network.answers] == ["class:dc", "boat"]
    assert problems(made) == ()


def test_an_answer_about_nothing_is_refused_and_found() -> None:
    stray = Answer(item="chafe", subject="run:w9", answer=True)
    with pytest.raises(EditRefused):
        answer(boat(), stray)
    made = boat()
    broken = msgspec.structs.replace(made, network=msgspec.structs.replace(made.network, answers=(stray, stray)))
    assert {each.code for each in problems(broken)} == {"answer-of-nothing", "answer-twice"}
    with pytest.raises(OpenError) as caught:
        decode_boat(encode_boat(broken))
    assert "run:w9" in str(caught.value)
