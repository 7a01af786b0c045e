"""The plain statements of a sketch: boat, revision, space, box, option. Each is a table from key to how it is read."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from typing import Any, get_args

from engine.model.network import Engine, Fuel, Opening, Rulebook, SpaceKind, UnitSystem
from engine.sketch.tokens import Faults, Token
from engine.sketch.words import Words, read_choice, read_flag, read_list, read_quantity, read_text

FieldReader = Callable[[Token, Faults], Any]


def text(token: Token, faults: Faults) -> str:
    """A text field; unknown is empty."""
    return read_text(token) or ""


def _one_of(what: str, choices: Collection[str]) -> FieldReader:
    return lambda token, faults: read_choice(token, what, choices, faults)


def _must_be(what: str, choices: Collection[str]) -> FieldReader:
    def read(token: Token, faults: Faults) -> str:
        if token.text not in choices:
            faults.unknown(token, what, choices)
        return token.text

    return read


def _rulebooks(token: Token, faults: Faults) -> tuple[str, ...]:
    known = get_args(Rulebook)
    if token.text == "none":
        return ()
    return tuple(_must_be("rulebook", known)(book, faults) for book in read_list(token))


def _names(token: Token, faults: Faults) -> tuple[str, ...]:
    return tuple(name.text for name in read_list(token))


def _outline(token: Token, faults: Faults) -> tuple[tuple[float, float], ...]:
    corners = []
    for corner in token.split(";") if token.text else []:
        numbers = [read_quantity(number, faults) for number in read_list(corner)]
        if len(numbers) == 2 and all(isinstance(number, float) for number in numbers):
            corners.append((numbers[0], numbers[1]))
        else:
            faults.add(corner, f"the corner {corner.text} is not a point", "write x,y;x,y;… in metres")
    return tuple(corners)  # type: ignore[arg-type]  # both are floats, see above


def reference(token: Token, what: str, known: Collection[str], faults: Faults) -> str:
    """The id of something declared elsewhere in the sketch."""
    if token.text not in known:
        faults.unknown(token, what, known)
    return token.text


_TEXTS = "name model hull yard drawn_by approved_by date drawing_number revision hull_material shore_region language"
BOAT: Mapping[str, FieldReader] = {
    **dict.fromkeys(_TEXTS.split(), text),
    "rules": _rulebooks,
    "fuel": _one_of("fuel", get_args(Fuel)),
    "engine": _one_of("engine", get_args(Engine)),
    "units": _must_be("unit system", get_args(UnitSystem)),
    "symbols": _must_be("symbol set", ("iec", "na")),
}
REVISION: Mapping[str, FieldReader] = {"date": text, "by": text, "text": text}
SPACE: Mapping[str, FieldReader] = {
    "kind": _must_be("kind of space", get_args(SpaceKind)),
    "petrol_vapour": read_flag,
    "ambient_c": read_quantity,
    "outline_m": _outline,
}
BOX: Mapping[str, FieldReader] = {
    "opens": _one_of("way to open", get_args(Opening)),
    "ac_guard": _one_of("guard", (*get_args(Opening), "none")),
    "partition": read_flag,
}
OPTION: Mapping[str, FieldReader] = {"needs": _names, "excludes": _names}


def read_fields(words: Words, readers: Mapping[str, FieldReader], faults: Faults) -> dict[str, Any]:
    """The pairs read by the table; a key that is not in it is a fault. Takes no loose words."""
    for token in words.rest:
        faults.add(token, f"“{token.text}” has no meaning here", 'write key=value, or put a text in "quotes"')
    return read_pairs(words.pairs, readers, faults)


def read_pairs(pairs: Mapping[str, Token], readers: Mapping[str, FieldReader], faults: Faults) -> dict[str, Any]:
    """The pairs read by the table."""
    fields: dict[str, Any] = {}
    for key, token in pairs.items():
        if key in readers:
            fields[key] = readers[key](token, faults)
        else:
            at = Token(key, key, token.line, token.column - len(key) - 1)
            faults.unknown(at, "key", readers)
    return fields


def merge(fields: dict[str, Any], said: Mapping[str, Any], token: Token, faults: Faults) -> None:
    """Add what a word says; the same field twice is a fault."""
    for field in fields.keys() & said.keys():
        faults.add(token, f"“{token.text}” says {field} a second time", "leave one out")
    fields.update(said)
