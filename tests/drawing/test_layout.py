"""The first placement: everything placed once, nothing on anything, energy from left to right, AC apart."""

from __future__ import annotations

import itertools

import pytest

from engine.drawing.bounds import overlap
from engine.drawing.layout import is_placed, lay_out, unplaced
from engine.drawing.sheet import draw_sheet
from engine.drawing.sheets import drawing_space, sheet_format, title_box
from engine.model.document import Document
from engine.sketch import read_sketch
from tests.drawing import laws
from tests.drawing.boats import QUILL, circuits_text, laid_out, library, symbols, ways_text

SMALL = """
G1 battery "Battery" nominal_v=12 capacity_ah=100
F1 fuse_post 50 A
W1 bus_positive studs=4
W2 bus_negative studs=4
E1 load_dc "Heater" running_a=9
E2 pump "Water pump" running_a=7
1: G1.pos - F1.b + 6 AWG RD 0.2 m
2: F1.a - W1.s1 + 6 AWG RD 0.6 m
3: W1.s2 - E1.supply + 14 AWG RD 4 m
4: E1.neg - W2.s2 - 14 AWG YE 4 m
5: W1.s3 - E2.supply + 14 AWG RD 5 m
6: E2.neg - W2.s3 - 14 AWG YE 5 m
7: G1.neg - W2.s1 - 6 AWG YE 0.4 m
"""

LARGE = "\n".join(
    [
        "G1 battery",
        "F0 fuse_post 200 A",
        "W1 bus_positive studs=6",
        "1: G1.pos - F0.a + 2/0 AWG RD 1 m",
        "2: F0.b - W1.s1 + 2/0 AWG RD 1 m",
        *(
            line.replace("E", f"E{n}0", 1) if line.startswith("E") else line
            for n in range(1, 4)
            for line in (
                f"A{n} dc_panel",
                ways_text(24),
                f"{n}0: W1.s{n + 1} - A{n}.feed + 2 AWG RD 2 m",
            )
        ),
    ]
)

BOATS = {
    "quill": QUILL,
    "small": SMALL,
    "large": LARGE,
    "panel": "A1 dc_panel\n" + ways_text(20) + "\n" + circuits_text(18),
}


@pytest.fixture(scope="module", params=BOATS, name="boat")
def _boat(request: pytest.FixtureRequest) -> Document:
    return laid_out(BOATS[request.param])


def test_every_part_is_placed(boat: Document) -> None:
    assert is_placed(boat)
    assert unplaced(boat) == []


def test_no_part_stands_twice_on_a_sheet(boat: Document) -> None:
    for sheet in boat.sheets:
        ids = [place.part for place in sheet.places]
        assert len(ids) == len(set(ids))


def test_places_are_on_the_module(boat: Document) -> None:
    for sheet in boat.sheets:
        for place in sheet.places:
            assert (place.x_mm % 2.5, place.y_mm % 2.5) == (0.0, 0.0)


def test_no_two_parts_overlap_and_all_stand_inside_the_frame(boat: Document) -> None:
    for sheet in boat.sheets:
        drawing = draw_sheet(boat, sheet.id, library(), symbols())
        boxes = list(laws.part_boxes(drawing).values())
        assert not any(overlap(a, b, -0.05) for a, b in itertools.combinations(boxes, 2))
        paper = sheet_format(sheet.format)
        x0, y0, x1, y1 = drawing_space(paper)
        assert all(box[0] >= x0 and box[1] >= y0 and box[2] <= x1 and box[3] <= y1 for box in boxes)
        assert not any(overlap(box, title_box(paper)) for box in boxes)


def test_the_drawing_keeps_the_laws(boat: Document) -> None:
    ends = {run.id: (run.a.part, run.b.part) for run in boat.network.runs}
    for sheet in boat.sheets:
        drawing = draw_sheet(boat, sheet.id, library(), symbols())
        assert drawing.unclear == ()
        assert laws.runs_through_parts(drawing, ends) == []
        assert laws.overlapping_labels(drawing) == []
        assert laws.labels_on_runs(drawing) == []


def test_the_network_is_untouched() -> None:
    document = read_sketch(SMALL, library())
    assert lay_out(document, library(), symbols()).network is document.network


def test_energy_goes_from_left_to_right() -> None:
    document = laid_out(SMALL)
    parts = {part.id: part.designation for part in document.network.parts}
    x = {parts[place.part]: place.x_mm for place in document.sheets[0].places}
    assert x["G1"] < x["F1"] < x["W1"] < x["E1"] == x["E2"]


def test_a_part_fed_from_its_right_side_is_turned_round() -> None:
    document = laid_out(SMALL)
    fuse = next(part.id for part in document.network.parts if part.designation == "F1")
    assert next(place for place in document.sheets[0].places if place.part == fuse).mirrored


def test_loads_stand_in_line_with_their_ways() -> None:
    document = laid_out(BOATS["panel"])
    drawing = draw_sheet(document, document.sheets[0].id, library(), symbols())
    assert all(len(points) == 2 for points in drawing.paths.values())


def test_alternating_current_has_its_own_sheet() -> None:
    document = laid_out(QUILL)
    titles = [sheet.title for sheet in document.sheets]
    assert titles == ["Direct current", "Alternating current"]


def test_a_boat_too_large_for_one_sheet_gets_a_sheet_for_each_panel() -> None:
    document = laid_out(LARGE)
    assert len(document.sheets) == 4
    assert all(sheet.format in ("A3", "A2") for sheet in document.sheets)


def test_the_same_boat_is_placed_the_same() -> None:
    assert laid_out(QUILL) == laid_out(QUILL)


def test_a_boat_without_parts_stays_as_it_is() -> None:
    assert lay_out(Document(), library(), symbols()).sheets
