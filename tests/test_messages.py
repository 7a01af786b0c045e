"""Texts that are put together from names."""

from __future__ import annotations

from engine.messages import counted, enumerated


def test_names_with_commas_of_their_own_can_be_told_apart() -> None:
    assert enumerated(["E1 Lamp", "E2 Fan"]) == "E1 Lamp, E2 Fan"
    assert enumerated(["G2 Start battery, starboard", "G3 House"]) == "G2 Start battery, starboard; G3 House"


def test_one_is_not_told_as_several() -> None:
    """The head of a selection of a part and a run read "1 parts, 1 runs"."""
    assert counted("1 run", "{count} runs", 1) == "1 run"
    assert counted("1 run", "{count} runs", 3) == "3 runs"
    assert counted("1 circuit of {panel}", "{count} circuits of {panel}", 2) == "2 circuits of {panel}"
