"""The sample boats open, are sound, equal their sketches, and are drawn without a blemish."""

from __future__ import annotations

from functools import cache

import pytest

from engine.drawing.sheet import SheetDrawing, draw_sheet
from engine.files.codec import decode_boat, encode_boat
from engine.library.expand import ports_of
from engine.library.symbol import load_symbols
from engine.model.invariants import problems
from engine.model.network import Part
from engine.sketch import read_sketch
from tests.drawing import laws
from tests.samples.boats import HERE, NAMES, boat_file, document, library

SHEETS = [pytest.param(name, sheet.id, id=f"{name} {sheet.title}") for name in NAMES for sheet in document(name).sheets]


def ports(part: Part) -> list[str]:
    return [port.name for port in ports_of(part, library()[part.kind])]


@cache
def drawing(name: str, sheet: str) -> SheetDrawing:
    return draw_sheet(document(name), sheet, library(), load_symbols())


@pytest.mark.parametrize("name", NAMES)
def test_it_is_sound(name: str) -> None:
    assert problems(document(name), ports) == ()


@pytest.mark.parametrize("name", NAMES)
def test_the_file_is_written_as_the_program_writes_it(name: str) -> None:
    data = boat_file(name).read_bytes()
    assert encode_boat(decode_boat(data)) == data


@pytest.mark.parametrize("name", NAMES)
def test_the_boat_file_is_its_sketch_with_sheets(name: str) -> None:
    text = (HERE / f"{name}.txt").read_text(encoding="utf-8")
    assert document(name).network == read_sketch(text, library(), f"{name}.txt").network


@pytest.mark.parametrize("name", NAMES)
def test_every_part_stands_on_a_sheet(name: str) -> None:
    drawn = {place.part for sheet in document(name).sheets for place in sheet.places}
    assert drawn == {part.id for part in document(name).network.parts}


@pytest.mark.parametrize(("name", "sheet"), SHEETS)
def test_every_run_found_its_way(name: str, sheet: str) -> None:
    assert drawing(name, sheet).unclear == ()


@pytest.mark.parametrize(("name", "sheet"), SHEETS)
def test_no_text_lies_on_another_on_a_part_or_on_a_run(name: str, sheet: str) -> None:
    drawn = drawing(name, sheet)
    assert laws.overlapping_labels(drawn) == []
    assert laws.labels_on_parts(drawn) == []
    assert laws.labels_on_runs(drawn) == []


@pytest.mark.parametrize(("name", "sheet"), SHEETS)
def test_no_run_lies_on_a_part_or_on_a_strange_run(name: str, sheet: str) -> None:
    drawn = drawing(name, sheet)
    ends = {run.id: (run.a.part, run.b.part) for run in document(name).network.runs}
    assert laws.runs_through_parts(drawn, ends) == []
    assert laws.shared_lanes(drawn, ends) == []


@pytest.mark.parametrize(("name", "sheet"), SHEETS)
def test_nothing_is_lettered_smaller_than_1_8_mm(name: str, sheet: str) -> None:
    assert min(text.height_mm for _, text in laws.labels(drawing(name, sheet))) >= 1.8


@pytest.mark.parametrize(("name", "sheet"), SHEETS)
def test_every_run_has_its_number_on_the_sheet(name: str, sheet: str) -> None:
    drawn = drawing(name, sheet)
    numbers = {run.id: run.number for run in document(name).network.runs}
    written = {key.removeprefix("run:"): text.string for key, text in laws.labels(drawn) if key.startswith("run:")}
    assert {run for run in drawn.paths if numbers[run] not in written.get(run, "").split(" · ")} == set()


@pytest.mark.parametrize(("name", "sheet"), SHEETS)
def test_few_runs_cross(name: str, sheet: str) -> None:
    """Counted when the sheets were drawn; a change that adds crossings should be seen."""
    most = {"quill_34": 6, "quill_26_launch": 13, "quill_52": 2, "marguerite_as_built": 30}
    assert len(laws.crossings(drawing(name, sheet))) <= most[name]
