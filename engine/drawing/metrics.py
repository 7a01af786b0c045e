"""How wide a text is, in millimetres, from the bundled font's own advance widths.

The font carries no kerning and no ligatures, so a width is the plain sum of advances and screen, PDF and SVG agree
with it. This module reads four tables of the font file and knows no backend.
"""

from __future__ import annotations

import struct
from functools import lru_cache
from importlib.resources import files

import msgspec

from engine.drawing.display import Text, Weight

FAMILY = "Loomwright Sans"
ELLIPSIS = "…"
LINE_PITCH = 1.6
"""Base line to base line, in heights of capitals (ISO 3098 type B allows 1.4 to 1.9)."""

UNITS = frozenset({
    "A", "mA", "kA", "V", "mV", "W", "kW", "VA", "Ah", "Wh", "kWh", "Hz", "Ω", "mΩ", "AWG", "mm²", "mm2", "mm", "m", "in", "ft",
    "kg", "N", "°C", "%", "s", "ms", "min", "h", "hours", "days",
})  # fmt: skip
AROUND_A_UNIT = "(),.;:"
"""What may stand at a unit and belongs to the sentence."""

Box = tuple[float, float, float, float]
"""(x0, y0, x1, y1) in mm, x0 <= x1 and y0 <= y1."""


class FontMetrics(msgspec.Struct, frozen=True):
    """Measures of one weight, as ratios of the em; `advances` by code point."""

    cap_height: float
    ascent: float
    descent: float
    missing_advance: float
    advances: dict[int, float]


def font_bytes(weight: Weight = "regular") -> bytes:
    """The TrueType file of a weight, as a PDF embeds it and Qt registers it."""
    return (files("symbols") / "fonts" / f"LoomwrightSans-{weight.capitalize()}.ttf").read_bytes()


@lru_cache(maxsize=2)
def font_metrics(weight: Weight = "regular") -> FontMetrics:
    """The measures of a weight, read from the font file once."""
    font = font_bytes(weight)
    tables = _tables(font)
    units = float(_u16(font, tables["head"] + 18))
    widths = _advance_widths(font, tables)
    glyphs = _characters(font, tables["cmap"])
    ascent, descent = struct.unpack_from(">hh", font, tables["hhea"] + 4)
    return FontMetrics(
        cap_height=_u16(font, tables["OS/2"] + 88) / units,
        ascent=ascent / units,
        descent=-descent / units,
        missing_advance=widths[0] / units,
        advances={code: widths[glyph] / units for code, glyph in glyphs.items()},
    )


def em_mm(height_mm: float, weight: Weight = "regular") -> float:
    """The size of type (em, mm) whose capitals are height_mm high."""
    return height_mm / font_metrics(weight).cap_height


def ascent_mm(height_mm: float, weight: Weight = "regular") -> float:
    """Height above the base line that the tallest letters with accents take."""
    return em_mm(height_mm, weight) * font_metrics(weight).ascent


def descent_mm(height_mm: float, weight: Weight = "regular") -> float:
    """Depth below the base line that tails take (positive)."""
    return em_mm(height_mm, weight) * font_metrics(weight).descent


@lru_cache(maxsize=20_000)
def _width_em(string: str, weight: Weight) -> float:
    metrics = font_metrics(weight)
    advance, missing = metrics.advances.get, metrics.missing_advance
    return sum(advance(ord(character), missing) for character in string)


def text_width_mm(string: str, height_mm: float, weight: Weight = "regular") -> float:
    """Width of a line of text whose capitals are height_mm high."""
    return _width_em(string, weight) * em_mm(height_mm, weight)


def unprintable(string: str) -> str:
    """The characters the font lacks, each once, in order: they print as an empty box."""
    advances = font_metrics().advances
    return "".join(dict.fromkeys(character for character in string if ord(character) not in advances))


def fit(string: str, width_mm: float, height_mm: float, weight: Weight = "regular") -> str:
    """The string, or as much of it as fits in width_mm with "…" at the end; "" where not even that fits."""
    if text_width_mm(string, height_mm, weight) <= width_mm:
        return string
    for length in range(len(string) - 1, -1, -1):
        shortened = string[:length].rstrip() + ELLIPSIS
        if text_width_mm(shortened, height_mm, weight) <= width_mm:
            return shortened
    return ""


def fit_height(string: str, width_mm: float, heights_mm: tuple[float, ...], weight: Weight = "regular") -> float:
    """The first of the heights (largest first) at which the string fits in width_mm, else the last of them."""
    for height_mm in heights_mm:
        if text_width_mm(string, height_mm, weight) <= width_mm:
            return height_mm
    return heights_mm[-1]


def wrap(string: str, width_mm: float, height_mm: float, weight: Weight = "regular") -> tuple[str, ...]:
    """The string broken into lines no wider than width_mm; breaks at spaces, and inside a word only when it must.

    A number and its unit stay on one line where both fit on one.

    Line feeds in the string are kept as breaks. A width too small for one letter still gives one letter a line.
    """
    lines: list[str] = []
    for paragraph in string.split("\n"):
        lines += _wrap_paragraph(paragraph, width_mm, height_mm, weight)
    return tuple(lines)


def _wrap_paragraph(paragraph: str, width_mm: float, height_mm: float, weight: Weight) -> list[str]:
    lines = [""]
    for whole in unbroken(paragraph):
        fits = text_width_mm(whole, height_mm, weight) <= width_mm
        for word in (whole,) if fits else whole.split():
            candidate = f"{lines[-1]} {word}".strip()
            if text_width_mm(candidate, height_mm, weight) <= width_mm:
                lines[-1] = candidate
                continue
            pieces = _break_word(word, width_mm, height_mm, weight)
            lines = [*lines, *pieces] if lines[-1] else pieces
    return lines


def unbroken(string: str) -> list[str]:
    """What a line break does not part: its words, each number with the unit behind it."""
    found: list[str] = []
    for word in string.split():
        if found and found[-1][-1].isdigit() and word.strip(AROUND_A_UNIT) in UNITS:
            found[-1] += f" {word}"
        else:
            found.append(word)
    return found


def _break_word(word: str, width_mm: float, height_mm: float, weight: Weight) -> list[str]:
    pieces = [""]
    for character in word:
        if pieces[-1] and text_width_mm(pieces[-1] + character, height_mm, weight) > width_mm:
            pieces.append("")
        pieces[-1] += character
    return pieces


def text_box(text: Text) -> Box:
    """The box (mm, on the sheet) of a text: its advance width by its capitals and tails, for placing and clicking.

    Upwards it takes the height of capitals plus a fifth for accents, downwards the depth of a "g".
    """
    width_mm = text_width_mm(text.string, text.height_mm, text.weight)
    start = {"start": 0.0, "middle": -width_mm / 2, "end": -width_mm}[text.anchor]
    up, down = text.height_mm * 1.2, text.height_mm * 0.32
    if text.angle_deg == 90:
        return (text.x_mm - up, text.y_mm - start - width_mm, text.x_mm + down, text.y_mm - start)
    return (text.x_mm + start, text.y_mm - up, text.x_mm + start + width_mm, text.y_mm + down)


def _u16(font: bytes, offset: int) -> int:
    return int.from_bytes(font[offset : offset + 2], "big")


def _tables(font: bytes) -> dict[str, int]:
    """Table name -> offset, from the directory at the head of the file."""
    records = (struct.unpack_from(">4sIII", font, 12 + 16 * index) for index in range(_u16(font, 4)))
    return {name.decode("ascii"): offset for name, _, offset, _ in records}


def _advance_widths(font: bytes, tables: dict[str, int]) -> list[int]:
    """Advance of each glyph; the last long metric holds for all glyphs after it."""
    long_metrics = _u16(font, tables["hhea"] + 34)
    glyphs = _u16(font, tables["maxp"] + 4)
    widths = [_u16(font, tables["hmtx"] + 4 * index) for index in range(long_metrics)]
    return widths + widths[-1:] * (glyphs - long_metrics)


def _characters(font: bytes, cmap: int) -> dict[int, int]:
    """Code point -> glyph from the Unicode subtable (format 4: segments of the basic plane)."""
    for index in range(_u16(font, cmap + 2)):
        _, _, offset = struct.unpack_from(">HHI", font, cmap + 4 + 8 * index)
        if _u16(font, cmap + offset) == 4:
            return _segments(font, cmap + offset)
    raise ValueError("the bundled font has no format 4 character map")


def _segments(font: bytes, table: int) -> dict[int, int]:
    count = _u16(font, table + 6) // 2
    ends, starts = table + 14, table + 16 + 2 * count
    glyphs: dict[int, int] = {}
    for index in range(count):
        first, last = _u16(font, starts + 2 * index), _u16(font, ends + 2 * index)
        delta, at = _u16(font, starts + 2 * (count + index)), starts + 2 * (2 * count + index)
        for code in range(first, min(last, 0xFFFE) + 1):
            glyph = _segment_glyph(font, at, code - first, code, delta)
            if glyph:
                glyphs[code] = glyph
    return glyphs


def _segment_glyph(font: bytes, at: int, step: int, code: int, delta: int) -> int:
    """A segment gives its glyphs by a shift of the code, or by a list that lies `offset` bytes after its own entry."""
    offset = _u16(font, at)
    if not offset:
        return (code + delta) & 0xFFFF
    glyph = _u16(font, at + offset + 2 * step)
    return (glyph + delta) & 0xFFFF if glyph else 0
