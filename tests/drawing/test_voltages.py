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


def test_a_lithium_string_and_a_start_battery_are_one_system() -> None:
    text = BATTERY + "G2 battery nominal_v=25.6\nF2 fuse_post 100 A\n3: G2.pos - F2.a +\n4: F2.b - A1.feed +\n"
    assert voltages(read(text)) == {"A1": "24 V DC"}


def test_a_generator_is_no_source_of_dc() -> None:
    text = BATTERY + "G2 generator nominal_v=230\n3: F1.b - G2.start +\n"
    assert voltages(read(text)) == {"A1": "24 V DC"}


CONVERTER = "T1 dc_dc_isolated output_v=12\nA2 dc_panel\n  1 breaker 10 A\n3: A1.1 - T1.in +-\n4: T1.out - A2.feed +-\n"


def test_behind_a_converter_its_output_counts_and_before_it_nothing() -> None:
    assert voltages(read(BATTERY + CONVERTER)) == {"A1": "24 V DC", "A2": "12 V DC"}
    fed_back = CONVERTER.replace("A1.1 - T1.in", "F1.b - T1.in")
    assert voltages(read(BATTERY + fed_back)) == {"A1": "24 V DC", "A2": "12 V DC"}


def test_an_inverter_charger_passes_on_what_comes_from_shore() -> None:
    text = "X1 shore_inlet nominal_v=230\nA1 inverter_charger nominal_v=24\nA2 ac_panel\n  1 breaker 10 A\n"
    text += "1: X1.boat - A1.acin L,N,PE\n2: A1.acout - A2.feed L,N,PE\n"
    assert voltages(read(text)) == {"A2": "230 V AC"}


def test_an_unknown_voltage_is_not_guessed() -> None:
    assert voltages(read(BATTERY.replace(" nominal_v=24", " nominal_v=?"))) == {}


def test_what_a_way_feeds_does_not_count() -> None:
    text = BATTERY + "G2 battery nominal_v=12\n3: A1.1 - G2.pos +\n"
    assert voltages(read(text)) == {"A1": "24 V DC"}


def test_the_sloop_has_twelve_volts() -> None:
    assert voltages(read(QUILL))["A1"] == "12 V DC"
