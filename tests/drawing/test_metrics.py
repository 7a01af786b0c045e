"""Widths from our own reading of the font are those of an independent reader, of reportlab and of Qt."""

from __future__ import annotations

import io
from typing import get_args

import pytest
from fontTools.ttLib import TTFont
from hypothesis import given
from hypothesis import strategies as st

from engine.drawing.display import Text, Weight
from engine.drawing.metrics import (
    fit,
    fit_height,
    font_bytes,
    font_metrics,
    text_box,
    text_width_mm,
    unprintable,
    wrap,
)

WEIGHTS: tuple[Weight, ...] = get_args(Weight)
SAMPLES = (
    "-W17  2×35 mm²  RD/BK  4.2 m",
    "AVATAR To Wave Ty",
    "Главный распределительный щит",
    "Πίνακας διανομής",
    "Prüfung 230 V ≤ 10 kA",
    "Bilge pump, aft",
)


@pytest.mark.parametrize("weight", WEIGHTS)
def test_every_advance_is_what_an_independent_reader_reads(weight: Weight) -> None:
    font = TTFont(io.BytesIO(font_bytes(weight)))
    widths, units = font["hmtx"], font["head"].unitsPerEm
    expected = {code: widths[glyph][0] / units for code, glyph in font.getBestCmap().items()}
    assert font_metrics(weight).advances == pytest.approx(expected)
    assert font_metrics(weight).cap_height == font["OS/2"].sCapHeight / units


@pytest.mark.parametrize("weight", WEIGHTS)
def test_the_font_has_what_drawings_need_and_no_kerning(weight: Weight) -> None:
    font = TTFont(io.BytesIO(font_bytes(weight)))
    assert not {"kern", "GPOS", "GSUB"} & set(font.keys())
    assert unprintable("Ω²³°±≤≥→·–—…×½ΔΩ≈μµ✓✗⎓∿⏚") == ""
    assert unprintable("".join(map(chr, [*range(0x20, 0x7F), *range(0xA0, 0x180), *range(0x410, 0x450)]))) == ""
    assert unprintable("αβγδεζηθικλμνξοπρςστυφχψωάέήίόύώΑΒΓΔΈΆ") == ""
    assert len(font_bytes(weight)) < 400_000


@pytest.mark.parametrize("weight", WEIGHTS)
def test_figures_are_all_of_one_width(weight: Weight) -> None:
    assert len({text_width_mm(figure, 2.5, weight) for figure in "0123456789"}) == 1


@pytest.mark.parametrize("weight", WEIGHTS)
@pytest.mark.parametrize("string", SAMPLES)
def test_reportlab_sets_the_same_width(string: str, weight: Weight) -> None:
    from reportlab.pdfbase.ttfonts import TTFontFace

    face = TTFontFace(io.BytesIO(font_bytes(weight)))
    em_mm = 3.5 / font_metrics(weight).cap_height
    set_width = sum(face.charWidths[ord(character)] for character in string) / 1000 * em_mm
    assert text_width_mm(string, 3.5, weight) == pytest.approx(set_width, rel=0.005)


def test_capitals_are_as_high_as_asked() -> None:
    font = TTFont(io.BytesIO(font_bytes()))
    top = font["glyf"][font.getBestCmap()[ord("H")]].yMax / font["head"].unitsPerEm
    assert top / font_metrics().cap_height == pytest.approx(1.0, abs=0.01)


def test_a_text_that_fits_is_left_alone_and_a_long_one_is_shortened() -> None:
    assert fit("Bilge pump", 100.0, 2.5) == "Bilge pump"
    short = fit("Bilge pump, aft compartment", 20.0, 2.5)
    assert short.endswith("…")
    assert "Bilge pump, aft compartment".startswith(short[:-1])
    assert 15.0 < text_width_mm(short, 2.5) <= 20.0
    assert fit("Bilge", 0.5, 2.5) == ""


def test_the_height_gives_way_before_the_words_do() -> None:
    assert fit_height("Panel", 60.0, (5.0, 3.5, 2.5)) == 5.0
    assert fit_height("Distribution panel, DC 12 V and 24 V, owner's cabin", 60.0, (5.0, 3.5, 2.5)) == 2.5


@given(st.text("abc défghij klm-Ωж ", max_size=80), st.floats(8.0, 60.0))
def test_wrapped_lines_fit_and_lose_no_letter(string: str, width_mm: float) -> None:
    lines = wrap(string, width_mm, 2.5)
    assert all(text_width_mm(line, 2.5) <= width_mm for line in lines)
    assert "".join(lines).replace(" ", "") == string.replace(" ", "")


def test_line_feeds_break_lines() -> None:
    assert wrap("one\ntwo three", 100.0, 2.5) == ("one", "two three")


def test_the_box_of_a_text_follows_anchor_and_angle() -> None:
    width_mm = text_width_mm("Panel", 2.5)
    assert text_box(Text(10, 20, "Panel")) == pytest.approx((10, 17, 10 + width_mm, 20.8))
    assert text_box(Text(10, 20, "Panel", anchor="end")) == pytest.approx((10 - width_mm, 17, 10, 20.8))
    assert text_box(Text(10, 20, "Panel", angle_deg=90)) == pytest.approx((7, 20 - width_mm, 10.8, 20))
    assert text_box(Text(10, 20, "Panel", anchor="middle", angle_deg=90)) == pytest.approx(
        (7, 20 - width_mm / 2, 10.8, 20 + width_mm / 2)
    )


def test_a_number_and_its_unit_stay_on_one_line() -> None:
    width = text_width_mm("breaker 60", 2.5) + 0.1
    assert wrap("breaker 60 A", width, 2.5) == ("breaker", "60 A")
    assert wrap("about (3–6 m)", text_width_mm("about (3–6", 2.5) + 0.1, 2.5) == ("about", "(3–6 m)")
    assert wrap("fed way 12 A1", text_width_mm("fed way 12", 2.5) + 0.1, 2.5) == ("fed way 12", "A1")


def test_they_part_before_either_is_broken() -> None:
    width = text_width_mm("100000", 2.5) + 0.1
    assert wrap("100000 AWG", width, 2.5) == ("100000", "AWG")
