"""Reads SVG path strings ("M -2 0 H 2") into outlines of four verbs: M, L, C, Z.

Lengths keep the unit they come in. Quadratic curves and circular or elliptic arcs become cubic curves (an arc in
pieces of at most a quarter turn: off by less than 0.03 % of the radius). Knows nothing of symbols, paper or colour.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator

Point = tuple[float, float]
Segment = tuple[str, tuple[float, ...]]

ARGUMENTS = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "Q": 4, "A": 7, "Z": 0}
TOKEN = re.compile(r"\s*,?\s*(?:([A-Za-z])|([-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?))")


class PathError(ValueError):
    """The string is not a path; the message says what stands where."""


def parse_path(text: str) -> tuple[Segment, ...]:
    """The outline written in an SVG path string. Raises PathError. Source of the notation: W3C SVG 1.1, chapter 8."""
    verbs: list[Segment] = []
    here: Point = (0.0, 0.0)
    start = here
    for letter, numbers in _commands(text):
        if not verbs and letter not in "Mm":
            raise PathError(f"a path begins with M, this one with {letter}: {text!r}")
        made = _absolute(letter, numbers, here)
        verbs.extend(made)
        here = start if letter in "Zz" else made[-1][1][-2:]  # type: ignore[assignment]
        start = here if letter in "Mm" else start
    if not verbs:
        raise PathError("the path is empty")
    return tuple(verbs)


def _commands(text: str) -> Iterator[tuple[str, tuple[float, ...]]]:
    """Each command letter with its numbers; a repeated command gets its letter again (after M comes L)."""
    letter, numbers = "", list[float]()
    for token in _tokens(text):
        if isinstance(token, float):
            numbers.append(token)
            continue
        yield from _split(letter, numbers, text)
        letter, numbers = token, []
    yield from _split(letter, numbers, text)


def _tokens(text: str) -> Iterator[str | float]:
    place, text = 0, text.rstrip()
    while place < len(text):
        found = TOKEN.match(text, place)
        if found is None or (found[1] and found[1].upper() not in ARGUMENTS):
            raise PathError(f"cannot read {text[place : place + 8]!r} at character {place + 1} of {text!r}")
        yield found[1] or float(found[2])
        place = found.end()


def _split(letter: str, numbers: list[float], text: str) -> Iterator[tuple[str, tuple[float, ...]]]:
    if not letter:
        if numbers:
            raise PathError(f"a path begins with M, this one with a number: {text!r}")
        return
    size = ARGUMENTS[letter.upper()]
    if (size == 0 and numbers) or (size and (not numbers or len(numbers) % size)):
        raise PathError(f"{letter} takes {size} numbers at a time, here {len(numbers)}: {text!r}")
    yield letter, tuple(numbers[:size])
    follow = {"M": "L", "m": "l"}.get(letter, letter)
    for first in range(size, len(numbers), size or 1):
        yield follow, tuple(numbers[first : first + size])


def _absolute(letter: str, numbers: tuple[float, ...], here: Point) -> list[Segment]:
    x, y = here if letter.islower() else (0.0, 0.0)
    match letter.upper():
        case "Z":
            return [("Z", ())]
        case "H":
            return [("L", (numbers[0] + x, here[1]))]
        case "V":
            return [("L", (here[0], numbers[0] + y))]
        case "A":
            return _arc(
                here,
                numbers[0],
                numbers[1],
                numbers[2],
                (numbers[3] != 0, numbers[4] != 0),
                (numbers[5] + x, numbers[6] + y),
            )
        case "Q":
            return [_quadratic(here, (numbers[0] + x, numbers[1] + y), (numbers[2] + x, numbers[3] + y))]
        case verb:
            moved = tuple(value + (y if index % 2 else x) for index, value in enumerate(numbers))
            return [(verb, moved)]


def _quadratic(a: Point, b: Point, c: Point) -> Segment:
    return (
        "C",
        (
            a[0] + (b[0] - a[0]) * 2 / 3,
            a[1] + (b[1] - a[1]) * 2 / 3,
            c[0] + (b[0] - c[0]) * 2 / 3,
            c[1] + (b[1] - c[1]) * 2 / 3,
            *c,
        ),
    )


def _arc(a: Point, rx: float, ry: float, tilt_deg: float, flags: tuple[bool, bool], b: Point) -> list[Segment]:
    """Cubic curves for one elliptic arc, by the end-point to centre conversion of SVG 1.1, appendix F.6."""
    if a == b or rx == 0 or ry == 0:
        return [("L", b)]
    tilt = math.radians(tilt_deg)
    mid = _turn(((a[0] - b[0]) / 2, (a[1] - b[1]) / 2), -tilt)
    rx, ry = _large_enough(abs(rx), abs(ry), mid)
    centre = _centre(rx, ry, mid, flags[0] == flags[1])
    first = math.atan2((mid[1] - centre[1]) / ry, (mid[0] - centre[0]) / rx)
    last = math.atan2((-mid[1] - centre[1]) / ry, (-mid[0] - centre[0]) / rx)
    sweep = (last - first) % (2 * math.pi) - (0 if flags[1] else 2 * math.pi)
    shift = _turn(centre, tilt)
    origin = (shift[0] + (a[0] + b[0]) / 2, shift[1] + (a[1] + b[1]) / 2)
    pieces = [_piece(origin, rx, ry, tilt, *span) for span in _spans(first, sweep)]
    return [*pieces[:-1], ("C", (*pieces[-1][1][:4], *b))]


def _large_enough(rx: float, ry: float, mid: Point) -> tuple[float, float]:
    """Radii too small to reach both ends grow until they do (F.6.6)."""
    need = math.hypot(mid[0] / rx, mid[1] / ry)
    return (rx * need, ry * need) if need > 1 else (rx, ry)


def _centre(rx: float, ry: float, mid: Point, same: bool) -> Point:
    below = (rx * mid[1]) ** 2 + (ry * mid[0]) ** 2
    root = math.sqrt(max(0.0, (rx * ry) ** 2 / below - 1)) * (-1 if same else 1)
    return root * rx * mid[1] / ry, -root * ry * mid[0] / rx


def _spans(first: float, sweep: float) -> Iterator[tuple[float, float]]:
    count = max(1, math.ceil(abs(sweep) / (math.pi / 2) - 1e-9))
    for index in range(count):
        yield first + sweep * index / count, first + sweep * (index + 1) / count


def _piece(origin: Point, rx: float, ry: float, tilt: float, start: float, end: float) -> Segment:
    reach = 4 / 3 * math.tan((end - start) / 4)
    around = (
        (math.cos(start) - reach * math.sin(start), math.sin(start) + reach * math.cos(start)),
        (math.cos(end) + reach * math.sin(end), math.sin(end) - reach * math.cos(end)),
        (math.cos(end), math.sin(end)),
    )
    turned = [_turn((rx * x, ry * y), tilt) for x, y in around]
    return ("C", tuple(value for x, y in turned for value in (origin[0] + x, origin[1] + y)))


def _turn(point: Point, angle: float) -> Point:
    cos, sin = math.cos(angle), math.sin(angle)
    return point[0] * cos - point[1] * sin, point[0] * sin + point[1] * cos


def extent(outline: tuple[Segment, ...]) -> tuple[float, float, float, float]:
    """Left, top, right, bottom of an outline (exact for lines, true to about 0.1 % of a curve's size)."""
    points = list(_points(outline))
    return (min(x for x, _ in points), min(y for _, y in points), max(x for x, _ in points), max(y for _, y in points))


def _points(outline: tuple[Segment, ...]) -> Iterator[Point]:
    here: Point = (0.0, 0.0)
    for verb, numbers in outline:
        if verb == "C":
            yield from (_on_curve(here, numbers, step / 24) for step in range(1, 24))
        if numbers:
            here = (numbers[-2], numbers[-1])
            yield here


def _on_curve(start: Point, numbers: tuple[float, ...], t: float) -> Point:
    weights = ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3)
    xs, ys = (start[0], *numbers[0::2]), (start[1], *numbers[1::2])
    return sum(w * x for w, x in zip(weights, xs, strict=True)), sum(w * y for w, y in zip(weights, ys, strict=True))
