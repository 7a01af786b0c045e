"""Typed texts become values and values texts, in both unit worlds, with one plain sentence for what cannot be taken."""

from __future__ import annotations

from typing import Any

import pytest

from app.panels.fields import Field, boat_fields, run_fields, value_field
from app.reading import FieldRefusedError, read, shown, tip
from engine.library.device import ValueSpec
from engine.model.network import Compartment, Network
from engine.units import World

NETWORK = Network(compartments=(Compartment(id="c1", name="Engine space"), Compartment(id="c2", name="Bilge")))
RUN = {field.key: field for field in run_fields(NETWORK)}
BOAT = {field.key: field for field in boat_fields()}
RATING = value_field(ValueSpec(name="rating_a", title="Rating", unit="A", min=1, max=1000))


@pytest.mark.parametrize(
    ("field", "text", "world", "value"),
    [
        (RUN["length_m"], "12 ft", "metric", 3.6576),
        (RUN["length_m"], "12", "us", 3.6576),
        (RUN["length_m"], "3.7 m", "us", 3.7),
        (RUN["length_m"], "?", "us", None),
        (RUN["length_m"], "3-4 m", "us", (3.0, 4.0)),
        (RUN["insulation_c"], "105", "us", 105.0),
        (RUN["bundled"], "4", "us", 4.0),
        (RUN["size"], "10", "us", "10 AWG"),
        (RUN["size"], "6 mm2", "us", "6 mm2"),
        (RUN["size"], "6", "metric", "6 mm2"),
        (RUN["size"], "?", "us", ""),
        (RUN["colours"], "rd, ye", "us", ("RD", "YE")),
        (RUN["colours"], "RD ?", "us", ("RD", "")),
        (RUN["tinned"], "yes", "us", True),
        (RUN["tinned"], "?", "us", None),
        (RUN["cover"], "Conduit", "us", "conduit"),
        (RUN["route"], "bilge, Engine space", "us", ("c2", "c1")),
        (RUN["option"], "every boat", "us", ""),
        (BOAT["rulebooks"], "us, iso", "us", ("us", "iso")),
        (RATING, "150-175 A", "us", (150.0, 175.0)),
    ],
)
def test_texts_are_read(field: Field, text: str, world: World, value: Any) -> None:
    assert read(field, text, world) == (pytest.approx(value) if isinstance(value, (float, tuple)) else value)


@pytest.mark.parametrize(
    ("field", "text", "words"),
    [
        (RUN["length_m"], "twelve", "twelve"),
        (RUN["length_m"], "12 A", "current"),
        (RUN["length_m"], "-3 m", "0"),
        (RUN["size"], "13,7 stones", "conductor size"),
        (RUN["colours"], "RD, MAUVE", "MAUVE"),
        (RUN["tinned"], "perhaps", "yes, no"),
        (RUN["cover"], "blanket", "conduit"),
        (RUN["route"], "Attic", "Bilge"),
        (RUN["bundled"], "4 %", "plain number"),
        (RUN["cranking"], "?", "yes, no"),
        (BOAT["name"], "  ", "empty"),
        (RATING, "2000 A", "between 1 A and 1000 A"),
    ],
)
def test_what_cannot_be_taken_is_said(field: Field, text: str, words: str) -> None:
    with pytest.raises(FieldRefusedError, match=words):
        read(field, text, "us")


@pytest.mark.parametrize("world", ["us", "metric"])
@pytest.mark.parametrize(
    ("field", "value"),
    [
        (RUN["length_m"], 3.6576),
        (RUN["length_m"], None),
        (RUN["insulation_c"], 105.0),
        (RUN["size"], "2/0 AWG"),
        (RUN["size"], "6 mm2"),
        (RUN["colours"], ("RD", "")),
        (RUN["tinned"], False),
        (RUN["cover"], None),
        (RUN["route"], ("c1", "c2")),
        (RATING, (150.0, 175.0)),
    ],
)
def test_what_is_shown_reads_back(field: Field, value: Any, world: World) -> None:
    again = read(field, shown(field, value, world), world)
    assert again == (pytest.approx(value, rel=1e-3) if isinstance(value, float) else value)


def test_the_tip_tells_the_other_world_and_what_stands_in() -> None:
    assert "3.658 m" in tip(RUN["length_m"], 3.6576, "us")
    assert "12 ft" in tip(RUN["length_m"], 3.6576, "metric")
    assert "1.31 mm²" in tip(RUN["size"], "16 AWG", "us")
    assert "221 °F" in tip(RUN["insulation_c"], 105.0, "us")
    assert "safety" in tip(RUN["length_m"], None, "us")
