"""A field with two logarithmic scales, current across and time upwards: where values lie, its grid and its numbers.

Display list about (0, 0), top left. Knows no device and no boat.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import msgspec

from engine.drawing.display import Item, Path, Pen, Text
from engine.drawing.outline import line, rectangle
from engine.electrics.sources import number_text
from engine.messages import tr

TEXT_MM = 2.0
MINOR, DECADE, FRAME = Pen("grid", 0.13), Pen("rule", 0.18), Pen("ink", 0.3)
LEAST_S, MOST_S = 1e-3, 1e4
STEPS = (1, 2, 5)
TIMES = {
    1e-3: "1 ms",
    1e-2: "10 ms",
    0.1: "0.1 s",
    1.0: "1 s",
    10.0: "10 s",
    100.0: "100 s",
    1e3: "1000 s",
    1e4: "10 000 s",
}
NEAR_MM = 7.0
"""Numbers on the axis of current stand no closer."""


class Field(msgspec.Struct, frozen=True):
    """The rectangle of the curves, mm, and the currents at its sides, A."""

    left_mm: float
    top_mm: float
    width_mm: float
    height_mm: float
    least_a: float
    most_a: float

    @property
    def right_mm(self) -> float:
        """The right edge."""
        return self.left_mm + self.width_mm

    @property
    def foot_mm(self) -> float:
        """The lower edge."""
        return self.top_mm + self.height_mm

    def x_mm(self, current_a: float) -> float:
        """Where a current lies, within the field."""
        share = math.log(max(current_a, 1e-9) / self.least_a) / math.log(self.most_a / self.least_a)
        return self.left_mm + min(1.0, max(0.0, share)) * self.width_mm

    def y_mm(self, seconds: float) -> float:
        """Where a time lies, within the field."""
        share = math.log(max(seconds, 1e-12) / LEAST_S) / math.log(MOST_S / LEAST_S)
        return self.foot_mm - min(1.0, max(0.0, share)) * self.height_mm

    def current_a(self, x_mm: float) -> float:
        """The current at a place across."""
        return float(self.least_a * (self.most_a / self.least_a) ** ((x_mm - self.left_mm) / self.width_mm))


def round_below(value: float) -> float:
    """The largest of 1, 2, 5, 10, 20 … that is not above the value."""
    power = 10.0 ** math.floor(math.log10(value))
    return max(step * power for step in STEPS if step * power <= value * (1 + 1e-9))


def round_above(value: float) -> float:
    """The smallest of 1, 2, 5, 10, 20 … that is not below the value."""
    power = 10.0 ** math.floor(math.log10(value))
    return min(step * power for step in (*STEPS, 10) if step * power >= value * (1 - 1e-9))


def ground(field: Field) -> Iterator[Item]:
    """The lines of the grid."""
    for current_a, decade in _lines(field.least_a, field.most_a):
        x_mm = field.x_mm(current_a)
        yield Path(line(x_mm, field.top_mm, x_mm, field.foot_mm), DECADE if decade else MINOR)
    for seconds, decade in _lines(LEAST_S, MOST_S):
        y_mm = field.y_mm(seconds)
        yield Path(line(field.left_mm, y_mm, field.right_mm, y_mm), DECADE if decade else MINOR)


def frame(field: Field) -> Iterator[Item]:
    """The frame, the numbers at both axes and what the upright one counts."""
    yield Path(rectangle(field.left_mm, field.top_mm, field.width_mm, field.height_mm), FRAME)
    for seconds, text in TIMES.items():
        yield Text(field.left_mm - 1.5, field.y_mm(seconds) + TEXT_MM / 2, text, TEXT_MM, "end")
    for current_a in _numbered(field):
        yield Text(field.x_mm(current_a), field.foot_mm + 1.6 + TEXT_MM, number_text(current_a), TEXT_MM, "middle")
    title, middle = tr("opens after"), field.top_mm + field.height_mm / 2
    yield Text(field.left_mm - 15.5, middle, title, TEXT_MM, "middle", colour="faint", angle_deg=90)


def _lines(least: float, most: float) -> Iterator[tuple[float, bool]]:
    power = 10.0 ** math.floor(math.log10(least) + 1e-9)
    while power <= most * (1 + 1e-9):
        for step in range(1, 10):
            if least * (1 + 1e-9) < step * power < most * (1 - 1e-9):
                yield step * power, step == 1
        power *= 10


def _numbered(field: Field) -> Iterator[float]:
    """1, 2, 5 of each decade, those that keep their distance; decades go first."""
    found: list[float] = []
    power = 10.0 ** math.floor(math.log10(field.least_a) + 1e-9)
    steps = [step * power * 10**at for step in STEPS for at in range(8)]
    for value in (field.least_a, field.most_a, *steps):
        inside = field.least_a * (1 - 1e-9) <= value <= field.most_a * (1 + 1e-9)
        if inside and all(abs(field.x_mm(value) - field.x_mm(other)) >= NEAR_MM for other in found):
            found.append(value)
    yield from sorted(found)
