"""A time-current chart on logarithmic scales: each device a hatched band between its limits, what the conductor stands, how a
motor starts, the range of the short circuit. Every sort has its own hatching and dashes, so that it reads in grey.

Display list about (0, 0), top left. Knows no paper and no window.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence

import msgspec

from engine.drawing.display import Group, Item, Path, Pen, Text
from engine.drawing.hatching import Shape, hatched
from engine.drawing.log_field import LEAST_S, MOST_S, TEXT_MM, Field, frame, ground, round_above, round_below
from engine.drawing.metrics import LINE_PITCH, fit, text_width_mm, wrap
from engine.drawing.outline import Point, line, polyline, rectangle
from engine.electrics.time_current import ADIABATIC_MOST_S, Withstand, currents
from engine.messages import tr
from engine.studies.curves import Chart, Conductor, Curve, Start
from engine.studies.withstand import amps

LEFT_MM, RIGHT_MM, FOOT_MM, ROW_MM, KEY_MM = 18.0, 4.0, 14.0, 4.4, 4.2
INDENT_MM = 11.0
STEP_MM = 1.5
NAME_MM = 46.0
"""The most that a name over the field takes."""
LIMIT = Pen("danger", 0.6, (3.2, 0.9, 0.6, 0.9))
LIMIT_BEST = Pen("danger", 0.25, (3.2, 0.9, 0.6, 0.9))
START = Pen("ink", 0.5, (0.4, 1.0))
RANGE_EDGE = Pen("faint", 0.3, (1.6, 0.8))
RANGE_LINE = Pen("faint", 0.3)


class Look(msgspec.Struct, frozen=True):
    """How a device is told apart: colour, outline and the angle and pitch of its hatching."""

    colour: str
    width_mm: float
    angle_deg: float
    pitch_mm: float

    @property
    def outline(self) -> Pen:
        """A limit that stands in the table."""
        return Pen(self.colour, self.width_mm)

    @property
    def beyond(self) -> Pen:
        """A limit that is carried on beyond the table."""
        return Pen(self.colour, self.width_mm, (1.2, 0.9))

    @property
    def hatch(self) -> Pen:
        """A line of the hatching."""
        return Pen(self.colour, 0.13)


LOOKS = (
    Look("accent", 0.55, 45, 1.9), Look("live.5", 0.4, -45, 2.6), Look("live.4", 0.4, 90, 2.2), Look("live.3", 0.4, 0, 2.2),
)  # fmt: skip


def curve_chart(chart: Chart, width_mm: float, height_mm: float) -> tuple[Item, ...]:
    """The chart with its key; nothing where no table knows any of the devices."""
    if not chart.drawn:
        return ()
    key = tuple(_key(chart, width_mm - LEFT_MM - INDENT_MM))
    top = 1.0 + ROW_MM * _label_rows(chart, width_mm)
    foot = FOOT_MM + sum(entry.height_mm for entry in key)
    field = Field(LEFT_MM, top, width_mm - LEFT_MM - RIGHT_MM, height_mm - top - foot, *_sides(chart))
    items = (
        *_range_strip(chart, field), *ground(field), *_bands(chart, field), *_conductor(chart.conductor, field),
        *_motor(chart.start, field), *frame(field), *_range_line(chart, field), *_labels(chart, field),
        *_key_items(key, field.foot_mm + FOOT_MM),
    )  # fmt: skip
    return (Group("figure:curves", items),)


def _sides(chart: Chart) -> tuple[float, float]:
    """The currents at the sides: from below the smallest rating or running current to above the largest short circuit."""
    ratings = [band.rating_a for curve in chart.drawn for band in curve.bands]
    smallest = [min(ratings), *([chart.start.running_a] if chart.start else [])]
    largest = [10 * min(ratings), 2 * max(ratings), *([chart.most_a * 1.2] if math.isfinite(chart.most_a) else [])]
    least = round_below(0.8 * max(min(smallest), max(largest) / 2e4))
    return least, max(round_above(max(largest)), 20 * least)


def _bands(chart: Chart, field: Field) -> Iterator[Item]:
    for curve, look in reversed(list(zip(chart.drawn, LOOKS, strict=False))):
        yield Group("band", tuple(_band(curve, look, field)))


def _band(curve: Curve, look: Look, field: Field) -> Iterator[Item]:
    asked = _asked(curve, field)
    opens = [(at, curve.opening(at)) for at in asked]
    upper = [(field.x_mm(at), field.y_mm(min(each.most_s, MOST_S))) for at, each in opens]
    lower = [(field.x_mm(at), field.y_mm(max(each.least_s, LEAST_S))) for at, each in opens]
    for stroke in hatched(Shape(upper, lower), look.angle_deg, look.pitch_mm):
        yield Path(line(*stroke), look.hatch)
    seen = [LEAST_S < each.most_s < MOST_S for _, each in opens]
    yield from _strokes(upper, [see and each.within for see, (_, each) in zip(seen, opens, strict=True)], look.outline)
    yield from _strokes(
        upper, [see and not each.within for see, (_, each) in zip(seen, opens, strict=True)], look.beyond
    )
    known = [LEAST_S < each.least_s < MOST_S for _, each in opens]
    yield from _strokes(lower, known, look.outline)
    yield from _drop(lower, known, field, look.beyond)


def _asked(curve: Curve, field: Field) -> list[float]:
    """The currents at which the band is drawn: where its limits turn, and every few millimetres; from where it may open."""
    turns = currents(curve.bands, field.least_a, field.most_a)
    count = int(field.width_mm / STEP_MM)
    steps = (field.current_a(field.left_mm + field.width_mm * at / count) for at in range(count + 1))
    return [at for at in sorted({*turns, *steps}) if curve.opening(at).least_s < MOST_S]


def _drop(lower: Sequence[Point], known: Sequence[bool], field: Field, pen: Pen) -> Iterator[Item]:
    """The edge down from the last known lower limit: beyond, the device may open at once."""
    last = max((number for number, is_known in enumerate(known) if is_known), default=None)
    if last is not None and last + 1 < len(lower):
        x_mm, y_mm = lower[last]
        yield Path(line(x_mm, y_mm, x_mm, field.foot_mm), pen)


def _strokes(points: Sequence[Point], wanted: Sequence[bool], pen: Pen) -> Iterator[Item]:
    """The stretches of a line whose points are wanted."""
    stretch: list[Point] = []
    for point, want in zip(points, wanted, strict=True):
        if want:
            stretch.append(point)
            continue
        if len(stretch) > 1:
            yield Path(polyline(stretch), pen)
        stretch = []
    if len(stretch) > 1:
        yield Path(polyline(stretch), pen)


def _conductor(conductor: Conductor | None, field: Field) -> Iterator[Item]:
    if conductor is None:
        return
    for stands, pen in ((conductor.least, LIMIT), (conductor.best, LIMIT_BEST)):
        yield from _damage(stands, pen, field)


def _damage(stands: Withstand, pen: Pen, field: Field) -> Iterator[Item]:
    """The line of k²S² from 5 s down, as far as it lies in the field."""
    first, last = stands.most_a(ADIABATIC_MOST_S), stands.most_a(LEAST_S)
    first, last = max(first, field.least_a), min(last, field.most_a)
    if first < last:
        ends = [(field.x_mm(at), field.y_mm(stands.seconds(at))) for at in (first, last)]
        yield Path(polyline(ends), pen)


def _motor(start: Start | None, field: Field) -> Iterator[Item]:
    if start is None:
        return
    runs, starts = field.x_mm(start.running_a), field.x_mm(start.starting_a)
    turn = field.y_mm(start.seconds)
    yield Path(polyline(((runs, field.top_mm), (runs, turn), (starts, turn), (starts, field.foot_mm))), START)


def _range_strip(chart: Chart, field: Field) -> Iterator[Item]:
    left, right = _range(chart, field)
    yield Path(rectangle(left, field.top_mm, max(right - left, 0.3), field.height_mm), None, "panel.fill")


def _range(chart: Chart, field: Field) -> tuple[float, float]:
    return field.x_mm(chart.least_a), field.x_mm(min(chart.most_a, field.most_a))


def _range_line(chart: Chart, field: Field) -> Iterator[Item]:
    """Both edges in the field, a line with arrows under the axis, and the currents in words."""
    left, right = _range(chart, field)
    y_mm = field.foot_mm + 6.2
    for x_mm, known in ((left, chart.least_a > 0), (right, math.isfinite(chart.most_a))):
        if known:
            yield Path(line(x_mm, field.top_mm, x_mm, y_mm + 1.0), RANGE_EDGE)
    yield Path(line(left, y_mm, right, y_mm), RANGE_LINE)
    for x_mm, sense in ((left, 1.0), (right, -1.0)):
        if right - left > 4.0:
            yield Path(
                polyline(((x_mm + sense * 1.6, y_mm - 0.7), (x_mm, y_mm), (x_mm + sense * 1.6, y_mm + 0.7))), RANGE_LINE
            )
    text = fit(range_text(chart), field.width_mm, TEXT_MM)
    half = text_width_mm(text, TEXT_MM) / 2
    middle = min(max((left + right) / 2, field.left_mm + half), field.right_mm - half)
    yield Text(middle, y_mm + 1.4 + TEXT_MM, text, TEXT_MM, "middle")


def range_text(chart: Chart) -> str:
    """Both ends of the short circuit, in words."""
    least = f"{amps(chart.least_a)} A" if chart.least_a > 0 else tr("not known")
    most = f"{amps(chart.most_a)} A" if math.isfinite(chart.most_a) else tr("not known")
    return tr("short-circuit current along the wire: smallest {least}, largest {most}").format(least=least, most=most)


def _named(chart: Chart, width_mm: float) -> list[tuple[float, str]]:
    """(x of the band at the top, name) of each device, from the left; the field's width is all that counts."""
    field = Field(LEFT_MM, 0.0, width_mm - LEFT_MM - RIGHT_MM, 1.0, *_sides(chart))
    found = []
    for curve in chart.drawn[: len(LOOKS)]:
        rating = min(band.rating_a for band in curve.bands)
        found.append((field.x_mm(1.2 * rating), fit(curve.name, NAME_MM, TEXT_MM, "bold")))
    return found


def _placed(chart: Chart, width_mm: float) -> list[tuple[float, float, int, str]]:
    """(x of the band, x of the middle of its name, row from below, name) such that no two names touch."""
    taken: list[tuple[int, float, float]] = []
    found = []
    for x_mm, name in _named(chart, width_mm):
        half = text_width_mm(name, TEXT_MM, "bold") / 2
        middle = min(max(x_mm, LEFT_MM + half), width_mm - RIGHT_MM - half)
        ends = (middle - half - 1.5, middle + half + 1.5)
        row = next(
            row for row in range(len(LOOKS)) if all(at != row or ends[1] <= a or ends[0] >= b for at, a, b in taken)
        )
        taken.append((row, *ends))
        found.append((x_mm, middle, row, name))
    return found


def _label_rows(chart: Chart, width_mm: float) -> int:
    return 1 + max(row for _, _, row, _ in _placed(chart, width_mm))


def _labels(chart: Chart, field: Field) -> Iterator[Item]:
    """The names of the devices over the field, each with a line down to its band."""
    placed = _placed(chart, field.right_mm + RIGHT_MM)
    for (x_mm, middle, row, name), look in zip(placed, LOOKS, strict=False):
        base = field.top_mm - 1.4 - row * ROW_MM
        yield Text(middle, base, name, TEXT_MM, "middle", "bold", look.colour if look.colour == "accent" else "ink")
        yield Path(line(x_mm, base + 0.7, x_mm, field.top_mm), Pen(look.colour, 0.25))


class _Entry(msgspec.Struct, frozen=True):
    """An entry of the key: the look of a device or a pen, and in lines what it stands for."""

    lines: tuple[str, ...]
    look: Look | None = None
    pen: Pen | None = None

    @property
    def height_mm(self) -> float:
        """The height it takes."""
        return KEY_MM + (len(self.lines) - 1) * TEXT_MM * LINE_PITCH


def _key(chart: Chart, width_mm: float) -> Iterator[_Entry]:
    for curve, look in zip(chart.drawn, LOOKS, strict=False):
        yield _Entry(wrap(f"{curve.name}: {curve.series}", width_mm, TEXT_MM), look)
    if chart.conductor:
        yield _Entry(wrap(conductor_text(chart.conductor), width_mm, TEXT_MM), pen=LIMIT)
    if chart.start:
        yield _Entry(wrap(start_text(chart.start), width_mm, TEXT_MM), pen=START)
    others = ", ".join(curve.name for curve in chart.curves if not curve.bands)
    if others:
        told = tr("Not drawn, since no time limits are known for their class: {names}").format(names=others)
        yield _Entry(wrap(told, width_mm, TEXT_MM))


def conductor_text(conductor: Conductor) -> str:
    """What the conductor's two lines are, in words."""
    told = tr("{name} at the limit of its insulation: k²S², k = {k}; thin: at the most, cross-linked, k = {best}")
    return told.format(name=conductor.name, k=f"{conductor.least.k:.3g}", best=f"{conductor.best.k:.3g}")


def start_text(start: Start) -> str:
    """A motor's start in words."""
    lasts = f"{start.seconds:g} s"
    if start.taken:
        lasts = tr("{lasts} taken, the drawing does not say (common practice, no source)").format(lasts=lasts)
    told = tr("{name} starts with {starting} A ({lasts}), then runs with {running} A")
    return told.format(name=start.name, starting=amps(start.starting_a), lasts=lasts, running=amps(start.running_a))


def _key_items(entries: Iterable[_Entry], top_mm: float) -> Iterator[Item]:
    for entry in entries:
        base = top_mm + TEXT_MM
        if entry.look:
            yield from _swatch(entry.look, LEFT_MM, base - TEXT_MM / 2)
        if entry.pen:
            yield Path(line(LEFT_MM, base - TEXT_MM / 2, LEFT_MM + 9.0, base - TEXT_MM / 2), entry.pen)
        for number, text in enumerate(entry.lines):
            yield Text(LEFT_MM + INDENT_MM, base + number * TEXT_MM * LINE_PITCH, text, TEXT_MM)
        top_mm += entry.height_mm


def _swatch(look: Look, x_mm: float, y_mm: float) -> Iterator[Item]:
    box = (x_mm, y_mm - 1.4, 9.0, 2.8)
    shape = Shape(((box[0], box[1]), (box[0] + 9.0, box[1])), ((box[0], box[1] + 2.8), (box[0] + 9.0, box[1] + 2.8)))
    for stroke in hatched(shape, look.angle_deg, look.pitch_mm / 1.3):
        yield Path(line(*stroke), look.hatch)
    yield Path(rectangle(*box), Pen(look.colour, look.width_mm * 0.7))
