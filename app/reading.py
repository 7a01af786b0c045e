"""What is typed into a field becomes a value, and a value becomes the text that is shown. Both unit worlds.

Every refusal is one sentence that says what is wrong and how to write it. Knows fields; no widget, no document.
"""

from __future__ import annotations

from typing import Any

from app.panels.fields import Field
from engine.drawing.theme import is_wire_code
from engine.electrics.sizes import parse_size, substitutes
from engine.electrics.sources import ElectricsError
from engine.messages import tr
from engine.model.quantity import Quantity, high, low
from engine.units import QuantityError, World, convert, format_quantity, parse_quantity, sizes_shown, world_unit

UNKNOWN = "?"
SEVERAL = "…"
_YES = ("yes", "y", "true", "1", "x", "✓")
_NO = ("no", "n", "false", "0", "✗")


class FieldRefusedError(ValueError):
    """A text that the field cannot take; the sentence says why and how to write it."""


def read(field: Field, text: str, world: World) -> Any:
    """The value that the text stands for. Raises FieldRefusedError."""
    plain = text.strip()
    if not plain and not field.optional:
        raise FieldRefusedError(tr("{field} cannot be empty.").format(field=field.title))
    reader = _READERS.get(field.type)
    return reader(field, plain, world) if reader else plain


def shown(field: Field, value: Any, world: World) -> str:
    """The value as the field shows it."""
    if field.type == "quantity":
        return _quantity_text(field, value, world)
    if field.type == "flag":
        return UNKNOWN if value is None else tr("yes") if value else tr("no")
    if field.type == "choice":
        return field.none if value in (None, "") else dict(field.choices).get(str(value), str(value))
    if field.type == "codes":
        return ", ".join(code or UNKNOWN for code in value or ())
    if field.type == "names":
        return ", ".join(dict(field.choices).get(name, name) for name in value or ())
    if field.type == "size":
        return sizes_shown(value or UNKNOWN)
    return str(value or "")


def tip(field: Field, value: Any, world: World) -> str:
    """What hovering over the field tells: what it means, the other unit world, which size stands in for another."""
    lines = [field.about, _other_text(field, value, world)]
    if field.grave and is_unknown(value):
        lines.append(tr("A check on safety needs this."))
    return "\n".join(line for line in lines if line)


def is_unknown(value: Any) -> bool:
    """True where nothing is known: no quantity, no size, no colour."""
    return value is None or value in ("", ())


def bare_unit(unit: str, world: World) -> str:
    """The unit of a number typed without one. Temperatures are in °C in both worlds, as cable is marked."""
    return unit if unit == "degC" else world_unit(unit, world)


def _quantity_text(field: Field, value: Quantity, world: World) -> str:
    if value is None:
        return UNKNOWN
    if not field.unit:
        ends = value if isinstance(value, tuple) else (value,)
        return "–".join(f"{end:g}" for end in ends)
    return format_quantity(value, field.unit, "metric" if field.unit == "degC" else world)


def _other_text(field: Field, value: Any, world: World) -> str:
    if field.type == "quantity" and field.unit and value is not None:
        here = "metric" if field.unit == "degC" else world
        other = format_quantity(value, field.unit, "us" if here == "metric" else "metric")
        return "" if other == _quantity_text(field, value, world) else other
    if field.type == "size" and value:
        return _size_tip(value, world)
    return ""


def _size_tip(text: str, world: World) -> str:
    try:
        size = parse_size(text, "AWG" if world == "us" else "metric")
    except ElectricsError:
        return ""
    note = substitutes(size, "AWG" if size.system == "metric" else "metric").note
    return note.text


def _read_quantity(field: Field, text: str, world: World) -> Quantity:
    value = _bare(field, text) if not field.unit else _united(field, text, world)
    if value is None:
        return None
    if (field.least is not None and low(value) < field.least) or (field.most is not None and high(value) > field.most):
        raise FieldRefusedError(_limits(field, world))
    return value


def _united(field: Field, text: str, world: World) -> Quantity:
    try:
        return parse_quantity(text, field.unit, bare_unit(field.unit, world))
    except QuantityError as error:
        raise FieldRefusedError(str(error)) from error


def _bare(field: Field, text: str) -> Quantity:
    """A plain number: read as a share, whose sign is then not allowed."""
    try:
        if "%" in text:
            raise QuantityError("unit-unknown", "")
        return parse_quantity(text, "%")
    except QuantityError as error:
        raise FieldRefusedError(tr("{field} is a plain number, a range, or ?.").format(field=field.title)) from error


def _limits(field: Field, world: World) -> str:
    ends = (field.least, field.most)
    texts = ["" if end is None else _quantity_text(field, end, world) for end in ends]
    if not texts[1]:
        return tr("{field} is {least} or more.").format(field=field.title, least=texts[0])
    if not texts[0]:
        return tr("{field} is {most} or less.").format(field=field.title, most=texts[1])
    return tr("{field} is between {least} and {most}.").format(field=field.title, least=texts[0], most=texts[1])


def _read_flag(field: Field, text: str, _world: World) -> bool | None:
    word = text.casefold()
    if word in _YES or word == tr("yes"):
        return True
    if word in _NO or word == tr("no"):
        return False
    if word in ("", UNKNOWN) and field.optional:
        return None
    raise FieldRefusedError(tr("{field} is yes, no or ?.").format(field=field.title))


def _read_choice(field: Field, text: str, _world: World) -> str | None:
    word = text.casefold()
    for value, title in field.choices:
        if word in (value.casefold(), title.casefold()):
            return value
    if word in ("", UNKNOWN, field.none.casefold()) and field.optional:
        return "" if field.key in ("compartment", "enclosure", "option") else None
    titles = ", ".join(title for _, title in field.choices) or tr("nothing yet")
    raise FieldRefusedError(tr("“{text}” is none of: {choices}.").format(text=text, choices=titles))


def _read_size(_field: Field, text: str, world: World) -> str:
    if text in ("", UNKNOWN):
        return ""
    try:
        return parse_size(text, "AWG" if world == "us" else "metric").name.replace("mm²", "mm2")
    except ElectricsError as error:
        raise FieldRefusedError(str(error)) from error


def _read_codes(field: Field, text: str, _world: World) -> tuple[str, ...]:
    codes = tuple(word.upper() for word in text.replace(";", ",").replace(",", " ").split())
    for code in codes:
        if code != UNKNOWN and not is_wire_code(code):
            raise FieldRefusedError(tr("“{code}” is no colour code. Write RD, BK, YE, GNYE, or ?.").format(code=code))
    return tuple("" if code == UNKNOWN else code for code in codes)


def _read_names(field: Field, text: str, _world: World) -> tuple[str, ...]:
    known = {word.casefold(): value for value, title in field.choices for word in (value, title)}
    found: list[str] = []
    for word in (word.strip() for word in text.split(",")):
        if word and word.casefold() not in known:
            titles = ", ".join(title for _, title in field.choices) or tr("nothing yet")
            raise FieldRefusedError(tr("“{text}” is none of: {choices}.").format(text=word, choices=titles))
        if word:
            found.append(known[word.casefold()])
    return tuple(found)


_READERS = {
    "quantity": _read_quantity,
    "flag": _read_flag,
    "choice": _read_choice,
    "size": _read_size,
    "codes": _read_codes,
    "names": _read_names,
}


def within_unit(value: float, unit: str, world: World) -> float:
    """A value in the unit the world shows, for sorting and for pasting out."""
    return convert(value, unit, bare_unit(unit, world)) if unit else value
