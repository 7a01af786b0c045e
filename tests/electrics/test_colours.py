"""Conductor colours: IEC 60757 codes and the colours that the US and ISO codes list per pole and function."""

from __future__ import annotations

import pytest

from engine.electrics.colours import (
    Pole,
    Region,
    Verdict,
    colour_codes,
    colour_name,
    colour_verdict,
    function_colours,
    functions,
    is_colour,
    permitted_colours,
)
from engine.electrics.sources import ElectricsError


def test_iec_60757_codes() -> None:
    """IEC 60757, from memory: fourteen colours and green-yellow; light blue and tan are the trade's."""
    assert set(colour_codes()) == {
        *("BK", "BN", "RD", "OG", "YE", "GN", "BU", "VT", "GY", "WH", "PK", "GD", "TQ", "SR", "GNYE", "LB", "TN")
    }


@pytest.mark.parametrize(
    ("code", "name"), [("BK", "black"), ("GNYE", "green-yellow"), ("BNYE", "brown with yellow stripe")]
)
def test_names(code: str, name: str) -> None:
    assert colour_name(code) == name


@pytest.mark.parametrize("code", ["", "R", "RED", "rd", "BKBK", "BKRDBU", "XXYE", "YEXX"])
def test_what_is_no_code(code: str) -> None:
    assert not is_colour(code)
    with pytest.raises(ElectricsError) as refused:
        colour_name(code)
    assert refused.value.code == "colour-unknown"


@pytest.mark.parametrize(
    ("pole", "region", "codes"),
    [
        ("+", "us", ["RD"]),
        ("-", "us", ["YE", "BK"]),
        ("BOND", "us", ["GN", "GNYE"]),
        ("L", "us", ["BK", "BN"]),
        ("N", "us", ["WH", "LB"]),
        ("PE", "us", ["GN", "GNYE"]),
        ("+", "iso", ["RD"]),
        ("-", "iso", ["BK", "YE"]),
        ("L", "iso", ["BN", "BK"]),
        ("N", "iso", ["LB", "BU", "WH"]),
        ("PE", "iso", ["GNYE", "GN"]),
    ],
)
def test_colours_of_poles(pole: Pole, region: Region, codes: list[str]) -> None:
    """US: a chandler's table and ABYC E-8.14.12 as a boat owner quotes it; ISO: an owner's manual, the rest memory."""
    uses = permitted_colours(pole, region)
    assert [use.code for use in uses] == codes
    assert [use.preferred for use in uses] == [True] + [False] * (len(codes) - 1)


@pytest.mark.parametrize(
    ("code", "pole", "region", "verdict"),
    [
        ("RD", "+", "us", "permitted"),
        ("OG", "+", "us", "permitted"),
        ("YE", "+", "us", "reserved"),
        ("GNYE", "+", "iso", "reserved"),
        ("RD", "-", "us", "reserved"),
        ("WH", "-", "us", "not-listed"),
        ("WH", "L", "us", "reserved"),
        ("GN", "N", "iso", "reserved"),
        ("BN", "PE", "us", "reserved"),
        ("PK", "L", "iso", "not-listed"),
        ("BKRD", "L2", "us", "permitted"),
    ],
)
def test_verdicts(code: str, pole: Pole, region: Region, verdict: Verdict) -> None:
    assert colour_verdict(code, pole, region) == verdict


def test_functions_of_the_us_code() -> None:
    """C13: brown with yellow for the bilge blower; plain yellow only where it is not the DC negative."""
    assert "navigation lights" in functions()
    blower = function_colours("bilge blower")
    assert [(use.code, use.preferred) for use in blower] == [("BNYE", True), ("YE", False)]
    assert "negative" in blower[1].condition
    assert function_colours("windlass") == ()
    assert all(is_colour(use.code) for function in functions() for use in function_colours(function))
