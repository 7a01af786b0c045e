"""The system voltage in a panel's head comes from the sources that feed it."""

from engine.drawing.voltages import panel_voltages
from engine.model.document import Document
from engine.sketch import read_sketch
from tests.drawing.boats import QUILL, library


def voltages(document: Document) -> dict[str, str]:
    names = {part.id: part.designation for part in document.network.parts}
    return {names[part]: text for part, text in panel_voltages(document, library()).items()}


def read(text: str) -> Document:
    return read_sketch(text, library())


BATTERY = "G1 battery nominal_v=24\nF1 fuse_post 100 A\nA1 dc_panel\n  1 breaker 10 A\n1: G1.pos - F1.a +\n2: F1.b - A1.feed +\n"


def test_a_panel_takes_the_voltage_of_its_battery() -> None:
    assert voltages(read(BATTERY)) == {"A1": "24 V DC"}


def test_two_banks_that_disagree_give_none() -> None:
    text = BATTERY + "G2 battery nominal_v=12\nF2 fuse_post 100 A\n3: G2.pos - F2.a +\n4: F2.b - A1.feed +\n"
    assert voltages(read(text)) == {}


def test_an_unknown_voltage_is_not_guessed() -> None:
    assert voltages(read(BATTERY.replace(" nominal_v=24", " nominal_v=?"))) == {}


def test_what_a_way_feeds_does_not_count() -> None:
    text = BATTERY + "G2 battery nominal_v=12\n3: A1.1 - G2.pos +\n"
    assert voltages(read(text)) == {"A1": "24 V DC"}


def test_the_sloop_has_twelve_volts() -> None:
    assert voltages(read(QUILL))["A1"] == "12 V DC"
