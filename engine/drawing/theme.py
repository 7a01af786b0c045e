"""What the colour names of a display list look like: on paper, on a dark sheet, and for the window round them.

Wire colours are the true insulation colours (approximations of our own: a standard names colours, it does not mix
them). This module knows no backend; a colour is "#rrggbb".
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from types import MappingProxyType

import msgspec

WIRE = "wire."

IEC_60757 = ("BK", "BN", "RD", "OG", "YE", "GN", "BU", "VT", "GY", "WH", "PK", "GD", "TQ", "SR")
"""Letter codes of single colours, IEC 60757 (from memory); GNYE is green-and-yellow, written without a space."""

LOCAL_CODES = ("LBU", "DBU", "TAN")
"""Colours that boat practice names and IEC 60757 does not: light blue, dark blue, tan (common practice, no source)."""

TEXT_COLOURS = (
    "ink", "faint", "accent", "selection", "danger", "requirement", "advice", "unknown", "redline",
    "ac.boundary", "live.dead",
)  # fmt: skip
"""Names in which a text may be set: each reads at 4.5 : 1 or better on every ground."""

GROUNDS = ("paper", "panel.fill", "ac.fill", "caution.fill", "table.head", "table.stripe")
"""Names that text stands on."""


class Theme(msgspec.Struct, frozen=True):
    """A set of colours under the names that drawings (or the window) use."""

    name: str
    colours: Mapping[str, str]


_WIRES = {
    "BK": "#1c1d1f",
    "BN": "#7a4a2b",
    "RD": "#cf2a27",
    "OG": "#ee7f1f",
    "YE": "#f6cf2e",
    "GN": "#2e9648",
    "BU": "#2f67b8",
    "VT": "#7b4aa0",
    "GY": "#8b9299",
    "WH": "#fbfbf8",
    "PK": "#ef93b0",
    "GD": "#b8923a",
    "TQ": "#2fa7a5",
    "SR": "#c3c8cd",
    "LBU": "#6db1e4",
    "DBU": "#1e3a78",
    "TAN": "#c9a678",
}


def _theme(name: str, colours: dict[str, str]) -> Theme:
    return Theme(name, MappingProxyType(colours))


def _sheet(name: str, colours: dict[str, str]) -> Theme:
    return _theme(name, colours | {WIRE + code: colour for code, colour in _WIRES.items()})


PAPER = _sheet(
    "paper",
    {
        "paper": "#ffffff",
        "ink": "#17202c",
        "faint": "#5a6572",
        "grid": "#e3e8ee",
        "rule": "#9aa5b1",
        "casing": "#2a3340",
        "accent": "#1d4f91",
        "selection": "#0b62a8",
        "selection.fill": "#dcebf8",
        "danger": "#b0201a",
        "requirement": "#8a4b00",
        "advice": "#1a6470",
        "unknown": "#65518e",
        "redline": "#ad1457",
        "panel.fill": "#f5f7fa",
        "panel.edge": "#3b4653",
        "ac.fill": "#fdf5ec",
        "ac.boundary": "#8f3f14",
        "live.1": "#b3380c",
        "live.2": "#1d5ea8",
        "live.3": "#8c1d78",
        "live.4": "#1f7a3f",
        "live.5": "#7a5c00",
        "live.6": "#3a4654",
        "live.dead": "#5f6974",
        "live.halo": "#fbe3bf",
        "heat.1": "#dcebf6",
        "heat.2": "#b9d5ec",
        "heat.3": "#e9b44c",
        "heat.4": "#d9772b",
        "heat.5": "#b3221a",
        "caution.fill": "#fff4d3",
        "table.head": "#e9eef5",
        "table.stripe": "#f6f8fb",
        "provision": "#7f8b99",
        "safety.yellow": "#f9a800",
        "safety.black": "#2b2b2c",
    },
)
"""For print and for the light sheet. Safety yellow and black: RAL 1003 and RAL 9004 after ISO 3864 (secondary)."""

DARK = _sheet(
    "dark",
    {
        "paper": "#1b222b",
        "ink": "#e7ebf0",
        "faint": "#a3aebb",
        "grid": "#28313c",
        "rule": "#596675",
        "casing": "#c2cbd6",
        "accent": "#8fbcf0",
        "selection": "#6cc0f7",
        "selection.fill": "#1f3a52",
        "danger": "#ff8a80",
        "requirement": "#f0b35a",
        "advice": "#74cbd3",
        "unknown": "#c0aef0",
        "redline": "#f58fb8",
        "panel.fill": "#212a34",
        "panel.edge": "#b4bfcb",
        "ac.fill": "#2a2622",
        "ac.boundary": "#eea277",
        "live.1": "#ff9d76",
        "live.2": "#82b9f4",
        "live.3": "#ea97dd",
        "live.4": "#7fd39a",
        "live.5": "#dcc05f",
        "live.6": "#c6d0db",
        "live.dead": "#9aa5b1",
        "live.halo": "#4a3a26",
        "heat.1": "#2b3f52",
        "heat.2": "#38587a",
        "heat.3": "#7d6524",
        "heat.4": "#a86426",
        "heat.5": "#d0473a",
        "caution.fill": "#3a3220",
        "table.head": "#28333f",
        "table.stripe": "#1f2730",
        "provision": "#7c8896",
        "safety.yellow": "#f9a800",
        "safety.black": "#2b2b2c",
    },
)
"""A dark sheet on a dark desk; never printed."""

SHEETS = MappingProxyType({theme.name: theme for theme in (PAPER, DARK)})

LIGHT_WINDOW = _theme(
    "light",
    {
        "desk": "#cdd4dc",
        "window": "#eef1f4",
        "raised": "#f8f9fb",
        "field": "#ffffff",
        "field.alternate": "#f5f7fa",
        "border": "#b5bfca",
        "border.strong": "#7d8996",
        "text": "#17202c",
        "text.faint": "#4f5a67",
        "text.disabled": "#8a95a1",
        "accent": "#1d4f91",
        "accent.text": "#ffffff",
        "hover": "#dfe7f0",
        "pressed": "#cbd8e7",
        "highlight": "#1d4f91",
        "highlight.text": "#ffffff",
        "focus": "#2f7fd0",
        "danger": "#b0201a",
        "requirement": "#8a4b00",
        "advice": "#1a6470",
        "unknown": "#65518e",
        "tip": "#17202c",
        "tip.text": "#f3f6f9",
        "shadow": "#9aa5b1",
    },
)
"""The window round a light sheet."""

DARK_WINDOW = _theme(
    "dark",
    {
        "desk": "#12171d",
        "window": "#20272f",
        "raised": "#29313b",
        "field": "#181e25",
        "field.alternate": "#1d242c",
        "border": "#3d4855",
        "border.strong": "#6d7a89",
        "text": "#e7ebf0",
        "text.faint": "#aab4c0",
        "text.disabled": "#6d7884",
        "accent": "#8fbcf0",
        "accent.text": "#10202f",
        "hover": "#2e3945",
        "pressed": "#384656",
        "highlight": "#2c5f9e",
        "highlight.text": "#ffffff",
        "focus": "#6cb2f5",
        "danger": "#ff8a80",
        "requirement": "#f0b35a",
        "advice": "#74cbd3",
        "unknown": "#c0aef0",
        "tip": "#e7ebf0",
        "tip.text": "#17202c",
        "shadow": "#080b0e",
    },
)
"""The window round a dark desk (the sheet on it light or dark, as the user likes)."""

WINDOWS = MappingProxyType({theme.name: theme for theme in (LIGHT_WINDOW, DARK_WINDOW)})


def colour(theme: Theme, name: str) -> str:
    """The "#rrggbb" of a name ("wire.YE/RD": its base colour); a "#rrggbb" is given back. KeyError if unknown."""
    found = theme.colours.get(name)
    if found:
        return found
    if name.startswith("#"):
        return name
    if name.startswith(WIRE):
        return theme.colours[WIRE + wire_codes(name.removeprefix(WIRE))[0]]
    raise KeyError(f"the theme {theme.name!r} has no colour {name!r}")


def stripe(theme: Theme, name: str) -> str | None:
    """The "#rrggbb" of the stripe of a two-coloured wire ("wire.GNYE", "wire.YE/RD"), None where there is none."""
    codes = wire_codes(name.removeprefix(WIRE)) if name.startswith(WIRE) else ()
    return theme.colours[WIRE + codes[1]] if len(codes) > 1 else None


@lru_cache(maxsize=256)
def wire_codes(code: str) -> tuple[str, ...]:
    """The single colours of a code, base first: "RD", "GNYE" and "YE/RD" give one, two and two.

    KeyError where a part is no known code.
    """
    if code in _WIRES:
        return (code,)
    if "/" in code:
        return tuple(single for part in code.split("/") for single in wire_codes(part))
    for known in sorted(_WIRES, key=len, reverse=True):
        if code.startswith(known):
            return (known, *wire_codes(code.removeprefix(known)))
    raise KeyError(f"no colour code in {code!r}")


def is_wire_code(code: str) -> bool:
    """True for a code that `wire_codes` can read."""
    try:
        return bool(wire_codes(code))
    except KeyError:
        return False


def rgb(hex_colour: str) -> tuple[float, float, float]:
    """ "#rrggbb" as three parts from 0 to 1."""
    red, green, blue = (int(hex_colour[at : at + 2], 16) / 255 for at in (1, 3, 5))
    return red, green, blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours, 1 to 21 (WCAG 2.1, relative luminance; published)."""
    lighter, darker = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def _luminance(hex_colour: str) -> float:
    linear = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in rgb(hex_colour))
    return sum(weight * part for weight, part in zip((0.2126, 0.7152, 0.0722), linear, strict=True))
