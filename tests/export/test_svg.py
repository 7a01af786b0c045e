"""An SVG is well-formed, keeps keys and real text, and has the measures of the sheet."""

from __future__ import annotations

from xml.etree import ElementTree

import pytest

from engine.drawing.display import Group, Image, Page, Path, Pen, Text
from engine.drawing.metrics import em_mm, text_width_mm
from engine.drawing.outline import bounds, circle, parse_path, rectangle
from engine.drawing.theme import DARK, colour
from engine.export.svg import outline_to_path, page_to_svg

SVG = "{http://www.w3.org/2000/svg}"
PAGE = Page(
    420,
    297,
    (
        Group("part:p3", (Path(rectangle(10, 20, 30, 5), Pen("ink", 0.35, (2, 1)), "panel.fill"),)),
        Group("part:p3", (Text(10, 20, 'R&D <"1">', 3.5, "middle", "bold", angle_deg=90),)),
        Group("position:p4/12", (Image(1, 2, 3, 4, b"\x89PNG"),)),
        Text(5, 5, "Главный щит"),
        Text(5, 9, ""),
    ),
    "Quill 34 & more",
)


def parsed(page: Page = PAGE) -> ElementTree.Element:
    return ElementTree.fromstring(page_to_svg(page))


def test_it_has_the_size_of_the_sheet_in_millimetres() -> None:
    root = parsed()
    assert (root.get("width"), root.get("height"), root.get("viewBox")) == ("420mm", "297mm", "0 0 420 297")
    assert root.findtext(f"{SVG}title") == "Quill 34 & more"


def test_groups_carry_their_keys_and_ids_are_single() -> None:
    groups = parsed().findall(f".//{SVG}g")
    assert [group.get("data-key") for group in groups] == ["part:p3", "part:p3", "position:p4/12"]
    assert [group.get("id") for group in groups] == ["part-p3", None, "position-p4-12"]


def test_text_is_real_and_takes_the_width_it_was_measured_at() -> None:
    turned, plain = parsed().findall(f".//{SVG}text")
    assert (turned.text, plain.text) == ('R&D <"1">', "Главный щит")
    assert float(plain.get("textLength", "0")) == pytest.approx(text_width_mm("Главный щит", 2.5), abs=0.001)
    assert float(turned.get("font-size", "0")) == pytest.approx(em_mm(3.5, "bold"), abs=0.001)
    assert turned.get("transform") == "rotate(-90 10 20)"
    assert (turned.get("text-anchor"), turned.get("font-weight")) == ("middle", "700")


def test_stroke_fill_and_dashes() -> None:
    path = parsed().find(f".//{SVG}path")
    assert path is not None
    assert (path.get("stroke-width"), path.get("stroke-dasharray"), path.get("fill")) == ("0.35", "2 1", "#f5f7fa")


def test_an_outline_written_and_read_again_is_the_same() -> None:
    outline = circle(12.345, 20, 3.5)
    assert bounds(parse_path(outline_to_path(outline))) == pytest.approx(bounds(outline), abs=0.001)


def test_the_theme_gives_the_colours() -> None:
    assert colour(DARK, "paper") in page_to_svg(PAGE, DARK)
    with pytest.raises(KeyError):
        page_to_svg(Page(10, 10, (Text(1, 1, "x", colour="inkk"),)))


def test_the_family_goes_with_it_on_demand() -> None:
    assert "@font-face" not in page_to_svg(PAGE)
    assert page_to_svg(PAGE, embed_font=True).count("@font-face") == 2
