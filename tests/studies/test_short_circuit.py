"""The printed short-circuit formulae against worked examples."""

from __future__ import annotations

import csv
import math
from pathlib import Path

import pytest

from engine.studies.short_circuit import bank_ohm, by_capacity_a, current_after_a, iec61660_a, loop_current_a

EXAMPLES_FILE = Path(__file__).parents[1] / "references/short_circuit_examples_computed.csv"
EXAMPLES = {row["id"]: row["result"] for row in csv.DictReader(EXAMPLES_FILE.read_text(encoding="utf-8").splitlines())}
TINNED_OHM_PER_M = {"35": 0.565e-3, "95": 0.210e-3, "2.5": 8.21e-3, "1.5": 13.7e-3}
"""IEC 60228 class 5 tinned at 20 °C, as the examples print them."""


def test_one_battery() -> None:
    """12 V behind 5 mΩ is 2400 A: a battery short-circuit calculation page (published)."""
    assert loop_current_a(12, 0.005) == 2400


def test_six_batteries_in_three_strings() -> None:
    """Six 6 V batteries of 2400 A each, three strings of two: 7200 A. ABYC's rule that series is not added and parallel
    is, in a worked example on a forum (secondary)."""
    each_ohm = 6 / 2400
    assert 12 / bank_ohm(each_ohm, 2, 3) == pytest.approx(7200)


@pytest.mark.parametrize(
    ("example", "printed_a", "got_a"),
    [
        ("SC-C1", 4267, loop_current_a(12.8, 0.003)),
        ("SC-C2", 2433, loop_current_a(12.8, 0.003, 4 * TINNED_OHM_PER_M["35"])),
        ("SC-C4", 12800, loop_current_a(12.8, bank_ohm(0.003, 1, 3))),
        ("SC-C4", 9014, loop_current_a(12.8, bank_ohm(0.003, 1, 3), 2 * TINNED_OHM_PER_M["95"])),
        ("SC-C5", 4267, loop_current_a(25.6, bank_ohm(0.003, 2, 1))),
        ("SC-C6", 22167, loop_current_a(13.3, bank_ohm(0.0012, 1, 2))),
        ("SC-C7", 147, loop_current_a(12.8, 0.003, 4 * TINNED_OHM_PER_M["35"] + 10 * TINNED_OHM_PER_M["2.5"])),
        ("SC-C8", 23.1, loop_current_a(12.8, 0.003, 4 * TINNED_OHM_PER_M["35"] + 40 * TINNED_OHM_PER_M["1.5"])),
    ],
)
def test_examples_worked_out_apart(example: str, printed_a: float, got_a: float) -> None:
    assert f"{printed_a:g}" in EXAMPLES[example]
    assert got_a == pytest.approx(printed_a, abs=0.6 if printed_a > 100 else 0.06)


def test_iec_61660_as_recalled() -> None:
    peak, steady = iec61660_a(12, 0.003, 4 * TINNED_OHM_PER_M["35"])
    assert "ip=2540" in EXAMPLES["SC-C3"]
    assert "Ik=2276" in EXAMPLES["SC-C3"]
    assert (peak, steady) == (pytest.approx(2540, abs=1), pytest.approx(2276, abs=1))


def test_by_capacity_and_in_time() -> None:
    assert by_capacity_a(100) == (1000, 2000)
    assert current_after_a(2400, 1.0, 0.005, 4) == pytest.approx(2400)
    assert current_after_a(2400, 4e-6 / 0.005, 0.005, 4) == pytest.approx(2400 * (1 - math.exp(-1)))
