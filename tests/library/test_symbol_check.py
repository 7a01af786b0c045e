"""The checks of symbols and devices: the program's own pass, and each check can fail."""

from __future__ import annotations

import msgspec
import pytest

from engine.library.device import DeviceKind, load_library
from engine.library.symbol import Symbol, load_symbols, read_symbol
from engine.library.symbol_check import check_symbols, device_problems, symbol_problems
from tests.library.test_symbol import GOOD

DEVICE = load_library()["fuse_bolt"]
SOUND = GOOD.replace("at = [0, 0.5]", "at = [1, 0.9]").replace(
    "designation = { at = [0, -2] }", "designation = { at = [0, -1.5] }"
)


def test_the_programs_own_symbols_and_devices_are_in_order() -> None:
    assert check_symbols() == []


def test_the_sound_symbol_is_sound() -> None:
    assert symbol_problems({"t": read_symbol("t", SOUND)}) == []


@pytest.mark.parametrize(("old", "new", "told"), [
    ('source = "drawn for this test"', 'source = ""', "names no source"),
    ('title = "Test"', 'title = " "', "has no title"),
    ("at = [-2, 0]", "at = [-2, 0.5]", "not on whole modules"),
    ("at = [-2, 0]", "at = [-1, 0]", "not on the left edge"),
    ("at = [-2, 0]", "at = [-2, 1]", "nothing is drawn at pin a"),
    ("M -2 0 H 2", "M -2 0 H 3", "stroke 1 leaves the box"),
    ("M -2 0 H 0", "M -2 -2 V 2", "na: stroke 1 leaves the box"),
    ('lead = "a"', 'lead = "b"', "is no pin"),
    ("at = [1, 0.9]", "at = [1, 0.9]\nheight_mm = 1.5", "letter G is lower"),
    ("at = [1, 0.9]", "at = [1.9, 0.9]", "letter G leaves the box"),
    ("at = [0, -1.5]", "at = [0, 0]", "the designation stands in the box"),
    ("at = [1, 3], anchor = \"start\"", "at = [-3, 0.3], anchor = \"end\"", "the data stands in the way of pin a"),
    ("data = { at = [1, 3]", "data = { at = [0, -1.5]", "designation and data stand on each other"),
    ("box = [-2, -1, 2, 1]", "box = [-2, 1, 2, -1]", "must be [left, top, right, bottom]"),
])  # fmt: skip
def test_a_symbol_out_of_order_is_told(old: str, new: str, told: str) -> None:
    assert old in SOUND
    problems = symbol_problems({"t": read_symbol("t", SOUND.replace(old, new))})
    assert any(told in line for line in problems), problems


def test_two_pins_of_one_name_or_place_are_told() -> None:
    symbol = read_symbol("t", SOUND)
    doubled = msgspec.structs.replace(symbol, pins=symbol.pins * 2)
    problems = symbol_problems({"t": doubled})
    assert any("pin a is there twice" in line for line in problems)
    assert any("two pins at" in line for line in problems)


def broken(**changes: object) -> list[str]:
    kind: DeviceKind = msgspec.structs.replace(DEVICE, **changes)
    return device_problems({"x": kind}, load_symbols())


def first(entries: tuple[object, ...], **changes: object) -> tuple[object, ...]:
    return (msgspec.structs.replace(entries[0], **changes), *entries[1:])  # type: ignore[type-var]


@pytest.mark.parametrize(("changes", "told"), [
    ({"about": "Two. Sentences."}, "one sentence"),
    ({"letter": "FC"}, "one capital"),
    ({"symbol": "nothing"}, "there is no symbol nothing"),
    ({"symbol": "bond_point"}, "no pin for port a"),
    ({"inline": ("a", "c")}, "inline port c"),
    ({"port": first(DEVICE.port, poles=("X",))}, "X is no pole"),
    ({"port": first(DEVICE.port, name="b")}, "port b is there twice"),
    ({"port": first(DEVICE.port, count="studs")}, "studs is no value"),
    ({"link": first(DEVICE.link, between=("a:+", "c:+"))}, "c:+ is no port:pole"),
    ({"link": first(DEVICE.link, states=("on",))}, "on is no state"),
    ({"link": first(DEVICE.link, rating="size")}, "rating size is no value"),
    ({"link": first(DEVICE.link, only_if="rating_a")}, "only_if rating_a is no flag"),
    ({"link": first(DEVICE.link, kind="residual")}, "spans the live poles"),
    ({"value": first(DEVICE.value, default=5000.0)}, "outside 0.1 to 2000"),
    ({"value": first(DEVICE.value, default="large")}, "does not fit type quantity"),
    ({"value": first(DEVICE.value, choices=("a",))}, "a choice has choices"),
    ({"value": first(DEVICE.value, min=5000.0)}, "min is above max"),
    ({"preset": first(DEVICE.preset, source="")}, "names no source"),
    ({"preset": first(DEVICE.preset, values={"size": 1.0})}, "size is no value"),
    ({"preset": first(DEVICE.preset, values={"rating_a": (200.0, 100.0)})}, "runs backwards"),
    ({"preset": first(DEVICE.preset, values={"ignition_protected": 1.0})}, "does not fit type flag"),
])  # fmt: skip
def test_a_device_out_of_order_is_told(changes: dict[str, object], told: str) -> None:
    assert any(told in line for line in broken(**changes)), broken(**changes)


def test_symbols_know_no_colour_and_every_pin_has_a_lead_or_an_edge() -> None:
    symbols: list[Symbol] = list(load_symbols().values())
    assert {stroke.fill for symbol in symbols for stroke in symbol.iec.strokes} <= {"none", "ink", "paper"}
