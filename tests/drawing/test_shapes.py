"""Every device can be drawn every way round: pins for all ports, on the module, at the edge; texts readable."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from engine.drawing.bounds import item_box, texts
from engine.drawing.display import Text
from engine.drawing.metrics import text_box
from engine.drawing.ports import turn_side
from engine.drawing.shapes import PartShape, Variant, part_shape
from engine.library.expand import ports_of
from engine.model.network import Part, Position
from tests.drawing.boats import library, symbols

WAYS = tuple(Position(key=str(n), rating_a=10.0, label=f"Circuit {n}") for n in range(1, 7))


def part_of(kind: str) -> Part:
    device = library()[kind]
    ways = WAYS if device.role in ("dc_panel", "ac_panel") else ()
    values = {spec.name: spec.default for spec in device.value if spec.default is not None}
    return Part(id="p1", kind=kind, designation="X1", label="", values=values, positions=ways)


def shape_of(kind: str, variant: Variant) -> PartShape:
    return part_shape(part_of(kind), library()[kind], symbols(), variant)


def variants() -> Iterator[Variant]:
    for rotation in (0, 90, 180, 270):
        for mirrored in (False, True):
            yield Variant("iec", rotation, mirrored)  # type: ignore[arg-type]
    yield Variant("na")


@pytest.mark.parametrize("kind", sorted(library()))
def test_every_port_has_its_pin_on_the_module(kind: str) -> None:
    for variant in variants():
        shape = shape_of(kind, variant)
        assert {pin.port for pin in shape.pins} == {port.name for port in ports_of(part_of(kind), library()[kind])}
        for pin in shape.pins:
            assert (pin.x_mm / 2.5, pin.y_mm / 2.5) == (round(pin.x_mm / 2.5), round(pin.y_mm / 2.5)), pin


@pytest.mark.parametrize("kind", sorted(library()))
def test_no_two_pins_coincide(kind: str) -> None:
    spots = [(pin.x_mm, pin.y_mm) for pin in shape_of(kind, Variant()).pins]
    assert len(set(spots)) == len(spots)


@pytest.mark.parametrize("kind", sorted(library()))
def test_what_is_drawn_stays_in_the_box(kind: str) -> None:
    """Within the half of a line's width, plus the little that strokes of a symbol may overhang."""
    for variant in variants():
        shape = shape_of(kind, variant)
        for item in shape.items:
            box = item_box(item)
            assert box is not None
            slack = 1.3
            assert box[0] >= shape.box[0] - slack, kind
            assert box[1] >= shape.box[1] - slack, kind
            assert box[2] <= shape.box[2] + slack, kind
            assert box[3] <= shape.box[3] + slack, kind


@pytest.mark.parametrize("kind", sorted(library()))
def test_letters_stay_upright_and_large_enough(kind: str) -> None:
    for variant in variants():
        for text in texts(shape_of(kind, variant).items):
            assert text.angle_deg == 0
            assert text.height_mm >= 1.8


def test_mirroring_comes_before_turning() -> None:
    assert turn_side("left", 90, False) == "top"
    assert turn_side("left", 90, True) == "bottom"
    assert turn_side("top", 270, False) == "left"


def test_a_mirrored_board_leaves_at_the_left() -> None:
    shape = shape_of("dc_panel", Variant(mirrored=True))
    pin = shape.pin("p1")
    assert pin is not None
    assert pin.sides == ("left",)
    assert pin.x_mm == shape.box[0]


def test_a_bar_turned_by_ninety_degrees_runs_to_the_right() -> None:
    shape = part_shape(
        Part(id="p1", kind="bus_positive", values={"studs": 3.0}),
        library()["bus_positive"],
        symbols(),
        Variant("iec", 90),
    )
    assert [(pin.x_mm, pin.y_mm) for pin in shape.pins] == [(0.0, 0.0), (5.0, 0.0), (10.0, 0.0)]


def test_a_board_shows_rating_largest_fuse_and_name_of_each_way() -> None:
    way = Position(key="7", device="fuse", rating_a=5.0, holder_largest_a=20.0, label="Stereo")
    part = Part(id="p1", kind="dc_panel", designation="A1", label="DC panel", positions=(way,))
    shape = part_shape(part, library()["dc_panel"], symbols(), Variant())
    assert {"7", "5 A", "max 20 A", "Stereo", "A1", "DC panel"} <= {text.string for text in texts(shape.items)}


def test_an_unknown_rating_is_shown_as_unknown() -> None:
    way = Position(key="1", device="breaker", label="Pump")
    part = Part(id="p1", kind="dc_panel", positions=(way,))
    assert "? A" in {text.string for text in texts(part_shape(part, library()["dc_panel"], symbols(), Variant()).items)}


def test_texts_of_a_board_do_not_overlap() -> None:
    way = Position(key="12", device="fuse", rating_a=15.0, holder_largest_a=20.0, label="A very long circuit name " * 4)
    part = Part(id="p1", kind="dc_panel", designation="A1", label="Panel", positions=(way, *WAYS))
    shape = part_shape(part, library()["dc_panel"], symbols(), Variant(height_mm=10.0))
    boxes = [text_box(text) for text in texts(shape.items)]
    assert all(a is b or not _overlap(a, b) for a in boxes for b in boxes)
    assert all(text_box(text)[2] <= shape.box[2] for text in texts(shape.items) if isinstance(text, Text))


def _overlap(a: tuple[float, ...], b: tuple[float, ...]) -> bool:
    return a[0] < b[2] - 0.05 and b[0] < a[2] - 0.05 and a[1] < b[3] - 0.05 and b[1] < a[3] - 0.05


def test_a_lead_that_nothing_needs_is_left_out() -> None:
    whole, bare = shape_of("lamp", Variant()), shape_of("lamp", Variant(unused=frozenset({"neg"})))
    assert len(bare.items) < len(whole.items)
    assert bare.box[3] < whole.box[3]
