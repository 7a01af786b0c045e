"""The colours new cores get are colours that the rulebooks' tables permit."""

import pytest

from engine.electrics.colours import colour_verdict
from engine.model.colours import core_colour, core_colours
from engine.model.network import POLES, Particulars


@pytest.mark.parametrize("pole", POLES)
@pytest.mark.parametrize("rulebook", ["us", "iso"])
def test_every_colour_is_permitted_for_its_pole(pole: str, rulebook: str) -> None:
    """Compared with ABYC E-11 and ISO 13297 as the table of conductor colours has them (second hand, or from memory)."""
    colour = core_colour(pole, Particulars(rulebooks=(rulebook,)))  # type: ignore[arg-type]
    assert colour_verdict(colour, pole, rulebook) == "permitted"  # type: ignore[arg-type]


def test_the_shore_region_decides_before_the_rulebook() -> None:
    assert core_colours(("L", "N", "PE"), Particulars(rulebooks=("us",))) == ("BK", "WH", "GN")
    assert core_colours(("L", "N", "PE"), Particulars(rulebooks=("us",), shore_region="eu")) == ("BN", "LB", "GNYE")
