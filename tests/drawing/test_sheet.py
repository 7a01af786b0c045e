"""Laws of the sheet drawing, held by several boats; what is on the sheet, and that it is the same every time."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

import pytest
from msgspec.structs import replace

from engine.drawing.annotate import Annotation, Mark
from engine.drawing.bounds import items_box, overlap, texts
from engine.drawing.display import Group, Path
from engine.drawing.metrics import text_box
from engine.drawing.sheet import Draughtsman, SheetDrawing, draw_sheet, sheet_items, sheet_named
from engine.model.document import Document
from engine.model.edits.fields import set_run_fields
from engine.model.sheets import Place, Route
from tests.drawing import laws
from tests.drawing.boats import knot, library, one_sheet, panel_boat, quill, symbols, two_sheets

BOATS: dict[str, tuple[Callable[[], Document], str]] = {
    "quill dc": (quill, "s1"),
    "quill ac": (quill, "s2"),
    "20 ways": (panel_boat, "s1"),
    "across sheets": (two_sheets, "s2"),
    "knot": (knot, "s1"),
    "both systems": (one_sheet, "s1"),
}


@pytest.fixture(scope="module", params=BOATS, name="boat")
def _boat(request: pytest.FixtureRequest) -> tuple[Document, SheetDrawing]:
    make, sheet = BOATS[request.param]
    document = make()
    return document, draw(document, sheet)


def draw(document: Document, sheet: str, annotation: Annotation | None = None) -> SheetDrawing:
    return draw_sheet(document, sheet, library(), symbols(), annotation=annotation)


def ends_of(document: Document) -> dict[str, tuple[str, str]]:
    return {run.id: (run.a.part, run.b.part) for run in document.network.runs}


def part_id(document: Document, designation: str) -> str:
    return next(part.id for part in document.network.parts if part.designation == designation)


def moved(document: Document, designation: str, dx: float, dy: float) -> Document:
    part = part_id(document, designation)
    sheet = document.sheets[0]
    places = tuple(
        replace(place, x_mm=place.x_mm + dx, y_mm=place.y_mm + dy) if place.part == part else place
        for place in sheet.places
    )
    return replace(document, sheets=(replace(sheet, places=places), *document.sheets[1:]))


def test_runs_are_level_or_upright(boat: tuple[Document, SheetDrawing]) -> None:
    for points in boat[1].paths.values():
        assert all(a[0] == b[0] or a[1] == b[1] for a, b in laws.stretches(points))


def test_every_run_finds_a_way(boat: tuple[Document, SheetDrawing]) -> None:
    assert boat[1].unclear == ()


def test_every_run_ends_at_its_ports(boat: tuple[Document, SheetDrawing]) -> None:
    document, drawing = boat
    for run in document.network.runs:
        points = drawing.paths.get(run.id)
        if points:
            for end, point in ((run.a, points[0]), (run.b, points[-1])):
                spot = drawing.ports[(end.part, end.port)]
                assert point == (spot.x_mm, spot.y_mm)


def test_no_run_passes_through_a_part(boat: tuple[Document, SheetDrawing]) -> None:
    assert laws.runs_through_parts(boat[1], ends_of(boat[0])) == []


def test_no_two_runs_lie_on_each_other(boat: tuple[Document, SheetDrawing]) -> None:
    ports = {run.id: (f"{run.a.part}.{run.a.port}", f"{run.b.part}.{run.b.port}") for run in boat[0].network.runs}
    assert laws.shared_lanes(boat[1], ports) == []


def test_no_two_labels_overlap(boat: tuple[Document, SheetDrawing]) -> None:
    assert laws.overlapping_labels(boat[1]) == []


def test_no_label_overlaps_a_part(boat: tuple[Document, SheetDrawing]) -> None:
    assert laws.labels_on_parts(boat[1]) == []


def test_no_label_overlaps_a_run(boat: tuple[Document, SheetDrawing]) -> None:
    assert laws.labels_on_runs(boat[1]) == []


def test_every_crossing_has_a_hop(boat: tuple[Document, SheetDrawing]) -> None:
    """A hop leaves the level line one radius before the crossing and comes back one radius behind it."""
    for run, (x, y) in laws.crossings(boat[1]):
        outlines = [item.outline for item in laws.group_items(boat[1], f"run:{run}") if isinstance(item, Path)]
        ends = {values[-2:] for outline in outlines for verb, values in outline if verb in "LC"}
        assert any(abs(ex - x) == pytest.approx(1.1) and ey == pytest.approx(y) for ex, ey in ends), (run, x, y)


def test_lettering_is_never_below_the_smallest_height(boat: tuple[Document, SheetDrawing]) -> None:
    assert min(text.height_mm for _, text in laws.labels(boat[1])) >= 1.8


def test_the_same_document_gives_the_same_drawing() -> None:
    assert draw(quill(), "s1") == draw(quill(), "s1")


def test_there_is_something_to_hop_over() -> None:
    """Else the law of hops would hold of nothing."""
    assert laws.crossings(draw(quill(), "s1"))


def test_every_part_way_and_run_has_a_box() -> None:
    document = quill()
    drawing = draw(document, "s1")
    panel = part_id(document, "A1")
    assert {f"part:{place.part}" for place in document.sheets[0].places} <= set(drawing.boxes)
    assert f"position:{panel}/24" in drawing.boxes
    assert {f"run:{run}" for run in drawing.paths} <= set(drawing.boxes)


def test_a_panel_of_twenty_ways_fits_an_a3_at_ten_millimetres() -> None:
    document = panel_boat(20)
    drawing = draw(document, "s1")
    panel = part_id(document, "A1")
    rows = [drawing.ports[(panel, f"p{key}")].y_mm for key in range(1, 21)]
    assert {b - a for a, b in pairwise(rows)} == {10.0}
    assert drawing.boxes[f"part:{panel}"][3] < 287.0


def test_spares_are_dashed_and_named() -> None:
    drawing = draw(panel_boat(24, 10), "s1")
    ways = {way.key.partition("/")[2]: way for way in _ways(drawing)}
    assert "Spare" in {text.string for text in texts(ways["24"].items)}
    assert any(isinstance(item, Path) and item.pen and item.pen.dash_mm for item in ways["24"].items)
    assert not any(isinstance(item, Path) and item.pen and item.pen.dash_mm for item in ways["1"].items)


def _ways(drawing: SheetDrawing) -> list[Group]:
    found: list[Group] = []
    open_groups = [item for item in drawing.page.items if isinstance(item, Group)]
    while open_groups:
        group = open_groups.pop()
        found += [group] if group.key.startswith("position:") else []
        open_groups += [item for item in group.items if isinstance(item, Group)]
    return found


def test_a_run_to_another_sheet_is_flagged_both_ways() -> None:
    document = two_sheets()
    first, second = draw(document, "s1"), draw(document, "s2")
    assert any(text.string.startswith("1 → 2.") and text.string.endswith("F1") for _, text in laws.labels(first))
    assert any(text.string.startswith("1 → 1.") and text.string.endswith("G1") for _, text in laws.labels(second))
    assert "w1" not in first.paths


def test_a_part_on_two_sheets_says_where_it_also_stands() -> None:
    assert any(text.string.startswith("also 1.") for key, text in laws.labels(draw(two_sheets(), "s2")))


def test_manual_bends_are_kept() -> None:
    document = quill()
    sheet = document.sheets[0]
    run = next(run.id for run in document.network.runs if run.number == "10")
    bends = ((220.0, 40.0), (220.0, 45.0))
    drawn = draw(replace(document, sheets=(replace(sheet, routes=(Route(run=run, bends=bends),)),)), "s1")
    assert set(bends) <= set(drawn.paths[run])


def test_dragging_a_part_keeps_the_ways_of_the_others() -> None:
    document = quill()
    draughtsman = Draughtsman(library(), symbols())
    before = draughtsman.draw(document, "s1").paths
    after = draughtsman.draw(moved(document, "M1", 5.0, 2.5), "s1").paths
    starter = part_id(document, "M1")
    touched = {run.id for run in document.network.runs if starter in (run.a.part, run.b.part)}
    assert {run for run in before if before[run] != after[run]} == touched


def test_settling_after_a_drag_gives_the_plain_drawing() -> None:
    document = moved(quill(), "Q2", 2.5, 5.0)
    draughtsman = Draughtsman(library(), symbols())
    draughtsman.draw(quill(), "s1")
    assert draughtsman.draw(document, "s1", settle=True) == draw(document, "s1")


def test_marks_take_free_ground_and_four_shapes() -> None:
    document = quill()
    panel, fuse = part_id(document, "A1"), part_id(document, "F4")
    marks = (
        Mark(f"part:{fuse}", "danger", 1),
        Mark(f"position:{panel}/3", "requirement", 2),
        Mark("run:w35", "advice", 3),
        Mark(f"part:{panel}", "unknown", 4),
    )
    drawing = draw(document, "s1", Annotation(marks=marks))
    groups = [item for item in drawing.page.items if isinstance(item, Group) and item.key.startswith("mark:")]
    assert len(groups) == 4
    assert laws.overlapping_labels(drawing) == []
    shapes = {
        tuple(verb for path in group.items if isinstance(path, Path) for verb, _ in path.outline) for group in groups
    }
    assert len(shapes) == 4


def test_marks_overlap_nothing() -> None:
    """Eight marks in the densest part of the sheet: rows 7.5 mm apart."""
    document = quill()
    keys = [f"part:{part_id(document, f'E{n}')}" for n in range(3, 7)]
    keys += [f"run:{run.id}" for run in document.network.runs if run.number in ("106", "107", "112", "13")]
    drawing = draw(document, "s1", Annotation(marks=tuple(Mark(key, "danger", n) for n, key in enumerate(keys, 1))))
    for number in range(1, 9):
        box = items_box([item for item in laws.group_items(drawing, f"mark:{number}") if not _is_leader(item)])
        assert box is not None
        assert not any(overlap(box, part, -0.05) for part in laws.part_boxes(drawing).values())
        others = [text for key, text in laws.labels(drawing) if key != f"mark:{number}"]
        assert not any(overlap(box, text_box(text), -0.05) for text in others)
        strips = [laws.strip(piece) for points in drawing.paths.values() for piece in laws.stretches(points)]
        assert not any(overlap(box, one, -0.05) for one in strips)


FINDINGS = (
    Annotation(marks=(Mark("run:w6", "danger", 1), Mark("run:w7", "advice", 2)), paths=(("run:w6", "run:w7"),)),
    Annotation(marks=(Mark("run:w7", "requirement", 1),)),
    Annotation(values={"run:w6": ("12.1 V",)}, live={"w6": 0, "w7": -1}, feeds=("G1",)),
    Annotation(),
)


def test_findings_that_come_and_go_leave_nothing_behind() -> None:
    draughtsman, document = Draughtsman(library(), symbols()), quill()
    for found in (*FINDINGS, *FINDINGS[::-1]):
        assert draughtsman.draw(document, "s1", annotation=found) == draw(document, "s1", found)


def test_what_does_not_change_is_not_made_anew() -> None:
    draughtsman, document = Draughtsman(library(), symbols()), quill()
    before = draughtsman.draw(document, "s1").page.items
    edited = set_run_fields(document, "w6", size="8 AWG")
    after = draughtsman.draw(edited, "s1", annotation=FINDINGS[1]).page.items
    same = {id(item) for item in before} & {id(item) for item in after}
    changed = {item.key for item in after if isinstance(item, Group) and id(item) not in same}
    assert "run:w6" in changed
    assert len(same) > 0.8 * len(after)
    assert after == draw(edited, "s1", FINDINGS[1]).page.items


def _is_leader(item: object) -> bool:
    return isinstance(item, Path) and item.pen is not None and item.pen.width_mm == 0.18


def test_values_stand_on_their_runs() -> None:
    document = panel_boat()
    run = document.network.runs[0].id
    drawing = draw(document, "s1", Annotation(values={run: ("3.1 A",)}))
    assert ("run:" + run, "3.1 A") in [(key, text.string) for key, text in laws.labels(drawing)]


def test_an_unknown_sheet_is_named() -> None:
    with pytest.raises(KeyError, match="s9"):
        draw(quill(), "s9")


def test_items_for_the_canvas_have_no_frame() -> None:
    keys = {item.key for item in sheet_items(quill(), "s2", library(), symbols()) if isinstance(item, Group)}
    assert "frame" not in keys
    assert "legend" in keys


def test_places_off_the_module_are_drawn_on_it() -> None:
    document = quill()
    sheet = sheet_named(document, "s1")
    places = tuple(
        Place(part=p.part, x_mm=p.x_mm + 0.6, y_mm=p.y_mm - 0.4, rotation=p.rotation, height_mm=p.height_mm)
        for p in sheet.places
    )
    nudged = replace(document, sheets=(replace(sheet, places=places), *document.sheets[1:]))
    assert draw(nudged, "s1").ports == draw(document, "s1").ports


def test_alternating_current_is_bounded_where_a_sheet_shows_both() -> None:
    document = one_sheet()
    (boundary,) = [
        item for item in draw(document, "s1").page.items if isinstance(item, Group) and item.key == "boundary"
    ]
    box = items_box(boundary.items)
    assert box is not None
    boxes = {
        name: draw(document, "s1").boxes[f"part:{part_id(document, name)}"] for name in ("X1", "F2", "E2", "G1", "E1")
    }
    assert all(box[0] < boxes[name][0] and boxes[name][2] < box[2] for name in ("X1", "F2", "E2"))
    assert not any(overlap(box, boxes[name]) for name in ("G1", "E1"))


def test_a_sheet_of_one_system_has_no_boundary() -> None:
    for sheet in ("s1", "s2"):
        keys = [item.key for item in draw(quill(), sheet).page.items if isinstance(item, Group)]
        assert "boundary" not in keys


def test_on_the_same_ground_a_drawing_lies_as_all_led_anew_without_settling() -> None:
    draughtsman, document = Draughtsman(library(), symbols()), quill()
    draughtsman.draw(document, "s1")
    run = document.network.runs[0].id
    resized = set_run_fields(document, run, size="4/0 AWG")
    quick = draughtsman.draw(resized, "s1")
    assert quick.settled
    assert quick == draw(resized, "s1")
    dragged = draughtsman.draw(moved(resized, "Q2", 2.5, 5.0), "s1")
    assert not dragged.settled
    assert draughtsman.draw(resized, "s1") == quick
