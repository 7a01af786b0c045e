"""How full a bank is over three days, as a figure: a band between the worst and the best case, the line between them, nights
shaded, the charge it is used down to. Display list about (0, 0), top left; reads in grey. Knows no paper and no window.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import msgspec

from engine.drawing.display import Group, Item, Path, Pen, Text
from engine.drawing.outline import Point, line, polyline, rectangle
from engine.electrics.sources import number_text
from engine.messages import tr
from engine.studies.energy import TRACE_DAYS, BankDay, End
from engine.studies.state_of_charge import STARTS_AT

TEXT_MM = 2.0
LEFT_MM, RIGHT_MM, TOP_MM, FOOT_MM = 13.0, 25.0, 3.0, 12.5
FRAME = Pen("ink", 0.25)
GRID = Pen("rule", 0.1, (0.4, 0.8))
FLOOR = Pen("danger", 0.25, (2.4, 0.8, 0.5, 0.8))
LEADER = Pen("rule", 0.13)
PENS = {"most": Pen("accent", 0.25), "middle": Pen("accent", 0.6), "least": Pen("accent", 0.25, (1.4, 0.9))}
ENDS: tuple[End, ...] = ("most", "middle", "least")
HOURS = TRACE_DAYS * 24
NIGHTS = ((0, 12), (24, 36), (48, 60))
"""From 18 to 6 o'clock, in hours from the start."""
TICKS = range(0, HOURS + 1, 12)
PITCH_MM = 3.2


Curves = Mapping[End, tuple[Point, ...]]


class Field(msgspec.Struct, frozen=True):
    """The rectangle in which the curves lie, mm."""

    width_mm: float
    height_mm: float

    def x_mm(self, hour: float) -> float:
        """Where an hour from the start lies."""
        return LEFT_MM + hour / HOURS * (self.width_mm - LEFT_MM - RIGHT_MM)

    def y_mm(self, charge: float) -> float:
        """Where a state of charge, 0 to 1, lies."""
        return TOP_MM + (1 - charge) * (self.height_mm - TOP_MM - FOOT_MM)

    @property
    def right_mm(self) -> float:
        """The right edge."""
        return self.x_mm(HOURS)


def charge_plot(day: BankDay, width_mm: float, height_mm: float) -> tuple[Item, ...]:
    """The figure; nothing where the bank's capacity or what is drawn is not known."""
    field = Field(width_mm, height_mm)
    curves = {end: _curve(day, end, field) for end in ENDS if end in day.days_of}
    if not curves:
        return ()
    items = (*_nights(field), *_band(curves), *_grid(field), *_lines(curves), *_floor(day, field), *_frame(field))
    return (Group("figure:charge", (*items, *_named(day, curves, field))),)


def _curve(day: BankDay, end: End, field: Field) -> tuple[Point, ...]:
    hours = day.trace(end)
    charges = (1.0, *(hour.charge for hour in hours))
    return tuple((field.x_mm(number), field.y_mm(charge)) for number, charge in enumerate(charges))


def _nights(field: Field) -> Iterator[Item]:
    top, foot = field.y_mm(1.0), field.y_mm(0.0)
    for start, end in NIGHTS:
        yield Path(
            rectangle(field.x_mm(start), top, field.x_mm(end) - field.x_mm(start), foot - top), None, "panel.fill"
        )


def _grid(field: Field) -> Iterator[Item]:
    """Over the band, so that the nights are told apart in it too."""
    for charge in (0.25, 0.5, 0.75):
        yield Path(line(field.x_mm(0), field.y_mm(charge), field.right_mm, field.y_mm(charge)), GRID)
    for hour in TICKS[1:-1]:
        yield Path(line(field.x_mm(hour), field.y_mm(1.0), field.x_mm(hour), field.y_mm(0.0)), GRID)


def _band(curves: Curves) -> Iterator[Item]:
    if "least" in curves and "most" in curves:
        outline = polyline((*curves["most"], *reversed(curves["least"])), closed=True)
        yield Path(outline, None, "selection.fill")


def _lines(curves: Curves) -> Iterator[Item]:
    """The three lines; the thin ones left out where all is one."""
    for end, points in curves.items():
        if end == "middle" or points != curves.get("middle"):
            yield Path(polyline(points), PENS[end])


def _floor(day: BankDay, field: Field) -> Iterator[Item]:
    y_mm = field.y_mm(_floor_charge(day))
    yield Path(line(field.x_mm(0), y_mm, field.right_mm, y_mm), FLOOR)


def _floor_charge(day: BankDay) -> float:
    return 1 - day.stores["middle" if "middle" in day.stores else "least"].usable


def _frame(field: Field) -> Iterator[Item]:
    top, foot = field.y_mm(1.0), field.y_mm(0.0)
    yield Path(rectangle(field.x_mm(0), top, field.right_mm - field.x_mm(0), foot - top), FRAME)
    for percent in (0, 25, 50, 75, 100):
        y_mm = field.y_mm(percent / 100)
        yield Path(line(field.x_mm(0) - 1.0, y_mm, field.x_mm(0), y_mm), FRAME)
        yield Text(field.x_mm(0) - 1.6, y_mm + TEXT_MM / 2, str(percent), TEXT_MM, "end")
    for hour in TICKS:
        x_mm = field.x_mm(hour)
        yield Path(line(x_mm, foot, x_mm, foot + 1.0), FRAME)
        yield Text(x_mm, foot + 2.6 + TEXT_MM, f"{(STARTS_AT + hour) % 24}:00", TEXT_MM, "middle")
    middle = (top + foot) / 2
    yield Text(TEXT_MM + 0.6, middle, tr("State of charge, %"), TEXT_MM, "middle", colour="faint", angle_deg=90)
    text = tr("Time of day, over three days from full; nights shaded")
    yield Text((field.x_mm(0) + field.right_mm) / 2, foot + 5.6 + 2 * TEXT_MM, text, TEXT_MM, "middle", colour="faint")


def _named(day: BankDay, curves: Curves, field: Field) -> Iterator[Item]:
    """The names of the lines at their right ends, apart from each other."""
    percent = number_text(round(100 * _floor_charge(day)))
    wanted = [(field.y_mm(_floor_charge(day)), tr("used to {percent} %").format(percent=percent), "danger")]
    names = {"most": tr("at best"), "middle": tr("between"), "least": tr("at worst")}
    drawn = [end for end in curves if end == "middle" or curves[end] != curves.get("middle")]
    for end in drawn:
        name = names[end] if len(drawn) > 1 else tr("charge")
        wanted.append((curves[end][-1][1], name, "accent"))
    yield from _labels(sorted(wanted, key=lambda each: each[0]), field)


def _labels(wanted: Sequence[tuple[float, str, str]], field: Field) -> Iterator[Item]:
    """Texts beside the field with a line to what they name."""
    highs = spread([y_mm for y_mm, _, _ in wanted], PITCH_MM, field.y_mm(1.0), field.y_mm(0.0))
    for (at_mm, string, colour), y_mm in zip(wanted, highs, strict=True):
        yield Path(
            polyline(((field.right_mm, at_mm), (field.right_mm + 2.6, y_mm), (field.right_mm + 3.6, y_mm))), LEADER
        )
        yield Text(field.right_mm + 4.2, y_mm + TEXT_MM / 2, string, TEXT_MM, colour=colour)


def spread(wanted: Sequence[float], pitch: float, least: float, most: float) -> list[float]:
    """Places in order, as near to those wanted as goes, at least a pitch apart, within the bounds where there is room."""
    placed: list[float] = []
    for at in wanted:
        placed.append(max(at, placed[-1] + pitch if placed else least))
    limit = most
    for number in range(len(placed) - 1, -1, -1):
        placed[number] = min(placed[number], limit)
        limit = placed[number] - pitch
    return placed
