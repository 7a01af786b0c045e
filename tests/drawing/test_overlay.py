"""The boat in one condition over its sheet: feeds are told apart in grey, values overlap nothing, fullness has classes."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

import pytest

from engine.drawing.annotate import Annotation
from engine.drawing.bounds import overlap
from engine.drawing.display import Group, Item, Path, Text
from engine.drawing.labels import Ground
from engine.drawing.metrics import text_box
from engine.drawing.overlay import DASHES, feed_pen, heat_class, legend_rows, letter_of, run_value
from engine.drawing.sheet import SheetDrawing
from engine.drawing.theme import PAPER, SHEETS, Theme, colour, contrast
from tests.drawing import laws
from tests.drawing.boats import panel_boat
from tests.drawing.test_sheet import draw

WAY = ((0.0, 50.0), (60.0, 50.0))


def test_feeds_differ_by_dashes_not_by_colour_alone() -> None:
    pens = [feed_pen(feed, 0.5) for feed in range(len(DASHES))]
    assert len({pen.dash_mm for pen in pens}) == len(pens)
    assert len({pen.colour for pen in pens}) == len(pens)
    assert [letter_of(feed) for feed in (0, 1, 23, 24)] == ["A", "B", "Z", "A2"]


@pytest.mark.parametrize("theme", SHEETS.values(), ids=lambda theme: theme.name)
def test_live_lines_stand_out_from_the_paper(theme: Theme) -> None:
    assert all(contrast(colour(theme, f"live.{n}"), colour(theme, "paper")) >= 4.5 for n in range(1, 7))


def test_the_fuller_the_darker_so_that_it_reads_in_grey() -> None:
    ratios = [contrast(colour(PAPER, f"heat.{n}"), colour(PAPER, "paper")) for n in range(1, 6)]
    assert ratios == sorted(ratios)


@pytest.mark.parametrize(
    ("percent", "heat"), [(0.0, 1), (25.0, 1), (25.1, 2), (80.0, 3), (100.0, 4), (100.1, 5), (400.0, 5)]
)
def test_classes_of_loading(percent: float, heat: int) -> None:
    assert heat_class(percent) == heat


def test_a_dead_run_is_thin_and_a_live_one_has_its_letter() -> None:
    document = panel_boat()
    first, second = document.network.runs[0].id, document.network.runs[1].id
    drawing = draw(document, "s1", Annotation(feeds=("live from G1",), live={first: 0, second: -1}))
    assert _colours(drawing, f"run:{first}") >= {"live.1"}
    assert "live.dead" in _colours(drawing, f"run:{second}")
    assert (f"run:{first}", "A") in [(key, text.string) for key, text in laws.labels(drawing)]
    assert "live from G1" in [text.string for _, text in laws.labels(drawing)]


def _colours(drawing: SheetDrawing, key: str) -> set[str]:
    return {item.pen.colour for item in laws.group_items(drawing, key) if isinstance(item, Path) and item.pen}


def test_values_on_every_run_and_part_overlap_nothing() -> None:
    document = panel_boat()
    runs = {run.id: ("12.4 A · −0.21 V", "12.4 A") for run in document.network.runs}
    parts = {f"part:{part.id}": "12.31 V" for part in document.network.parts}
    drawing = draw(document, "s1", Annotation(values=runs, beside=parts, heat=dict.fromkeys(runs, 3)))
    assert laws.overlapping_labels(drawing) == []
    assert laws.labels_on_runs(drawing) == []
    written = [text for _, text in laws.labels(drawing) if text.weight == "bold" and text.colour == "accent"]
    assert len(written) >= len(runs)
    assert laws.labels_on_parts(drawing) == []


def test_a_value_without_room_on_its_run_stands_off_with_a_leader() -> None:
    ground = Ground()
    for left, right in ((-10.0, 29.0), (31.0, 70.0)):
        ground.take((left, 46.5, right, 49.5))
        ground.take((left, 50.5, right, 53.5))
    placed = run_value(("12.4 A",), WAY, 0.5, ground)
    assert [type(item) for item in placed] == [Path, Text]


def test_a_value_that_finds_no_room_near_is_left_out_rather_than_written_over_something() -> None:
    ground = Ground()
    ground.take((-50.0, 0.0, 110.0, 100.0))
    assert run_value(("12.4 A",), WAY, 0.5, ground) == ()


def test_the_legend_explains_what_is_shown_and_nothing_else() -> None:
    rows = legend_rows(Annotation(feeds=("live from G1", "live from G2"), live={"w1": 0, "w2": 1}))
    assert [row.text for row in rows] == ["live from G1", "live from G2", "return or protective earth"]
    hot = [row.text for row in legend_rows(Annotation(heat={"w1": 1, "w2": 5, "w3": 0}))]
    assert hot == ["up to 25 %", "above 100 % of what it may carry"]
    assert legend_rows(Annotation()) == []
    assert [row.text for row in legend_rows(Annotation(condition="At anchor"))] == ["At anchor"]


def test_frames_are_drawn_round_parts_with_their_word() -> None:
    document = panel_boat()
    key = f"part:{document.network.parts[0].id}"
    drawing = draw(document, "s1", Annotation(frames={key: "goes dead"}))
    assert (key, "goes dead") in [(key, text.string) for key, text in laws.labels(drawing)]


def test_letters_do_not_touch_each_other() -> None:
    document = panel_boat()
    drawing = draw(document, "s1", Annotation(feeds=("x",), live={run.id: 0 for run in document.network.runs}))
    pills = [text_box(text) for text in _letters(drawing.page.items)]
    assert pills
    assert not any(overlap(one, other) for one, other in combinations(pills, 2))


def _letters(items: Sequence[Item]) -> list[Text]:
    groups = [item for item in items if isinstance(item, Group) and item.key.startswith("run:")]
    return [text for group in groups for text in group.items if isinstance(text, Text) and text.string == "A"]
