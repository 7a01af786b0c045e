"""Interrupting capacity: E-11 Table V-A and V-B as reprinted, large banks of recent editions, usual device ratings."""

from __future__ import annotations

import pytest

from engine.electrics.interrupting import (
    Edition,
    Position,
    ac_need,
    ac_services,
    bank_total,
    dc_need,
    usual_ratings,
)
from engine.electrics.protection import families
from engine.electrics.sources import ElectricsError


@pytest.mark.parametrize(
    ("cca_a", "main_a", "branch_a"),
    [(0, 1500, 750), (650, 1500, 750), (650.5, 3000, 1500), (651, 3000, 1500), (1100, 3000, 1500), (1101, 5000, 2500)],
)
def test_table_v_a(cca_a: float, main_a: float, branch_a: float) -> None:
    """E-11 Table V-A as a cable and panel maker prints it."""
    assert dc_need(cca_a, 12, "main", total_ah=100).required_a == main_a
    assert dc_need(cca_a, 24, "branch").required_a == branch_a
    assert dc_need(cca_a, 12, "main").status == "secondary"


def test_32_v_rows_are_from_memory() -> None:
    found = dc_need(1000, 32, "main")
    assert (found.required_a, found.status) == (3000, "memory")


def test_large_banks_by_edition() -> None:
    """C11: the older table has no upper end; recent editions ask the battery maker over 2200 CCA or 500 Ah."""
    assert dc_need(3000, 12, "main", "older").required_a == 5000
    assert dc_need(3000, 12, "main", "recent", maker_short_circuit_a=8000).required_a == 8000
    large = dc_need(3000, 12, "main", "recent", maker_short_circuit_a=12000)
    assert (large.required_a, large.at_voltage_v) == (20000, 125)
    lithium = dc_need(None, 12, "main", "recent", total_ah=560, maker_short_circuit_a=22000)
    assert lithium.required_a == 20000
    assert dc_need(3000, 12, "branch", "recent").required_a == 2500


def test_a_bank_of_unknown_capacity_is_noted() -> None:
    assert [note.code for note in dc_need(1000, 12, "main").notes] == ["bank-ah-not-given"]
    assert dc_need(1000, 12, "main", total_ah=200).notes == ()


@pytest.mark.parametrize(
    ("cca_a", "nominal_v", "edition", "total_ah", "code"),
    [
        (None, 12, "recent", None, "cca-not-given"),
        (1000, 48, "recent", 100, "no-row-for-voltage"),
        (3000, 12, "recent", None, "maker-short-circuit-not-given"),
        (None, 12, "recent", 560, "maker-short-circuit-not-given"),
        (None, 12, "older", 560, "cca-not-given"),
    ],
)
def test_missing_data_is_refused(
    cca_a: float | None, nominal_v: float, edition: Edition, total_ah: float | None, code: str
) -> None:
    with pytest.raises(ElectricsError) as refused:
        dc_need(cca_a, nominal_v, "main", edition, total_ah=total_ah)
    assert refused.value.code == code


def test_int_012_six_batteries_of_6_v() -> None:
    """A forum quoting E-11: six 6 V batteries of 2400 A in three strings of two give 7200 A; series adds nothing."""
    total_a, source = bank_total(2400, parallel=3)
    assert (total_a, source.status) == (7200, "secondary")


@pytest.mark.parametrize(
    ("service", "position", "required_a"),
    [
        ("120 V 30 A", "main", 3000),
        ("120 V 50 A", "main", 3000),
        ("120/240 V 50 A", "main", 5000),
        ("240 V 50 A", "main", 5000),
        ("120/240 V 50 A", "branch", 3000),
        ("120/240 V 100 A", "main", 5000),
    ],
)
def test_table_v_b(service: str, position: Position, required_a: float) -> None:
    """E-11 Table V-B as two makers print it; 100 A services from memory (C21: 50 A 120/240 V main is 5000)."""
    found = ac_need(service, position)
    assert found.required_a == required_a
    assert (found.status == "memory") == ("100 A" in service)


def test_an_unknown_service_is_refused_with_the_known_ones() -> None:
    with pytest.raises(ElectricsError, match="120 V 30 A") as refused:
        ac_need("230 V 16 A", "main")
    assert refused.value.code == "ac-service-unknown"
    assert len(ac_services()) == 6


def test_usual_ratings_belong_to_known_families() -> None:
    """A class T fuse meets the 20 kA at 125 V DC of E-11, as boat electricians quote it; the others are memory."""
    by_family = {family: usual_ratings(family) for family in families()}
    assert max(r.rating_a for r in by_family["class-t"] if r.current == "DC") == 20000
    assert [(r.rating_a, r.at_voltage_v) for r in by_family["battery-terminal"]] == [
        (10000, 14),
        (5000, 32),
        (2000, 58),
    ]
    assert {r.source.status for r in by_family["blade"]} == {"memory"}
