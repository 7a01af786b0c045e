"""The boat in one condition, drawn over its sheet: what is live and from where, volts, amps, how full each run is.

All of it reads in grey: feeds differ by dashes and letters, fullness by width and number. Knows keys, texts and classes;
what they mean is worked out in live_view.py and results_view.py.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

import msgspec

from engine.drawing.annotate import MARK_MM, Annotation, along, ring_places
from engine.drawing.bounds import overlap, union
from engine.drawing.display import Group, Item, Path, Pen, Text
from engine.drawing.labels import RUN_TAG_MM, Ground, place_along
from engine.drawing.legend import SAMPLE_MM, Row
from engine.drawing.metrics import Box, text_box, text_width_mm
from engine.drawing.outline import Outline, Point, circle, line, rectangle
from engine.drawing.ports import grown
from engine.drawing.wires import Hops, WireStyle, way_boxes, way_outline
from engine.messages import tr

DEAD = -1
LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"
DASHES: tuple[tuple[float, ...], ...] = (
    (), (5.0, 1.6), (4.0, 1.3, 0.6, 1.3), (1.8, 1.4), (0.5, 1.4), (7.0, 1.3, 0.6, 1.3, 0.6, 1.3),
)  # fmt: skip
LIVE_LEAST_MM = 0.75
HALO_MM = 1.5
LETTER_MM = 1.8
PILL_MM = 1.55
HEAT_TO = (25.0, 50.0, 80.0, 100.0)
"""Up to which loading, per cent, the classes 1 to 4 go; class 5 lies above."""

AIR_MM = 1.2
BOARD_MM = 60.0
"""A part that is wider is a board: what stands at it is written in its head."""

HEAD_LINES_MM = (5.4, 9.6)
SIGN_MM = 12.0
"""Room for the warning sign at the right of a board's head."""

FARTHEST_MM = 9.0
"""How far from its run a value may stand off; farther it would not be read as the run's."""


def letter_of(feed: int) -> str:
    """The letter of a feed: A, B … Z, A2 …"""
    rounds, at = divmod(feed, len(LETTERS))
    return LETTERS[at] + (str(rounds + 1) if rounds else "")


def heat_class(percent: float) -> int:
    """The class, 1 to 5, of a loading in per cent."""
    return 1 + sum(percent > top for top in HEAT_TO)


def feed_pen(feed: int, width_mm: float) -> Pen:
    """Colour and dashes of a feed; with more feeds than there are colours, the letter tells them apart."""
    at = feed % len(DASHES)
    return Pen(f"live.{at + 1}", max(width_mm, LIVE_LEAST_MM), DASHES[at])


def wire_pen(annotation: Annotation, run: str, style: WireStyle) -> Pen | None:
    """How a run is drawn where the sheet shows what is live; None: in its own colours."""
    if not annotation.live:
        return None
    feed = annotation.live.get(run)
    if feed is None:
        return Pen("rule", 0.2)
    return Pen("live.dead", 0.25) if feed == DEAD else feed_pen(feed, style.outer_mm)


def bands(annotation: Annotation, run: str, points: Sequence[Point], hops: Hops, width_mm: float) -> Iterator[Item]:
    """What lies under a run: the glow of what is live, the band of how full it is."""
    way = way_outline(points, hops)
    if annotation.live.get(run, DEAD) != DEAD:
        yield Path(way, Pen("live.halo", max(width_mm, LIVE_LEAST_MM) + HALO_MM))
    heat = annotation.heat.get(run, 0)
    if heat:
        yield from _heat_band(way, heat, width_mm)


def _heat_band(way: Outline, heat: int, width_mm: float) -> Iterator[Item]:
    """The fuller the wider and darker; above 100 % with an edge."""
    width = width_mm + 0.4 + 0.55 * heat
    if heat == 5:
        yield Path(way, Pen("ink", width + 0.5))
    yield Path(way, Pen(f"heat.{heat}", width))


def letters(
    annotation: Annotation, paths: Mapping[str, Sequence[Point]], widths: Mapping[str, float], ground: Ground
) -> Iterator[Group]:
    """The letter of its feed on each live run that has room for one."""
    for run, points in paths.items():
        feed = annotation.live.get(run, DEAD)
        if feed != DEAD and (at := _letter_place(points, widths[run], ground)):
            x, y = at
            ground.take(_pill_box(x, y))
            yield Group(f"run:{run}", _pill(feed, x, y))


def _letter_place(points: Sequence[Point], width_mm: float, ground: Ground) -> Point | None:
    """On the run, where nothing but the run itself is."""
    own = set(way_boxes(points, {}, width_mm))
    for x, y, _ in along(points):
        box = _pill_box(x, y)
        if ground.crowding(box) <= sum(overlap(box, strip) for strip in own):
            return x, y
    return None


def _pill_box(x: float, y: float) -> Box:
    return x - PILL_MM, y - PILL_MM, x + PILL_MM, y + PILL_MM


def _pill(feed: int, x: float, y: float) -> tuple[Item, ...]:
    return (
        Path(circle(x, y, PILL_MM - 0.2), Pen(feed_pen(feed, 0.0).colour, 0.3), "paper"),
        Text(x, y + LETTER_MM / 2, letter_of(feed), LETTER_MM, "middle", "bold"),
    )


def run_value(forms: Sequence[str], points: Sequence[Point], width_mm: float, ground: Ground) -> tuple[Item, ...]:
    """The value of a run over it; where it has no room, beside it with a leader; nothing where there is none near."""
    placed = place_along(points, width_mm, forms, ground, weight="bold", colour="accent")
    if placed is not None:
        ground.take(_with_air(placed))
        return (placed,)
    for form in forms:
        length = text_width_mm(form, RUN_TAG_MM, "bold")
        for x, y, _ in along(points):
            for text in _about(x, y, length, form):
                end = _nearest(text, (x, y))
                if ground.is_free(text_box(text)) and ground.crowding(_off_the_run((x, y), end)) == 0:
                    ground.take(_with_air(text))
                    return (Path(line(x, y, *end), Pen("accent", 0.15)), text)
    return ()


def _about(x: float, y: float, length: float, string: str) -> Iterator[Text]:
    """Level texts about a point, near ones first."""
    steps = int(FARTHEST_MM / 1.5)
    for n in range(1, steps + 1):
        off = 0.4 + 1.5 * n
        yield from (
            _value(x + dx, y + dy, string)
            for dx in (-length / 2, 1.0, -length - 1.0)
            for dy in (-off, off + RUN_TAG_MM)
        )


def _value(x: float, y: float, string: str) -> Text:
    return Text(x, y, string, RUN_TAG_MM, weight="bold", colour="accent")


def _off_the_run(start: Point, end: Point) -> Box:
    """The part of a leader that is clear of its run."""
    (x, y), (to_x, to_y) = start, end
    length = max(abs(to_x - x) + abs(to_y - y), 0.1)
    share = min(1.0, 1.0 / length)
    return _strip((x + share * (to_x - x), y + share * (to_y - y)), end)


def beside_parts(
    annotation: Annotation, boxes: Mapping[str, Box], tags: Mapping[str, Sequence[Text]], ground: Ground,
    inside: Callable[[str], Iterable[Text]],
) -> Iterator[Group]:  # fmt: skip
    """What is said beside parts, and the frames of parts with their words. `tags`: the texts beside a part by its id,
    `inside`: those within it."""
    said = {key: (word, "danger") for key, word in annotation.frames.items()}
    said |= {key: (text, "accent") for key, text in annotation.beside.items() if key not in said}
    for key, (text, colour) in said.items():
        if key in boxes:
            part, note, box = key.removeprefix("part:"), Note(text, colour), boxes[key]
            frame = (_frame(box),) if key in annotation.frames else ()
            head = _in_the_head(note, box, inside(part)) if box[2] - box[0] > BOARD_MM else None
            yield Group(key, (*frame, *((head,) if head else _beside(note, box, tags.get(part, ()), ground))))


def _frame(box: Box) -> Path:
    left, top, right, foot = grown(box, 1.0)
    return Path(rectangle(left, top, right - left, foot - top, 1.2), Pen("danger", 0.5, (1.6, 1.0)))


class Note(msgspec.Struct, frozen=True):
    """A text that is to be placed beside a part, and its colour."""

    string: str
    colour: str

    def at(self, x: float, y: float) -> Text:
        """Its text with its foot on the left at (x, y)."""
        return Text(x, y, self.string, RUN_TAG_MM, weight="bold", colour=self.colour)

    @property
    def length_mm(self) -> float:
        """How wide it is."""
        return text_width_mm(self.string, RUN_TAG_MM, "bold")


def _in_the_head(note: Note, box: Box, written: Iterable[Text]) -> Text | None:
    """At the right of a board's head, on its first line or its second, where nothing is written; None: no room."""
    taken = [text_box(text) for text in written]
    lines = (note.at(box[2] - note.length_mm - SIGN_MM, box[1] + y) for y in HEAD_LINES_MM)
    return next((text for text in lines if not any(overlap(text_box(text), each, AIR_MM) for each in taken)), None)


def _beside(note: Note, box: Box, tags: Sequence[Text], ground: Ground) -> tuple[Item, ...]:
    """After the part's own tag, else at the nearest free place; nothing where there is none."""
    after = next((text for text in _after(note, tags) if ground.is_free(text_box(text))), None)
    placed = (after,) if after else next(_around(note, box, ground), ())
    for text in placed:
        if isinstance(text, Text):
            ground.take(_with_air(text))
    return placed


def _after(note: Note, tags: Sequence[Text]) -> Iterator[Text]:
    """On the base line of one of the part's texts, the last first: behind it or before it; then under or over them."""
    for tag in tags[::-1]:
        left, _, right, _ = text_box(tag)
        yield note.at(right + AIR_MM, tag.y_mm)
        yield note.at(left - AIR_MM - note.length_mm, tag.y_mm)
    if tags:
        left, top, right, foot = union(text_box(tag) for tag in tags) or (0.0, 0.0, 0.0, 0.0)
        for x in (left, (left + right - note.length_mm) / 2, right - note.length_mm):
            yield note.at(x, foot + RUN_TAG_MM * 1.4)
            yield note.at(x, top - RUN_TAG_MM * 0.55)


def _around(note: Note, box: Box, ground: Ground) -> Iterator[tuple[Item, ...]]:
    """Free places round a part; those that stand off with a leader that touches nothing else."""
    for x, y, foot in ring_places(note.length_mm, box):
        text = note.at(x - MARK_MM / 2, y + RUN_TAG_MM / 2)
        if not ground.is_free(text_box(text)):
            continue
        if foot is None:
            yield (text,)
        elif ground.crowding(_strip(_nearest(text, foot), foot)) <= 1:
            yield Path(line(*_nearest(text, foot), *foot), Pen(note.colour, 0.15)), text


def _strip(a: Point, b: Point) -> Box:
    return min(a[0], b[0]) - 0.1, min(a[1], b[1]) - 0.1, max(a[0], b[0]) + 0.1, max(a[1], b[1]) + 0.1


def _nearest(text: Text, point: Point) -> Point:
    left, top, right, foot = text_box(text)
    return min(max(point[0], left), right), min(max(point[1], top), foot)


def _with_air(text: Text) -> Box:
    """Its box with room before and behind, so that the next text is not read as its end."""
    left, top, right, foot = text_box(text)
    return (left, top - AIR_MM, right, foot + AIR_MM) if text.angle_deg else (left - AIR_MM, top, right + AIR_MM, foot)


def legend_rows(annotation: Annotation) -> list[Row]:
    """What the legend says of all this."""
    rows = [Row((), annotation.condition)] if annotation.condition else []
    rows += [_feed_row(number, text) for number, text in enumerate(annotation.feeds)]
    if annotation.live:
        if DEAD in annotation.live.values():
            rows.append(Row((_stroke(Pen("live.dead", 0.25)),), tr("dead with the switches so")))
        rows.append(Row((_stroke(Pen("rule", 0.2)),), tr("return or protective earth")))
    return rows + [_heat_row(heat) for heat in sorted(set(annotation.heat.values()) - {0})]


def _feed_row(feed: int, text: str) -> Row:
    glow = _stroke(Pen("live.halo", 0.75 + HALO_MM))
    return Row((glow, _stroke(feed_pen(feed, 0.75)), *_pill(feed, SAMPLE_MM / 2, 0.0)), text)


def _heat_row(heat: int) -> Row:
    way = line(0.0, 0.0, SAMPLE_MM, 0.0)
    tops = ("", *(f"{top:.0f}" for top in HEAT_TO))
    text = tr("above 100 % of what it may carry") if heat == 5 else tr("up to {top} %").format(top=tops[heat])
    return Row((*_heat_band(way, heat, 0.5), _stroke(Pen("casing", 0.5))), text)


def _stroke(pen: Pen) -> Path:
    return Path(line(0.0, 0.0, SAMPLE_MM, 0.0), pen)
