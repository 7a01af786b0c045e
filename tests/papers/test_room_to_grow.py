"""The owner reads what may be added: the same figures as the study, in his words, nothing promised that is not sure."""

from __future__ import annotations

import msgspec
import pytest

from engine.drawing.bounds import texts
from engine.library.symbol import load_symbols
from engine.model.document import Document
from engine.papers.room_to_grow import additions, draw_text
from engine.papers.subject import Subject
from engine.pipeline import analyse
from engine.remedies.growth import rooms
from tests.samples.boats import document, library


def written(boat: Document) -> str:
    subject = Subject(boat, analyse(boat.network, library()), library(), load_symbols())
    blocks = additions(subject, 178.0)
    return " ".join(text.string for block in blocks for text in texts(block.items))


def test_each_way_panel_bus_and_bank_of_quill_34() -> None:
    text = written(document("quill_34"))
    assert "A1 ways 22, 23, 24" in text
    assert "1.1 A (13 W)" in text
    assert "F5 Panel feed carries 78.9 A already, and may carry 80 A" in text
    assert "16 A (192 W)" in text
    assert "stays live with every battery switch off" in text
    assert "No stud is free on W1 Positive bus 1, W2 Positive bus 2 and W3 House bus." in text
    assert "G1 Start battery starts the engine" in text
    assert "G2 House bank (At anchor)" in text
    assert "wire 120 is there, 12 AWG" in text


def test_what_is_not_known_is_not_promised() -> None:
    boat = document("quill_34")
    parts = tuple(_without_current(part) if part.designation == "E5" else part for part in boat.network.parts)
    unknown = msgspec.structs.replace(boat, network=msgspec.structs.replace(boat.network, parts=parts))
    text = written(unknown)
    assert "not known" in text
    assert "running current of E5 Instruments" in text
    assert "1.1 A (13 W)" not in text


def _without_current(part):  # type: ignore[no-untyped-def]
    return msgspec.structs.replace(part, values={name: v for name, v in part.values.items() if name != "running_a"})


@pytest.mark.parametrize("name", ["quill_34", "quill_26_launch", "marguerite_as_built"])
def test_amperes_are_rounded_down(name: str) -> None:
    analysis = analyse(document(name).network, library())
    for room in rooms(analysis.boat, analysis.report.books):
        text = draw_text(room)
        if text[0].isdecimal():
            assert float(text.split()[0]) <= room.amps.least + 1e-9


def test_a_boat_without_ways_says_so() -> None:
    assert "no spare and no prepared way" in written(Document())
