"""Texts that are put together from names."""

from __future__ import annotations

from engine.messages import enumerated


def test_names_with_commas_of_their_own_can_be_told_apart() -> None:
    assert enumerated(["E1 Lamp", "E2 Fan"]) == "E1 Lamp, E2 Fan"
    assert enumerated(["G2 Start battery, starboard", "G3 House"]) == "G2 Start battery, starboard; G3 House"
