"""What is written beside things: short, in the boat's units, unknown said as unknown."""

import pytest

from engine.drawing.captions import length, main_data, position_detail, position_rating, quantity, run_tags
from engine.model.network import End, Part, Position, Run
from tests.drawing.boats import library

RUN = Run(
    id="w1", a=End(part="p1", port="a"), b=End(part="p2", port="a"), poles=("+", "-"), number="12",
    size="14 AWG", colours=("RD", "YE"), length_m=5.2,
)  # fmt: skip


def test_a_run_s_tag_says_number_size_colours_and_length() -> None:
    assert run_tags(RUN, "metric") == ("12 · 14 AWG · RD/YE · 5.2 m", "12 · 14 AWG · RD/YE", "12 · 14 AWG", "12")
    assert run_tags(RUN, "us")[0] == "12 · 14 AWG · RD/YE · 17.1 ft"


@pytest.mark.parametrize(
    ("value", "written"),
    [(80.0, "80 A"), ((150.0, 175.0), "150–175 A"), (None, "? A"), (0.5, "0.5 A"), (1e3, "1000 A")],
)
def test_quantities(value: float | tuple[float, float] | None, written: str) -> None:
    assert quantity(value, "A") == written


def test_lengths() -> None:
    assert length(None, "us") == ""
    assert length((3.0, 4.0), "metric") == "3–4 m"
    assert length(0.3048, "us") == "1 ft"


def test_a_fuse_of_unknown_rating_says_so() -> None:
    assert main_data(Part(id="p1", kind="fuse_bolt"), library()["fuse_bolt"]) == "? A"


def test_a_holder_that_takes_more_than_is_fitted_says_so() -> None:
    part = Part(id="p1", kind="fuse_bolt", values={"rating_a": 80.0, "holder_largest_a": 150.0, "voltage_v": 58.0})
    assert main_data(part, library()["fuse_bolt"]) == "80 A · max 150 A"


def test_a_battery_says_voltage_capacity_and_cranking() -> None:
    part = Part(id="p1", kind="battery", values={"nominal_v": 12.0, "capacity_ah": 80.0, "cca_a": 600.0})
    assert main_data(part, library()["battery"]) == "12 V · 80 Ah · 600 A CCA"


def test_ways() -> None:
    way = Position(key="1", device="fuse", rating_a=5.0, holder_largest_a=20.0)
    assert (position_rating(way), position_detail(way)) == ("5 A", "max 20 A")
    outlet = Position(key="2", device="breaker", rating_a=15.0, poles=2, residual_ma=5.0)
    assert (position_rating(outlet), position_detail(outlet)) == ("2P 15 A", "5 mA")
    assert position_rating(Position(key="3", device="breaker", state="spare")) == ""
