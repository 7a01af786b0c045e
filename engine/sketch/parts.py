"""Part lines and the ways of panels below them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, get_args

from engine.library.device import DeviceKind, ValueSpec
from engine.model.defaults import default_values
from engine.model.network import Part, Position, PositionDevice, PositionState
from engine.model.quantity import Quantity, Value
from engine.sketch.fields import FieldReader, merge, read_pairs, text
from engine.sketch.scene import Scene
from engine.sketch.tokens import Faults, Token, show
from engine.sketch.words import (
    Amount,
    Words,
    read_choice,
    read_flag,
    read_handle,
    read_quantity,
    read_text,
    sort_words,
    take_amounts,
)

_RATINGS = ("rating_a", "holder_largest_a")
_DEVICES = get_args(PositionDevice)
_STATES = get_args(PositionState)
MAY_STAY_ON = "may-stay-on"


def read_part(tokens: tuple[Token, ...], ways: list[tuple[Token, ...]], scene: Scene) -> None:
    """A part line and the ways below it into the scene."""
    head = tokens[0]
    kind = _kind(tokens, scene)
    if kind is None:
        return
    words = sort_words(tokens[2:], scene.faults)
    homes = scene.homes(words)
    note = words.pairs.pop("note", None)
    values = _values(words, kind, scene.faults)
    part = Part(
        id=f"p{len(scene.parts) + 1}",
        kind=kind.id,
        designation=read_handle(head)[0],
        label=words.label,
        values=values,
        positions=_positions(ways, kind, scene.faults),
        note=note.text if note else "",
        **homes,
    )
    scene.remember(head, scene.part_of, len(scene.parts))
    scene.parts.append(part)


def _kind(tokens: tuple[Token, ...], scene: Scene) -> DeviceKind | None:
    if len(tokens) < 2:
        scene.faults.add(tokens[0], f"{show(tokens[0].text)} alone says nothing", "write: designation kind …")
        return None
    if tokens[1].text not in scene.library:
        scene.faults.unknown(tokens[1], "kind", scene.library)
    return scene.library.get(tokens[1].text)


def _values(words: Words, kind: DeviceKind, faults: Faults) -> dict[str, Value]:
    specs = {spec.name: spec for spec in kind.value}
    said: dict[str, Value] = {}
    for amount in take_amounts(words, ("A",)):
        rated = _ratings(amount, [name for name in _RATINGS if name in specs], kind, faults)
        merge(said, rated, amount.token, faults)
    for token in words.rest:
        faults.add(token, f"{show(token.text)} has no meaning in a part line", "write key=value")
    pairs = read_pairs(words.pairs, {name: value_reader(spec) for name, spec in specs.items()}, faults)
    for name, value in pairs.items():
        merge(said, {name: value}, words.pairs[name], faults)
    return default_values(kind) | said


def _ratings(amount: Amount, names: list[str], kind: DeviceKind, faults: Faults) -> dict[str, Value]:
    pieces = amount.text.split("/")
    if names[: len(pieces)] != list(_RATINGS[: len(pieces)]):
        faults.add(amount.token, f"a {kind.id} has no {_RATINGS[len(pieces) - 1]}", "write key=value")
        return {}
    return {name: read_quantity(amount.part(index), faults) for index, name in enumerate(names[: len(pieces)])}


def value_reader(spec: ValueSpec) -> FieldReader:
    """How a value of a device kind is read."""
    readers: Mapping[str, FieldReader] = {
        "quantity": read_quantity,
        "flag": read_flag,
        "text": lambda token, faults: read_text(token),
        "choice": lambda token, faults: read_choice(token, spec.name, spec.choices, faults),
    }
    return readers[spec.type]


def _positions(ways: list[tuple[Token, ...]], kind: DeviceKind, faults: Faults) -> tuple[Position, ...]:
    if ways and kind.role not in ("dc_panel", "ac_panel"):
        faults.add(ways[0][0], f"a {kind.id} has no ways", "begin the line at the margin")
        return ()
    positions: dict[str, Position] = {}
    for tokens in ways:
        if tokens[0].text in positions:
            faults.add(tokens[0], f"the way {show(tokens[0].text)} is there twice", "number it anew")
        positions[tokens[0].text] = _position(tokens, faults)
    return tuple(positions.values())


def _position(tokens: tuple[Token, ...], faults: Faults) -> Position:
    words = sort_words(tokens[1:], faults)
    fields: dict[str, Any] = {}
    for amount in take_amounts(words, ("A", "mA", "P")):
        merge(fields, _AMOUNTS[amount.unit](amount, faults), amount.token, faults)
    for token in words.rest:
        merge(fields, _word(token, faults), token, faults)
    fields |= read_pairs(words.pairs, {"interrupting_a": read_quantity, "label": text}, faults)
    if fields.get("state") == "blank":
        fields.setdefault("device", "none")
    elif "device" not in fields:
        faults.add(tokens[0], f"the way {show(tokens[0].text)} has no device", f"write one of: {', '.join(_DEVICES)}")
    return Position(key=tokens[0].text, **{"label": words.label, **fields})


def _word(token: Token, faults: Faults) -> dict[str, Any]:
    if token.text in _DEVICES:
        return {"device": token.text}
    if token.text in _STATES:
        return {"state": token.text}
    if token.text != MAY_STAY_ON:
        faults.unknown(token, "word", (*_DEVICES, *_STATES, MAY_STAY_ON))
    return {"may_stay_on": True}


def _way_ratings(amount: Amount, faults: Faults) -> dict[str, Quantity]:
    ratings: dict[str, Quantity] = {"rating_a": read_quantity(amount.part(0), faults)}
    if "/" in amount.text:
        ratings["holder_largest_a"] = read_quantity(amount.part(1), faults)
    return ratings


def _way_poles(amount: Amount, faults: Faults) -> dict[str, int]:
    if amount.text not in ("1", "2", "3", "4"):
        faults.add(amount.token, f"{amount.text}P is no number of poles", "write 1P, 2P, 3P or 4P")
        return {}
    return {"poles": int(amount.text)}


def _way_residual(amount: Amount, faults: Faults) -> dict[str, Quantity]:
    return {"residual_ma": read_quantity(amount.part(0), faults)}


_AMOUNTS: Mapping[str, Callable[[Amount, Faults], Mapping[str, Any]]] = {
    "A": _way_ratings,
    "P": _way_poles,
    "mA": _way_residual,
}
