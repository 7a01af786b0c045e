"""Puts a sheet together: parts, then their tags, then the runs, then the runs' tags, marks and legend.

Each step takes ground that the later ones keep off. Knows no frame and no backend.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import msgspec

from engine.drawing.annotate import Annotation, Mark, Severity, place_marks, shown_path
from engine.drawing.boundary import ac_boundary
from engine.drawing.bounds import texts, union
from engine.drawing.captions import run_tags
from engine.drawing.crossref import Standing, also_line, flags, standings
from engine.drawing.display import Group, Item, Text
from engine.drawing.flags import PlacedFlag, flag_groups, place_flags
from engine.drawing.labels import Ground, place_part_tag, place_run_tags
from engine.drawing.leads import Lead, Led, Terminal, lead_between, way_by_hand
from engine.drawing.legend import Used, is_own_symbol, legend_group, rows
from engine.drawing.metrics import Box, text_box
from engine.drawing.outline import Outline, Point
from engine.drawing.overlay import bands, beside_parts, legend_rows, letters, run_value, wire_pen
from engine.drawing.placed import PlacedPart, Shapes, landed_ports, part_boxes, placed_parts, spots
from engine.drawing.ports import STEP, Key, PortSpot, Side, moved_box
from engine.drawing.routing import lead_runs, parting_nodes
from engine.drawing.shapes import PartShape, TagLine, way_out
from engine.drawing.sheets import SheetFormat, drawing_space, foot_area, sheet_format, title_box
from engine.drawing.tracks import Tracks, node_at, point_at
from engine.drawing.wires import (
    Hops,
    core_strokes,
    find_hops,
    joint,
    way_boxes,
    way_outline,
    wire_class,
    wire_items,
    wire_style,
)  # fmt: skip
from engine.library.device import Library
from engine.library.symbol import Symbol
from engine.model.document import Document
from engine.model.lookup import parts_by_id
from engine.model.network import End, Run, UnitSystem
from engine.model.sheets import MODULE_MM, Sheet

Means = tuple[Library, Mapping[str, Symbol], Shapes]
TAG_CLEARANCE_MM = 0.7
CLEARANCE_MM = MODULE_MM - 0.01


class Settled(msgspec.Struct, frozen=True):
    """The ways found for a whole sheet at once, and the ground on which: on the same ground they would be found again."""

    ground: tuple[tuple[Lead, ...], bytes]
    ways: dict[str, Led]


class Composition(msgspec.Struct, frozen=True):
    """A sheet put together, without its frame. `settled`: its ways as they are found when all are led anew, where known."""

    paper: SheetFormat
    items: tuple[Item, ...]
    ports: Mapping[Key, PortSpot]
    boxes: Mapping[str, Box]
    paths: Mapping[str, tuple[Point, ...]]
    ways: dict[str, Led]
    settled: Settled | None = None


def compose(
    document: Document,
    sheet: Sheet,
    means: Means,
    kept: Mapping[str, Led],
    annotation: Annotation | None,
    units: UnitSystem | None,
    *,
    hasty: bool = False,
    settled: Settled | None = None,
) -> Desk:
    """Everything that stands on the sheet before findings (`Desk.with_findings` goes on); `hasty`: for a picture of what is
    still being moved.

    `settled`: ways led for the whole sheet before, taken again where the ground is the same.
    """
    desk = Desk(document, sheet, means, annotation or Annotation(), units or document.network.particulars.units)
    desk.set_parts()
    desk.lead(kept, hasty, settled)
    desk.draw_runs()
    return desk


class Desk:
    """One sheet while it is drawn; kept as long as the same document is shown, with other findings."""

    def __init__(
        self, document: Document, sheet: Sheet, means: Means, annotation: Annotation, units: UnitSystem
    ) -> None:
        library, symbols, shapes = means
        self.document, self.sheet, self.symbols = document, sheet, symbols
        self.annotation, self.units, self.shapes = annotation, units, shapes
        self.paper = sheet_format(sheet.format)
        self.placed: dict[str, PlacedPart] = placed_parts(document, sheet, library, symbols, shapes)
        self.runs: dict[str, Run] = {run.id: run for run in document.network.runs}
        self.standings: dict[str, list[Standing]] = standings(document)
        self.ground = Ground()
        self.boxes: dict[str, Box] = part_boxes(self.placed)
        self.tags: dict[str, list[Text]] = {}
        self.flags: list[PlacedFlag] = []
        self.ways: dict[str, Led] = {}
        self.settled: Settled | None = None
        self.paths: dict[str, tuple[Point, ...]] = {}
        self.hops: dict[str, dict[int, tuple[float, ...]]] = {}
        self.joints: list[Point] = []
        self.wires: dict[str, list[Item]] = {}
        self.flagged: list[Item] = []
        self.under: list[Item] = []
        self.notes: list[Item] = []
        self.over: list[Item] = []

    def set_parts(self) -> None:
        """Parts, notes, tags and flags, in this order of precedence."""
        self.ground.take(title_box(self.paper))
        self._take_border()
        for one in self.placed.values():
            self.ground.take(one.box)
        landed = landed_ports(self.document)
        for one in self.placed.values():
            for port in sorted(landed.get(one.part.id, ())):
                self.ground.take(moved_box(way_out(one.pin(port)), one.x_mm, one.y_mm))
        self._write_notes()
        self._take_ways_by_hand()
        for one in self.placed.values():
            lines = self._tag_lines(one)
            self.tags[one.part.id] = place_part_tag(one.shape, one.x_mm, one.y_mm, lines, self.ground)
        parts = parts_by_id(self.document.network)
        listed = list(flags(self.document, self.sheet.id, parts, self.standings))
        self.flags = place_flags(listed, self.placed, self.ground)

    def _take_border(self) -> None:
        """Texts stay inside the frame and off its marks."""
        x0, y0, x1, y1 = drawing_space(self.paper)
        wide, high = self.paper.width_mm, self.paper.height_mm
        for box in ((0.0, 0.0, x0, high), (x1, 0.0, wide, high), (x0, 0.0, x1, y0), (x0, y1, x1, high)):
            self.ground.take(box)
        x, y = wide / 2, high / 2  # the centring marks reach 10 mm inside
        for box in ((x0, y - 1, x0 + 10, y + 1), (x1 - 10, y - 1, x1, y + 1), (x - 1, y0, x + 1, y0 + 10)):
            self.ground.take(box)

    def _write_notes(self) -> None:
        for note in self.sheet.notes:
            text = Text(note.x_mm, note.y_mm, note.text, note.height_mm)
            self.boxes[f"note:{note.id}"] = text_box(text)
            self.ground.take(text_box(text))
            self.notes.append(Group(f"note:{note.id}", (text,)))

    def _take_ways_by_hand(self) -> None:
        """A way that was set by hand is known before the tags are placed: they keep off it."""
        for lead in self._leads():
            points = [point_at(node) for node in way_by_hand(lead)] if lead.bends else []
            for box in way_boxes(points, {}, wire_style(self.runs[lead.run]).outer_mm):
                self.ground.take(box)

    def _tag_lines(self, one: PlacedPart) -> list[TagLine]:
        also = also_line(one.part.id, self.sheet.id, self.standings)
        return [*one.shape.tags, *([TagLine(also, 1.8, colour="faint")] if also else [])]

    def lead(self, kept: Mapping[str, Led], hasty: bool, settled: Settled | None) -> None:
        """Find the way of every run that has both its ends here."""
        leads, tracks = self._leads(), self._tracks()
        ground = (tuple(leads), bytes(tracks.cells))
        if settled is not None and settled.ground == ground:
            self.ways, self.settled = settled.ways, settled
        else:
            self.ways = lead_runs(leads, tracks, kept, hasty=hasty)
            self.settled = None if kept or hasty else Settled(ground, self.ways)
        self.paths = {run: self.ways[run].points() for run in self.runs if run in self.ways}

    def _leads(self) -> list[Lead]:
        """What is to be led: the runs that have both their ends here."""
        bends = {route.run: route.bends for route in self.sheet.routes}
        return [
            lead_between(run.id, self._terminal(run.a), self._terminal(run.b), bends.get(run.id, ()))
            for run in self.runs.values()
            if run.a.part in self.placed and run.b.part in self.placed
        ]

    def _tracks(self) -> Tracks:
        tracks = Tracks(self.paper.width_mm, self.paper.height_mm)
        x0, y0, x1, y1 = drawing_space(self.paper)
        tracks.block_outside((x0 + MODULE_MM, y0 + MODULE_MM, x1 - MODULE_MM, y1 - MODULE_MM))
        tracks.block(title_box(self.paper), CLEARANCE_MM)
        for one in self.placed.values():
            tracks.block(one.box, CLEARANCE_MM)
        for lines in self.tags.values():
            for text in lines:
                tracks.block(text_box(text), TAG_CLEARANCE_MM)
        for note in self.sheet.notes:
            tracks.block(self.boxes[f"note:{note.id}"], TAG_CLEARANCE_MM)
        for flag in self.flags:
            tracks.block(flag.box, TAG_CLEARANCE_MM)
            tracks.lay((node_at(*flag.start), node_at(*flag.end)))
        return tracks

    def _terminal(self, end: End) -> Terminal:
        one = self.placed[end.part]
        pin = one.pin(end.port)
        node = node_at(pin.x_mm + one.x_mm, pin.y_mm + one.y_mm)
        return Terminal((end.part, end.port), node, pin.sides, _reach(one.shape, pin.x_mm, pin.y_mm, pin.sides[0]))

    def draw_runs(self) -> None:
        """Wires with hops and joints, then the values of a condition."""
        self.hops, self.joints = find_hops(self.paths), self._joints()
        for run, points in self.paths.items():
            for box in way_boxes(points, self.hops[run], wire_style(self.runs[run]).outer_mm):
                self.ground.take(box)
        self.wires = {run: self._wire(run) for run in self.paths}
        self.flagged = [group for flag in self.flags for group in self._flagged(flag)]
        self._write_values()

    def _write_values(self) -> None:
        """What the boat in a condition says of parts and runs; it goes before the runs' tags."""
        widths = {run: wire_style(self.runs[run]).outer_mm for run in self.paths}
        self.over += letters(self.annotation, self.paths, widths, self.ground)
        self.over += beside_parts(self.annotation, self.boxes, self.tags, self.ground, self._texts_inside)
        for run, forms in self.annotation.values.items():
            if run in self.paths:
                self.wires[run] += run_value(forms, self.paths[run], widths[run], self.ground)

    def _texts_inside(self, part: str) -> Iterator[Text]:
        return texts((self.shapes.group(self.placed[part], self.sheet.id),))

    def _wire(self, run: str) -> list[Item]:
        record, points, hops = self.runs[run], self.paths[run], self.hops[run]
        style = wire_style(record)
        self.under += bands(self.annotation, run, points, hops, style.outer_mm)
        self.boxes[f"run:{run}"] = _run_box(points, hops, style.outer_mm)
        items = list(wire_items(style, points, hops, wire_pen(self.annotation, run, style)))
        strokes = core_strokes(points, len(record.poles)) if len(record.poles) > 2 else None
        if strokes is not None and self.ground.crowding(strokes[1]) <= 1:
            items += strokes[0]
            self.ground.take(strokes[1])
        return items

    def _joints(self) -> list[Point]:
        by_port: dict[Key, list[Led]] = {}
        for led in self.ways.values():
            for end in (led.lead.a, led.lead.b):
                by_port.setdefault(end.port, []).append(led)
        nodes = {node for led in by_port.values() if len(led) > 1 for node in parting_nodes(led)}
        return [point_at(node) for node in sorted(nodes)]

    def _flagged(self, flag: PlacedFlag) -> list[Item]:
        """The stub and the label of runs that go on elsewhere."""
        points = (flag.start, flag.end)
        drawn: list[Item] = []
        for one in flag.flags:
            drawn.append(Group(f"run:{one.run}", wire_items(wire_style(self.runs[one.run]), points, {})))
            box = union((flag.box, _run_box(points, {}, 0.5)))
            assert box is not None
            self.boxes[f"run:{one.run}"] = box
        return [*drawn, *flag_groups(flag)]

    def with_findings(self, marks: Sequence[Mark], paths: Sequence[Sequence[str]]) -> Composition:
        """The sheet with the marks of findings, then the runs' tags where there is room left, then AC boundary and legend.

        The desk stays as it is.
        """
        ground = self.ground.copy()
        over = [*self.over, *place_marks(marks, self.boxes, self.paths, ground)]
        wires = self._tagged(ground)
        under = [*self._boundary(ground), *self.under, *self._shown(paths)]
        listed = legend_rows(self.annotation) + rows(self._used(marks))
        groups = (legend_group(listed, room, ground) for room in self._legend_rooms())
        over += [group for group in groups if group][:1] if listed else []
        parts = [self._part(one) for one in self.placed.values()]
        items = (*under, *wires, *parts, *self.notes, *over)
        return Composition(self.paper, items, spots(self.placed), self.boxes, self.paths, self.ways, self.settled)

    def _tagged(self, ground: Ground) -> list[Item]:
        """The runs with their tags, joints and flags; the fullest cable over what it shares."""
        tagged = {run: [*self.wires[run], *self._run_tags(run, ground)] for run in self.paths}
        order = sorted(tagged, key=lambda run: len(self.runs[run].poles))
        joints = (Group("joint", (joint(point),)) for point in self.joints)
        return [*(Group(f"run:{run}", tuple(tagged[run])) for run in order), *joints, *self.flagged]

    def _run_tags(self, run: str, ground: Ground) -> list[Text]:
        width = wire_style(self.runs[run]).outer_mm
        return place_run_tags(self.paths[run], width, run_tags(self.runs[run], self.units), ground)

    def _boundary(self, ground: Ground) -> list[Item]:
        x0, y0, x1, y1 = drawing_space(self.paper)
        boundary = ac_boundary(self.placed.values(), self.tags, (x0 + 2.5, y0 + 2.5, x1 - 2.5, y1 - 2.5), ground)
        return [boundary] if boundary else []

    def _shown(self, paths: Sequence[Sequence[str]]) -> list[Item]:
        outlines = {run: self._outline(run) for run in self.paths} if paths else {}
        return [Group("shown", tuple(shown_path(keys, outlines, self.boxes))) for keys in paths]

    def _part(self, one: PlacedPart) -> Group:
        drawn = self.shapes.group(one, self.sheet.id)
        return Group(drawn.key, (*drawn.items, *self.tags[one.part.id]))

    def _outline(self, run: str) -> tuple[Outline, float]:
        return way_outline(self.paths[run], self.hops[run]), wire_style(self.runs[run]).outer_mm

    def _legend_rooms(self) -> Iterator[Box]:
        """Left of the title block if it can be, else anywhere."""
        foot = foot_area(self.paper)
        x0, y0, x1, y1 = drawing_space(self.paper)
        if foot:
            yield foot
        yield (x0 + 2.5, y0 + 2.5, x1 - 2.5, y1 - 2.5)

    def _used(self, marks: Sequence[Mark]) -> Used:
        flagged = [one.run for flag in self.flags for one in flag.flags]
        drawn = [self.runs[run] for run in (*self.paths, *flagged)]
        styles = [wire_style(run) for run in drawn]
        names = {one.kind.symbol for one in self.placed.values()}
        own = [symbol for name in sorted(names) if (symbol := self.symbols.get(name)) and is_own_symbol(symbol)]
        return Used(
            colours=() if self.annotation.live else tuple(sorted({code for style in styles for code in style.cores})),
            classes=() if self.annotation.live else tuple(sorted({wire_class(run.size) for run in drawn})),
            severities=_severities(marks),
            symbols=tuple(own),
            hops=any(self.hops.values()),
            joints=bool(self.joints),
            spares=any(way.state != "used" for one in self.placed.values() for way in one.part.positions),
        )


def _severities(marks: Sequence[Mark]) -> tuple[Severity, ...]:
    return tuple(sorted({mark.severity for mark in marks}))


def _reach(shape: PartShape, x: float, y: float, side: Side) -> int:
    """How many modules a run goes straight before it is clear of its own part."""
    box = shape.box
    dx, dy = STEP[side]
    inside = (box[2] - x if dx > 0 else x - box[0]) if dx else (box[3] - y if dy > 0 else y - box[1])
    return max(1, -int(-(inside + MODULE_MM - 0.01) // MODULE_MM))


def _run_box(points: Sequence[Point], hops: Hops, width: float) -> Box:
    box = union(way_boxes(points, hops, width))
    assert box is not None
    return box
