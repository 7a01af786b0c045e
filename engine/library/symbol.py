"""Symbols as data: reads symbols/shapes/*.toml into frozen records.

A symbol is drawn in modules (M = 2.5 mm), origin at its centre, x to the right, y down, base orientation horizontal:
energy enters at the left and leaves at the right. Format: symbols/README.md. Knows no device, no sheet, no colour.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping
from importlib.resources import files
from importlib.resources.abc import Traversable
from typing import Any, Literal

import msgspec

from engine.library.svg_path import PathError, Point, Segment, parse_path

MODULE_MM = 2.5
WIDTH_MM: Mapping[str, float] = {"hair": 0.18, "normal": 0.25, "heavy": 0.5, "bus": 0.7}

Side = Literal["left", "right", "top", "bottom"]
Width = Literal["hair", "normal", "heavy", "bus"]
Fill = Literal["none", "ink", "paper"]
Anchor = Literal["start", "middle", "end"]
Weight = Literal["regular", "bold"]
Family = Literal["iec", "na"]
Box = tuple[float, float, float, float]


class Pin(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Where a run attaches, at [x, y] in M; side is the way the wire leaves. The name equals the device's port."""

    name: str
    at: Point
    side: Side


class StrokeText(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A stroke as the file writes it: d is an SVG path string in M; lead names the pin whose lead it is."""

    d: str
    width: Width = "normal"
    dash: bool = False
    fill: Fill = "none"
    lead: str = ""


class Stroke(msgspec.Struct, frozen=True):
    """A stroke ready to draw: outline in M, width as a name of WIDTH_MM.

    A stroke that is the lead of a pin may be left out where no run lands on that pin.
    """

    outline: tuple[Segment, ...]
    width: Width = "normal"
    dash: bool = False
    fill: Fill = "none"
    lead: str = ""


class Letter(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Text inside the symbol; at is on the base line in M, height_mm the height of capitals."""

    text: str
    at: Point
    height_mm: float = 2.5
    weight: Weight = "regular"
    anchor: Anchor = "middle"


class Tag(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Where a line of text beside the symbol stands: base line point in M and anchor."""

    at: Point
    anchor: Anchor = "middle"


class Tags(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Places of the designation and of the first line of data (further lines go below it)."""

    designation: Tag
    data: Tag


class Figure(msgspec.Struct, frozen=True):
    """What is drawn: strokes first, letters over them."""

    strokes: tuple[Stroke, ...]
    letters: tuple[Letter, ...] = ()


class Symbol(msgspec.Struct, frozen=True):
    """One symbol in its IEC form and, where it differs, its North American form (same pins, same box)."""

    name: str
    title: str
    source: str
    box: Box
    pins: tuple[Pin, ...]
    tags: Tags
    iec: Figure
    na: Figure | None = None

    def figure(self, family: Family) -> Figure:
        """The form of the family; the IEC form where both families agree."""
        return self.na if family == "na" and self.na is not None else self.iec

    def pin(self, name: str) -> Pin:
        """The pin of that name. Raises KeyError."""
        for pin in self.pins:
            if pin.name == name:
                return pin
        raise KeyError(f"symbol {self.name} has no pin {name}")


class SymbolError(ValueError):
    """Everything that is wrong in the symbol files: `lines` holds one "file:line: field: what" each."""

    def __init__(self, lines: list[str]) -> None:
        super().__init__("\n".join(lines))
        self.lines = lines


class _FigureText(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    stroke: list[StrokeText]
    letter: list[Letter] = []


class _File(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    title: str
    source: str
    box: Box
    pin: list[Pin]
    stroke: list[StrokeText]
    tags: Tags
    letter: list[Letter] = []
    na: _FigureText | None = None


def shapes_folder() -> Traversable:
    """The folder of the symbols that come with the program."""
    return files("symbols") / "shapes"


def load_symbols(folder: Traversable | None = None) -> Mapping[str, Symbol]:
    """Every symbol of a folder by name, sorted. Raises SymbolError with all errors of all files."""
    symbols: dict[str, Symbol] = {}
    errors: list[str] = []
    for entry in _entries(folder or shapes_folder()):
        try:
            symbol = read_symbol(entry.name.removesuffix(".toml"), entry.read_text("utf-8"))
            symbols[symbol.name] = symbol
        except SymbolError as found:
            errors.extend(found.lines)
    if errors:
        raise SymbolError(errors)
    return symbols


def _entries(folder: Traversable) -> list[Traversable]:
    return sorted((e for e in folder.iterdir() if e.name.endswith(".toml")), key=lambda e: e.name)


def read_symbol(name: str, text: str) -> Symbol:
    """One symbol from the text of its file. Raises SymbolError with all errors of the file."""
    try:
        raw = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise SymbolError([f"{name}.toml: {error}"]) from None
    errors = [f"{name}.toml:{line_of(text, where)}: {where}: {what}" for where, what in _errors(raw)]
    if errors:
        raise SymbolError(errors)
    return _symbol(name, msgspec.convert(raw, _File))


def _symbol(name: str, file: _File) -> Symbol:
    na = None if file.na is None else _figure(file.na.stroke, file.na.letter)
    return Symbol(
        name, file.title, file.source, file.box, tuple(file.pin), file.tags, _figure(file.stroke, file.letter), na
    )


def _figure(strokes: list[StrokeText], letters: list[Letter]) -> Figure:
    drawn = (Stroke(parse_path(s.d), s.width, s.dash, s.fill, s.lead) for s in strokes)
    return Figure(tuple(drawn), tuple(letters))


def _errors(raw: dict[str, Any]) -> list[tuple[str, str]]:
    """(field, what) of each error; entries are read one by one, so that one bad stroke does not hide the next."""
    na = raw.get("na", {})
    inner = na if isinstance(na, dict) else {}
    errors = [
        *_entry_errors(raw, "", "pin", Pin),
        *_entry_errors(raw, "", "stroke", StrokeText),
        *_entry_errors(raw, "", "letter", Letter),
        *_entry_errors(inner, "na.", "stroke", StrokeText),
        *_entry_errors(inner, "na.", "letter", Letter),
    ]
    return errors or list(_convert_errors(raw, "", _File))


def _entry_errors(raw: dict[str, Any], prefix: str, key: str, kind: type) -> Iterator[tuple[str, str]]:
    entries = raw.get(key, [])
    if not isinstance(entries, list):
        yield prefix + key, "must be written as [[" + prefix + key + "]]"
        return
    for index, entry in enumerate(entries):
        where = f"{prefix}{key}[{index}]"
        yield from _convert_errors(entry, where, kind)
        if kind is StrokeText and isinstance(entry, dict) and isinstance(entry.get("d"), str):
            yield from _path_errors(entry["d"], where + ".d")


def _convert_errors(raw: Any, where: str, kind: type) -> Iterator[tuple[str, str]]:
    try:
        msgspec.convert(raw, kind)
    except msgspec.ValidationError as error:
        what, _, path = str(error).partition(" - at `$")
        yield (where + path.rstrip("`")).lstrip(".") or "the file", what


def _path_errors(d: str, where: str) -> Iterator[tuple[str, str]]:
    try:
        parse_path(d)
    except PathError as error:
        yield where, str(error)


def line_of(text: str, where: str) -> int:
    """The line (from 1) of a field such as "stroke[2].d" in a TOML text; of what holds it, where it is missing."""
    lines, parts = text.splitlines(), where.split(".")
    for cut in range(len(parts), 0, -1):
        head = _line_of_table(lines, ".".join(parts[:cut]))
        if head:
            return (_line_of_key(lines, parts[cut], head) if cut < len(parts) else None) or head
    return _line_of_key(lines, parts[0], 0) or 1


def _line_of_table(lines: list[str], table: str) -> int | None:
    """The line of the head of a table ("tags") or of the nth of an array of tables ("na.stroke[2]")."""
    asked = re.fullmatch(r"([a-z_.]+)(?:\[(\d+)\])?", table)
    if asked is None:
        return None
    heads = [n for n, line in enumerate(lines, 1) if line.strip() in (f"[[{asked[1]}]]", f"[{asked[1]}]")]
    return next(iter(heads[int(asked[2] or 0) :]), None)


def _line_of_key(lines: list[str], key: str, above: int) -> int | None:
    """The line where a key is given, among the lines of one table that begin after line `above`."""
    for number, line in enumerate(lines[above:], above + 1):
        if line.startswith("["):
            return None
        if re.match(rf"{re.escape(key.partition('[')[0])}\s*=", line):
            return number
    return None
