"""Frame and title block of every format: nothing overlaps, leaves its cell or the paper, or is too small to read."""

from __future__ import annotations

from itertools import combinations

import pytest

from engine.drawing.bounds import items_box, overlap, texts
from engine.drawing.display import Group, Item
from engine.drawing.frame import CAUTION, SMALLEST_MM, Captions, TitleBlock, frame_items
from engine.drawing.metrics import text_box
from engine.drawing.sheets import SheetFormat, sheet_format, sheet_names, title_box

FULL = TitleBlock(
    owner="Quillan Bay",
    title="Quill 34",
    supplementary_title="DC 12 V and AC 230 V system, one-line diagram with protection and cable sizes",
    drawing_number="QB34-E-001",
    revision="C",
    date="2026-03-14",
    sheet=1,
    sheets=4,
    creator="M. Arden",
    approved="J. Whitlow",
    document_type="One-line diagram",
    status="Issued for build",
    reference="Hull no. 12",
)
LONG = TitleBlock(
    owner="Quillan Bay Boat and Yacht Building Company",
    title="Marguerite, refit of the whole electrical system",
    supplementary_title="Distribution of direct and alternating current, " * 6,
    drawing_number="QB-MARGUERITE-E-001-A",
    revision="AB12",
    date="2026-03-14T12:00",
    sheet=1234,
    sheets=1234,
    creator="A name that is much longer than its cell",
    approved="Another name that is much longer than its cell",
    document_type="Panel schedule of all distribution panels and sub-panels",
    status="Issued for construction, preliminary, not approved",
    reference="Reference " * 9,
    language="en, de, fr, nl",
    caution=CAUTION * 4,
)
every_format = pytest.mark.parametrize("sheet", [sheet_format(name) for name in sheet_names()], ids=sheet_names())
every_block = pytest.mark.parametrize("block", [FULL, LONG], ids=["full", "long"])


def group(items: tuple[Item, ...], key: str) -> Group:
    return next(item for item in items if isinstance(item, Group) and item.key == key)


@every_format
@every_block
def test_no_lettering_is_too_small_or_on_top_of_other_lettering(sheet: SheetFormat, block: TitleBlock) -> None:
    every = list(texts(frame_items(sheet, block)))
    assert min(text.height_mm for text in every) >= SMALLEST_MM == 1.8
    clashes = [(a.string, b.string) for a, b in combinations(every, 2) if overlap(text_box(a), text_box(b), -0.25)]
    assert clashes == []


@every_format
@every_block
def test_all_lies_on_the_paper_and_the_title_block_in_its_place(sheet: SheetFormat, block: TitleBlock) -> None:
    items = frame_items(sheet, block)
    x0, y0, x1, y1 = items_box(items) or (0, 0, 0, 0)
    assert x0 >= 0
    assert y0 >= 0
    assert x1 <= sheet.width_mm
    assert y1 <= sheet.height_mm
    place = title_box(sheet)
    for text in texts(group(items, "title-block").items):
        box = text_box(text)
        assert place[0] < box[0] < box[2] < place[2], text.string
        assert place[1] < box[1] < box[3] <= place[3] + 0.1, text.string


@every_format
def test_each_cell_holds_its_own_field(sheet: SheetFormat) -> None:
    """Fields do not reach into each other even when each value is too long for its cell."""
    fields = [item for item in group(frame_items(sheet, LONG), "title-block").items if isinstance(item, Group)]
    boxes = {field.key: items_box(field.items) for field in fields}
    assert None not in boxes.values()
    clashes = [(a, b) for a, b in combinations(boxes, 2) if overlap(boxes[a], boxes[b], -0.25)]  # type: ignore[arg-type]
    assert clashes == []


def test_every_field_of_the_record_is_printed() -> None:
    printed = " ".join(text.string for text in texts(frame_items(sheet_format("A3"), FULL)))
    for value in (
        "Quillan Bay", "Quill 34", "DC 12 V", "QB34-E-001", "C", "2026-03-14", "1 / 4", "M. Arden", "J. Whitlow",
        "One-line diagram", "Issued for build", "Hull no. 12", "en", "A3", "checked as a drawing, not the boat",
    ):  # fmt: skip
        assert value in printed


def test_an_empty_field_keeps_its_caption() -> None:
    block = group(frame_items(sheet_format("A4"), TitleBlock(owner="Quillan Bay", title="Quill 34")), "title-block")
    assert [text.string for text in texts(group(block.items, "field:approved").items)] == ["Approved by"]


def test_captions_come_in_other_languages() -> None:
    items = frame_items(sheet_format("A4"), FULL, Captions(owner="Rechtlicher Eigentümer"))
    assert "Rechtlicher Eigentümer" in [text.string for text in texts(items)]


def test_zone_names_stand_at_top_and_right_only_on_upright_sheets() -> None:
    a4 = [text.string for text in texts(group(frame_items(sheet_format("A4"), FULL), "frame").items)]
    a3 = [text.string for text in texts(group(frame_items(sheet_format("A3"), FULL), "frame").items)]
    assert sorted(a4) == [*"1234", *"ABCDEF"]
    assert sorted(a3) == sorted([*"12345678", *"ABCDEF"] * 2)
