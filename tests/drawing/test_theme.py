"""Colours read on their grounds, and every name has a colour in every theme."""

from __future__ import annotations

import re
from itertools import product

import pytest

from engine.drawing.theme import (
    DARK,
    GROUNDS,
    IEC_60757,
    LOCAL_CODES,
    PAPER,
    SHEETS,
    TEXT_COLOURS,
    WINDOWS,
    Theme,
    colour,
    contrast,
    is_wire_code,
    stripe,
    wire_codes,
)

WINDOW_TEXTS = ("text", "text.faint", "danger", "requirement", "advice", "unknown")
WINDOW_GROUNDS = ("window", "raised", "field", "field.alternate", "hover")


def test_contrast_of_known_pairs() -> None:
    """WCAG 2.1: black on white is 21 : 1; #767676 on white is the lightest grey that reaches 4.5 (published)."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#ffffff", "#767676") == pytest.approx(4.54, abs=0.01)
    assert contrast("#ffffff", "#777777") < 4.5


@pytest.mark.parametrize("theme", SHEETS.values(), ids=lambda theme: theme.name)
def test_text_reads_on_every_ground_of_the_sheet(theme: Theme) -> None:
    poor = {
        (text, ground): round(contrast(colour(theme, text), colour(theme, ground)), 2)
        for text, ground in product(TEXT_COLOURS, GROUNDS)
        if contrast(colour(theme, text), colour(theme, ground)) < 4.5
    }
    assert poor == {}


@pytest.mark.parametrize("theme", WINDOWS.values(), ids=lambda theme: theme.name)
def test_text_reads_on_every_ground_of_the_window(theme: Theme) -> None:
    pairs = [*product(WINDOW_TEXTS, WINDOW_GROUNDS), ("accent.text", "accent"), ("highlight.text", "highlight")]
    pairs += [("tip.text", "tip"), ("text", "desk"), ("accent", "window"), ("accent", "field")]
    poor = {pair: round(contrast(colour(theme, pair[0]), colour(theme, pair[1])), 2) for pair in pairs}
    assert {pair: ratio for pair, ratio in poor.items() if ratio < 4.5} == {}


def test_the_themes_of_a_kind_have_the_same_names() -> None:
    assert PAPER.colours.keys() == DARK.colours.keys()
    assert len({frozenset(theme.colours) for theme in WINDOWS.values()}) == 1
    every = [value for theme in (*SHEETS.values(), *WINDOWS.values()) for value in theme.colours.values()]
    assert all(re.fullmatch("#[0-9a-f]{6}", value) for value in every)


@pytest.mark.parametrize("theme", SHEETS.values(), ids=lambda theme: theme.name)
def test_the_casing_stands_out_from_the_sheet_so_that_white_and_black_wires_read(theme: Theme) -> None:
    assert contrast(colour(theme, "casing"), colour(theme, "paper")) > 7


@pytest.mark.parametrize("theme", SHEETS.values(), ids=lambda theme: theme.name)
def test_every_wire_code_has_a_colour_of_its_own(theme: Theme) -> None:
    colours = [colour(theme, f"wire.{code}") for code in (*IEC_60757, *LOCAL_CODES)]
    assert len(set(colours)) == len(colours)


@pytest.mark.parametrize(
    ("code", "singles"),
    [
        ("RD", ("RD",)),
        ("GNYE", ("GN", "YE")),
        ("YE/RD", ("YE", "RD")),
        ("LBU/WH", ("LBU", "WH")),
        ("RDBU", ("RD", "BU")),
        ("TAN", ("TAN",)),
    ],
)
def test_codes_are_read_base_first(code: str, singles: tuple[str, ...]) -> None:
    assert wire_codes(code) == singles


def test_a_striped_wire_has_base_and_stripe() -> None:
    assert colour(PAPER, "wire.GNYE") == colour(PAPER, "wire.GN")
    assert stripe(PAPER, "wire.GNYE") == colour(PAPER, "wire.YE")
    assert stripe(PAPER, "wire.RD") is None
    assert stripe(PAPER, "ink") is None


def test_an_unknown_name_is_an_error_and_not_a_guess() -> None:
    for name in ("inkk", "wire.XX", "wire.RDX", "wire."):
        with pytest.raises(KeyError):
            colour(PAPER, name)
    assert not is_wire_code("XX")
    assert is_wire_code("YE/RD")
    assert colour(PAPER, "#123456") == "#123456"
