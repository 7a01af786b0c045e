"""Run lines: number: port - port, poles, and what the cable is."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from engine.library.expand import ports_of
from engine.model.network import POLES, End, Run
from engine.model.quantity import Quantity, high, low
from engine.sketch.fields import FieldReader, merge, read_pairs, text
from engine.sketch.scene import Scene
from engine.sketch.tokens import Faults, Token, show, suggest
from engine.sketch.words import (
    Amount,
    Words,
    read_choice,
    read_flag,
    read_handle,
    read_list,
    read_quantity,
    sort_words,
    take_amounts,
)

COLOURS = ("BK", "BN", "RD", "OG", "YE", "GN", "BU", "VT", "GY", "WH", "PK", "GD", "TQ", "SR")
"""IEC 60757 letter codes."""

METRES: Mapping[str, float] = {"m": 1.0, "cm": 0.01, "mm": 0.001, "ft": 0.3048, "in": 0.0254}
SIZES: Mapping[str, str] = {"AWG": "AWG", "SAE": "SAE", "mm2": "mm2", "mm²": "mm2"}
_DEGREES = ("C", "°C")
_COVERS = ("open", "sheath", "conduit", "enclosure")
_BASES = ("one-way", "round-trip")
FLAGS: Mapping[str, tuple[str, object]] = {
    **{cover: ("cover", cover) for cover in _COVERS},
    **{basis: ("length_basis", basis) for basis in _BASES},
    "tinned": ("tinned", True),
    "bare": ("tinned", False),
    "stranded": ("stranded", True),
    "solid": ("stranded", False),
    "cranking": ("cranking", True),
}
"""Words of a run line: the field each sets, and to what."""

_POLE = re.compile(r"L1|L2|L|N|PE|BOND|\+|-|,")
_SIZE = re.compile(r"(\d[\d./]*) ?(AWG|SAE|mm2|mm²)")


def read_run(tokens: tuple[Token, ...], scene: Scene) -> None:
    """A run line into the scene."""
    head = _head(tokens[0])
    ends = _ends(tokens, scene)
    if ends is None:
        return
    rest = list(tokens[4:])
    poles = _poles(rest[0], scene.faults) if rest and _looks_like_poles(rest[0]) else None
    words = sort_words(rest[1:] if poles else rest, scene.faults)
    homes = scene.homes(words)
    fields = _cable(words, scene)
    run = Run(
        id=f"w{len(scene.runs) + 1}",
        a=ends[0],
        b=ends[1],
        poles=poles or _shared_poles(ends, tokens[3], scene),
        number=read_handle(head)[0],
        option=homes.get("option", ""),
        **{"label": words.label, **fields},
    )
    _check(run, tokens, scene.faults)
    if head.mask != "~":
        scene.remember(head, scene.run_of, len(scene.runs))
    scene.runs.append(run)


def _check(run: Run, tokens: tuple[Token, ...], faults: Faults) -> None:
    if run.a == run.b:
        faults.add(tokens[3], "both ends on one port", "lead it to another port")
    if len(run.colours) not in (0, len(run.poles)):
        poles = ",".join(run.poles)
        faults.add(tokens[0], f"{len(run.colours)} colours for the poles {poles}", "one for each pole, or ? for it")


def _head(token: Token) -> Token:
    pair = token.cut(":", last=True)
    return pair[0] if pair else token


def _ends(tokens: tuple[Token, ...], scene: Scene) -> tuple[End, End] | None:
    if len(tokens) < 4 or tokens[2].mask not in ("-", "–"):
        scene.faults.add(tokens[0], "a run without its two ends", "write number: part.port - part.port …")
        return None
    a, b = scene.find_end(tokens[1]), scene.find_end(tokens[3])
    return (a, b) if a and b else None


def _looks_like_poles(token: Token) -> bool:
    return bool(re.fullmatch(rf"(?:{_POLE.pattern})+", token.mask)) or _looks_mistyped(token)


def _looks_mistyped(token: Token) -> bool:
    return token.mask[:1] in ("+", "-") and "=" not in token.mask


def _poles(token: Token, faults: Faults) -> tuple[str, ...]:
    poles = tuple(pole for pole in _POLE.findall(token.text) if pole != ",")
    if _looks_mistyped(token) and not re.fullmatch(rf"(?:{_POLE.pattern})+", token.text):
        faults.unknown(token, "poles", POLES)
    if len(set(poles)) < len(poles):
        faults.add(token, f"a pole twice in {token.text}", "name each pole once")
    return poles


def _shared_poles(ends: tuple[End, End], token: Token, scene: Scene) -> tuple[str, ...]:
    parts = {part.id: part for part in scene.parts}
    carried = []
    for end in ends:
        part = parts[end.part]
        carried.append(next(port.poles for port in ports_of(part, scene.kind(part)) if port.name == end.port))
    shared = tuple(pole for pole in carried[0] if pole in carried[1])
    if not shared:
        scene.faults.add(token, "the two ports have no pole in common", "name the poles: + - L N PE BOND")
    return shared


def _cable(words: Words, scene: Scene) -> dict[str, Any]:
    faults = scene.faults
    fields: dict[str, Any] = {}
    for amount in take_amounts(words, (*SIZES, *METRES, *_DEGREES)):
        if amount.unit == "in" and fields.get("length_m") is not None:
            fields["length_m"] = _sum(fields["length_m"], _amount(amount, faults)["length_m"])
        else:
            merge(fields, _amount(amount, faults), amount.token, faults)
    for token in words.rest:
        merge(fields, _word(token, faults), token, faults)
    if "via" in words.pairs:
        fields["route"] = _route(words.pairs.pop("via"), scene)
    for key, value in read_pairs(words.pairs, PAIRS, faults).items():
        merge(fields, {_FIELD_OF.get(key, key): value}, words.pairs[key], faults)
    return fields


def _amount(amount: Amount, faults: Faults) -> dict[str, Any]:
    if amount.unit in SIZES:
        return {"size": "" if amount.text == "?" else f"{amount.text} {SIZES[amount.unit]}"}
    if "/" in amount.text:
        faults.add(amount.token, f"{amount.text} {amount.unit} is a fraction", "write it as a decimal")
    quantity = read_quantity(amount.part(0), faults)
    if amount.unit in _DEGREES:
        return {"insulation_c": quantity}
    return {"length_m": _scaled(quantity, METRES[amount.unit])}


def _scaled(quantity: Quantity, factor: float) -> Quantity:
    """In metres; rounded to a nanometre, so that 7 in is 0.1778 m and not a float beside it; metres stay as written."""
    if factor == 1:
        return quantity
    if isinstance(quantity, tuple):
        return round(quantity[0] * factor, 9), round(quantity[1] * factor, 9)
    return None if quantity is None else round(quantity * factor, 9)


def _sum(a: Quantity, b: Quantity) -> Quantity:
    if isinstance(a, float) and isinstance(b, float):
        return round(a + b, 9)
    return low(a) + low(b), high(a) + high(b)


def _word(token: Token, faults: Faults) -> dict[str, Any]:
    if token.text in FLAGS:
        field, value = FLAGS[token.text]
        return {field: value}
    if re.fullmatch(r"[A-Z,?]+", token.mask):
        return {"colours": tuple(_colour(code, faults) for code in read_list(token))}
    faults.add(token, f"{show(token.text)} has no meaning in a run line", suggest(token.text, FLAGS))
    return {}


def _colour(token: Token, faults: Faults) -> str:
    if token.text == "?":
        return ""
    codes = [token.text[at : at + 2] for at in range(0, len(token.text), 2)]
    if not all(code in COLOURS for code in codes):
        faults.unknown(token, "colour", COLOURS)
    return token.text


def _route(token: Token, scene: Scene) -> tuple[str, ...]:
    for space in read_list(token):
        if space.text not in scene.spaces:
            scene.faults.unknown(space, "space", scene.spaces)
    return tuple(space.text for space in read_list(token))


def _size(token: Token, faults: Faults) -> str:
    found = _SIZE.fullmatch(token.text)
    return f"{found[1]} {SIZES[found[2]]}" if found else text(token, faults)


def _listed_colours(token: Token, faults: Faults) -> tuple[str, ...]:
    return tuple(text(code, faults) for code in read_list(token))


def _basis(token: Token, faults: Faults) -> str | None:
    return read_choice(token, "length basis", _BASES, faults)


def _cover(token: Token, faults: Faults) -> str | None:
    return read_choice(token, "cover", _COVERS, faults)


PAIRS: Mapping[str, FieldReader] = {
    "size": _size,
    "pe": _size,
    "colours": _listed_colours,
    "bundled": read_quantity,
    "basis": _basis,
    "cover": _cover,
    "tinned": read_flag,
    "stranded": read_flag,
    "note": text,
    "label": text,
}
_FIELD_OF = {"pe": "pe_size", "basis": "length_basis"}
