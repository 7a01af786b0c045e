"""The smallest conductors: 33 CFR 183.425(d) to (f), E-11 as quoted, ISO 10133:2012 7.7."""

from __future__ import annotations

import pytest

from engine.electrics.minimum_sizes import Situation, minimum_size
from engine.electrics.sources import RULEBOOKS, ElectricsError, Rulebook, Status


@pytest.mark.parametrize(
    ("rulebook", "situation", "size", "exposed_max_m", "status"),
    [
        ("33cfr183", "alone", "16 AWG", None, "published"),
        ("33cfr183", "in-sheath", "18 AWG", 0.762, "published"),
        ("e11", "alone", "16 AWG", None, "secondary"),
        ("e11", "in-sheath", "18 AWG", 0.762, "secondary"),
        ("e11", "in-panel", "18 AWG", None, "secondary"),
        ("iso13297", "alone", "1 mm²", None, "published"),
        ("iso13297", "in-sheath", "0.75 mm²", 0.8, "published"),
        ("iso13297", "in-panel", "0.75 mm²", None, "published"),
    ],
)
def test_minimum_sizes(
    rulebook: Rulebook, situation: Situation, size: str, exposed_max_m: float | None, status: Status
) -> None:
    found = minimum_size(rulebook, situation)
    assert (found.size.name, found.exposed_max_m, found.source.status) == (size, exposed_max_m, status)


@pytest.mark.parametrize("rulebook", RULEBOOKS)
def test_a_core_in_a_sheath_is_never_asked_to_be_larger(rulebook: Rulebook) -> None:
    assert minimum_size(rulebook, "in-sheath").size <= minimum_size(rulebook, "alone").size


def test_an_unknown_situation_is_refused() -> None:
    with pytest.raises(ElectricsError, match="aloft"):
        minimum_size("e11", "aloft")  # type: ignore[arg-type]
