"""What people type and read: quantities with units in both unit worlds, turned into plain floats and back.

Inside the program a quantity is a float whose unit stands in its name, a range (low, high), or None for unknown. This
module knows units and their spelling, nothing of boats. Common units need no library; pint is asked only for others.
"""

from __future__ import annotations

import math
import re
from functools import cache
from typing import Any, Literal

import msgspec

World = Literal["us", "metric"]
Quantity = float | tuple[float, float] | None
"""A number, a range (low, high), or unknown."""


class QuantityError(ValueError):
    """A text that is no quantity of the wanted kind. `code` is stable; `values` are the texts put into the sentence."""

    def __init__(self, code: str, sentence: str, **values: str) -> None:
        super().__init__(sentence.format(**values))
        self.code = code
        self.values = values


def sizes_shown(text: str) -> str:
    """A text with its sizes of conductors as they are shown: "6 mm2" of the file as "6 mm²"."""
    return text.replace(" mm2", " mm²")


class _Unit(msgspec.Struct, frozen=True):
    """A unit: its kind, its size in the kind's base unit (and offset for temperatures), and how it is written."""

    kind: str
    factor: float
    written: str
    offset: float = 0.0


_UNITS: dict[str, _Unit] = {
    "m": _Unit("length", 1.0, "m"),
    "cm": _Unit("length", 0.01, "cm"),
    "mm": _Unit("length", 0.001, "mm"),
    "ft": _Unit("length", 0.3048, "ft"),
    "in": _Unit("length", 0.0254, "in"),
    "A": _Unit("current", 1.0, "A"),
    "mA": _Unit("current", 0.001, "mA"),
    "kA": _Unit("current", 1000.0, "kA"),
    "V": _Unit("voltage", 1.0, "V"),
    "mV": _Unit("voltage", 0.001, "mV"),
    "W": _Unit("power", 1.0, "W"),
    "kW": _Unit("power", 1000.0, "kW"),
    "VA": _Unit("apparent power", 1.0, "VA"),
    "kVA": _Unit("apparent power", 1000.0, "kVA"),
    "Ah": _Unit("charge", 1.0, "Ah"),
    "mAh": _Unit("charge", 0.001, "mAh"),
    "Wh": _Unit("energy", 1.0, "Wh"),
    "kWh": _Unit("energy", 1000.0, "kWh"),
    "ohm": _Unit("resistance", 1.0, "Ω"),
    "mohm": _Unit("resistance", 0.001, "mΩ"),
    "degC": _Unit("temperature", 1.0, "°C"),
    "degF": _Unit("temperature", 5 / 9, "°F", -32.0),
    "mm2": _Unit("area", 1.0, "mm²"),
    "cmil": _Unit("area", 1 / 1973.525241, "CM"),
    "kg": _Unit("mass", 1.0, "kg"),
    "lb": _Unit("mass", 0.45359237, "lb"),
    "s": _Unit("time", 1.0, "s"),
    "min": _Unit("time", 60.0, "min"),
    "h": _Unit("time", 3600.0, "h"),
    "Hz": _Unit("frequency", 1.0, "Hz"),
    "%": _Unit("share", 1.0, "%"),
    "": _Unit("number", 1.0, ""),
}

_SPELLINGS: dict[str, str] = {
    "metre": "m", "metres": "m", "meter": "m", "meters": "m",
    "'": "ft", "′": "ft", "’": "ft", "foot": "ft", "feet": "ft",
    '"': "in", "″": "in", "”": "in", "inch": "in", "inches": "in",
    "amp": "A", "amps": "A", "ampere": "A", "amperes": "A", "volt": "V", "volts": "V",
    "watt": "W", "watts": "W", "\u03a9": "ohm", "\u2126": "ohm", "ohms": "ohm", "m\u03a9": "mohm", "m\u2126": "mohm",
    "°C": "degC", "℃": "degC", "°F": "degF", "℉": "degF", "mm²": "mm2", "mm^2": "mm2", "sqmm": "mm2", "CM": "cmil",
    "lbs": "lb", "sec": "s", "minutes": "min", "hr": "h", "hrs": "h", "hours": "h", "A·h": "Ah", "W·h": "Wh",
}  # fmt: skip

_OTHER_WORLD: dict[str, tuple[str, str]] = {
    "length": ("ft", "m"),
    "short length": ("in", "mm"),
    "temperature": ("degF", "degC"),
    "mass": ("lb", "kg"),
}
"""Kinds that differ between the worlds: (us, metric)."""

_MILLI = frozenset({"mA", "mV", "mAh", "mohm"})
"""Their m must be small: MA would be mega, so it is refused and never read as mA."""
_UNKNOWN = frozenset({"", "?", "unknown", "not known", "n/k"})
_LONGEST = 60
"""Characters; keeps a pasted page, and every infinite number, out of the reading."""
_NUMBER = r"[+-]?(?:\d+(?:[.,]\d+)*|[.,]\d+)"
_ONE = re.compile(
    rf"(?P<number>{_NUMBER})(?:\s+(?P<over>\d+/\d+)|(?P<bar>/\d+))?\s*(?P<unit>[^\d\s+\-.,/][^\d\s]*[²2]?)?"
)
_FEET_INCHES = re.compile(
    r"(?P<feet>\d+)\s*(?:ft|feet|foot|['′’])\s*-?\s*(?P<inches>\d+(?:[.,]\d+)?)\s*(?:in|inch|inches|[\"″”])?"
)
_RANGE = re.compile(
    rf"(?P<low>{_NUMBER})\s*(?P<unit>[^\d\s+\-–—.,/]+)?\s*(?:\.\.+|…|–|—|-|\bto\b)\s*(?P<high>[\d.,].*)"
)


def units() -> tuple[str, ...]:
    """The unit names this module takes: "m", "ft", "in", "mm", "A", "Ah", "ohm", "degC" …"""
    return tuple(_UNITS)


def parse_quantity(text: str, unit: str, bare_unit: str | None = None) -> Quantity:
    """Read what a person typed as a quantity in `unit`: a float, a range (low, high), or None for unknown.

    A number without a unit is in `bare_unit`, or in `unit` where that is not given: parse_quantity("12", "m", "ft") is
    3.6576. "", "?" and "unknown" are None. Decimal comma and point both count.
    Raises QuantityError: "number-not-understood", "comma-ambiguous", "unit-unknown", "unit-of-other-kind",
    "too-long"; each sentence says what to type.
    """
    plain = " ".join(text.strip().replace("−", "-").split())
    if len(plain) > _LONGEST:
        raise QuantityError("too-long", "“{text}” is too long to be a quantity.", text=plain[:20] + "…")
    if plain.casefold() in _UNKNOWN:
        return None
    found = _RANGE.fullmatch(plain)
    if found is None or _FEET_INCHES.fullmatch(plain):
        return _parse_one(plain, unit, bare_unit or unit)
    return _parse_range(found, unit, bare_unit or unit)


def _parse_range(found: re.Match[str], unit: str, bare_unit: str) -> Quantity:
    """Both ends, in order; a unit after the second end counts for the first too ("150-175 A")."""
    high_text = found["high"]
    low_unit = found["unit"] or _unit_of(high_text)
    ends = (
        _parse_one(f"{found['low']} {low_unit or ''}".strip(), unit, bare_unit),
        _parse_one(high_text, unit, bare_unit),
    )
    return min(ends) if ends[0] == ends[1] else (min(ends), max(ends))


def _unit_of(text: str) -> str | None:
    found = _ONE.fullmatch(text)
    return found["unit"] if found else None


def _parse_one(text: str, unit: str, bare_unit: str) -> float:
    if feet := _FEET_INCHES.fullmatch(text):
        inches = 12 * _number(feet["feet"]) + _number(feet["inches"])
        return _converted(inches, "in", unit)
    found = _ONE.fullmatch(text)
    if found is None:
        sentence = "“{text}” is no quantity. Write a number and a unit, like {example}, a range, or ? for unknown."
        raise QuantityError("number-not-understood", sentence, text=text, example=_example(unit))
    value = _number(found["number"])
    if found["bar"]:
        value = _fraction(f"{found['number']}{found['bar']}")
    elif found["over"]:
        value += math.copysign(_fraction(found["over"]), value)
    return _converted(value, found["unit"] or bare_unit, unit)


def _number(text: str) -> float:
    """A number with decimal point or comma. One comma before exactly three digits could be either and is refused."""
    separators = re.findall(r"[.,]", text)
    if len(separators) > 1 or re.fullmatch(r"[+-]?[1-9]\d{0,2},\d{3}", text):
        sentence = (
            "“{text}” could be read in two ways. Write thousands without a comma (1500), decimals with a point (1.5)."
        )
        raise QuantityError("comma-ambiguous", sentence, text=text)
    return float(text.replace(",", "."))


def _fraction(text: str) -> float:
    above, below = text.split("/")
    if int(below) == 0:
        raise QuantityError("number-not-understood", "“{text}” divides by zero. Write a number like 0.5.", text=text)
    return _number(above) / int(below)


def _converted(value: float, typed: str, unit: str) -> float:
    target = _UNITS[unit]
    source = _find_unit(typed)
    if source is None:
        return _converted_by_pint(value, typed, unit)
    if source.kind != target.kind:
        raise _other_kind(typed, source.kind, unit)
    return value if source == target else _rescaled(value, source, target)


def _rescaled(value: float, source: _Unit, target: _Unit) -> float:
    """Fifteen figures, so that 12 in is 0.3048 m and not 0.30479999999999996 m."""
    base = (value + source.offset) * source.factor
    return float(f"{base / target.factor - target.offset:.15g}")


def _find_unit(typed: str) -> _Unit | None:
    """A unit by its exact name, a usual spelling, or with other capitals where that leaves one meaning."""
    name = _SPELLINGS.get(typed, _SPELLINGS.get(typed.casefold(), typed)).rstrip(".")
    if name in _UNITS:
        return _UNITS[name]
    alike = [other for other in _UNITS if other.casefold() == name.casefold()]
    if len(alike) != 1 or (alike[0] in _MILLI and not name.startswith("m")):
        return None
    return _UNITS[alike[0]]


def _other_kind(typed: str, kind: str, unit: str) -> QuantityError:
    sentence = "“{typed}” is a unit of {kind}; {wanted} is asked here. Write it like {example}."
    return QuantityError(
        "unit-of-other-kind", sentence, typed=typed, kind=kind, wanted=_UNITS[unit].kind, example=_example(unit)
    )


@cache
def _registry() -> Any:
    import pint  # heavy; only for units that are not in the table above

    return pint.UnitRegistry()


def _converted_by_pint(value: float, typed: str, unit: str) -> float:
    """Rarer units ("fathom", "hp", "yd"). Errors as parse_quantity says."""
    import pint

    if not typed.isalpha() or typed.casefold() in {milli.casefold() for milli in _MILLI}:
        raise _unknown_unit(typed, unit)
    try:
        return float(_registry().Quantity(value, typed).to(_PINT_NAMES.get(unit, unit)).magnitude)
    except pint.DimensionalityError as error:
        raise _other_kind(typed, "another kind", unit) from error
    except pint.PintError as error:
        raise _unknown_unit(typed, unit) from error


def _unknown_unit(typed: str, unit: str) -> QuantityError:
    sentence = "The unit “{typed}” is not known here. Write it like {example}."
    return QuantityError("unit-unknown", sentence, typed=typed, example=_example(unit))


_PINT_NAMES = {
    "Ah": "ampere * hour", "mAh": "milliampere * hour", "Wh": "watt * hour", "kWh": "kilowatt * hour",
    "mm2": "mm**2", "cmil": "circular_mil", "in": "inch", "%": "percent",
}  # fmt: skip


def _example(unit: str) -> str:
    number = {"voltage": "12", "charge": "100", "power": "150", "temperature": "30"}.get(_UNITS[unit].kind, "3.5")
    return f"{number} {_UNITS[unit].written}".rstrip()


def convert(value: float, unit: str, to: str) -> float:
    """A value from one unit of this module into another of the same kind. Raises QuantityError "unit-of-other-kind"."""
    return _converted(value, unit, to)


def world_unit(unit: str, world: World) -> str:
    """The unit in which a world reads a quantity given in `unit`: "m" is "ft" in the US, "in" is "mm" elsewhere."""
    pair = _pair(unit)
    return unit if pair is None else pair[0] if world == "us" else pair[1]


def _pair(unit: str) -> tuple[str, str] | None:
    kind = "short length" if unit in ("mm", "in", "cm") else _UNITS[unit].kind
    return _OTHER_WORLD.get(kind)


def format_quantity(value: Quantity, unit: str, world: World = "metric") -> str:
    """A quantity in `unit` as a world reads it: "12 ft", "150–175 A", "?" for unknown. Four figures at most.

    Shown, not stored: a value read back from this text may differ in the fifth figure.
    """
    if value is None:
        return "?"
    shown = world_unit(unit, world)
    ends = value if isinstance(value, tuple) else (value,)
    text = "–".join(_number_text(_converted(end, unit, shown)) for end in ends)
    return f"{text} {_UNITS[shown].written}".rstrip()


def other_world_text(value: Quantity, unit: str, world: World = "metric") -> str:
    """The same quantity as the other world reads it, for a tooltip; empty where both read alike or it is unknown."""
    if value is None or _pair(unit) is None:
        return ""
    return format_quantity(value, unit, "metric" if world == "us" else "us")


def _number_text(value: float) -> str:
    """Four significant figures without trailing zeros; whole numbers in full; a true minus sign.

    >>> _number_text(3.6576), _number_text(150.0), _number_text(12345.6), _number_text(0.00012)
    ('3.658', '150', '12346', '0.00012')
    """
    decimals = 0 if value == 0 else max(0, min(9, 3 - math.floor(math.log10(abs(value)))))
    text = f"{value:.{decimals}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return text.replace("-", "−") if float(text) != 0 else "0"
