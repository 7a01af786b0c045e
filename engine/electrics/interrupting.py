"""The interrupting capacity an overcurrent device must have, by cranking amperes of the batteries or by AC service.

E-11 tables as reprinted; the older and the recent text about large banks are both kept. What a battery can really
deliver is worked out elsewhere.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Literal

import msgspec

from engine.electrics.sources import ElectricsError, Note, Source, Status, number_text, weakest_status
from engine.electrics.tables import Row, row_source, table_rows

Position = Literal["main", "branch"]
"""main: the first device in series with the source; every device after it is a branch."""

Edition = Literal["older", "recent"]
"""older: the cranking-ampere table without an upper end; recent: large banks by the maker's short-circuit rating."""

LARGE_BANK_CCA_A, LARGE_BANK_AH = 2200.0, 500.0

_LARGE_BANK = Source("ABYC E-11, recent editions", "bank over 2200 CCA or 500 Ah, as quoted in forums", "secondary")
_AH_UNKNOWN = Note("bank-ah-not-given", "Ampere-hours not known: whether the bank is over 500 Ah was not judged.")
_SUM = Source("ABYC E-11", "batteries in parallel are added, those in series not; as quoted in a forum", "secondary")


class InterruptingNeed(msgspec.Struct, frozen=True):
    """The interrupting capacity a device needs; `at_voltage_v` is the DC voltage named with it, if any."""

    required_a: float
    at_voltage_v: float | None
    formula: str
    notes: tuple[Note, ...]
    sources: tuple[Source, ...]

    @property
    def status(self) -> Status:
        """The status of the weakest source."""
        return weakest_status(self.sources)


def bank_total(each_a: float, parallel: int) -> tuple[float, Source]:
    """Cranking or short-circuit amperes of a bank: those of one string times the strings; series adds none."""
    return each_a * parallel, _SUM


@lru_cache(maxsize=1024)
def dc_need(
    total_cca_a: float | None,
    nominal_v: float,
    position: Position,
    edition: Edition = "recent",
    *,
    total_ah: float | None = None,
    maker_short_circuit_a: float | None = None,
) -> InterruptingNeed:
    """Interrupting capacity of a DC device by the batteries connected to it.

    older: by total cold cranking amperes alone. recent: the same, but the main device of a bank over 2200 CCA or 500 Ah
    follows the battery maker's short-circuit rating, and where that exceeds 10 kA needs 20 kA at 125 V DC. Without
    total_ah a note says that only the cranking amperes were looked at.
    Raises ElectricsError "cca-not-given", "no-row-for-voltage" (over 32 V), "maker-short-circuit-not-given".
    """
    if edition == "recent" and position == "main" and _is_large(total_cca_a, total_ah):
        return _large_bank(maker_short_circuit_a)
    if total_cca_a is None:
        raise ElectricsError("cca-not-given", "The cold cranking amperes of the batteries are not known.")
    row = _dc_row(total_cca_a, nominal_v)
    required_a = float(row[f"{position}_a"])
    left = f"{number_text(total_cca_a)} CCA at {number_text(nominal_v)} V, {position}"
    notes = (_AH_UNKNOWN,) if edition == "recent" and position == "main" and total_ah is None else ()
    return InterruptingNeed(required_a, None, f"{left}: {number_text(required_a)} A", notes, (row_source(row),))


def _is_large(total_cca_a: float | None, total_ah: float | None) -> bool:
    return (total_cca_a or 0) > LARGE_BANK_CCA_A or (total_ah or 0) > LARGE_BANK_AH


def _large_bank(maker_a: float | None) -> InterruptingNeed:
    if maker_a is None:
        sentence = "The bank is over 2200 CCA or 500 Ah: the battery maker's short-circuit rating is needed."
        raise ElectricsError("maker-short-circuit-not-given", sentence)
    maker = number_text(maker_a)
    if maker_a > 10000:
        return InterruptingNeed(20000.0, 125.0, f"{maker} A exceeds 10000 A: 20000 A at 125 V DC", (), (_LARGE_BANK,))
    return InterruptingNeed(maker_a, None, f"the battery maker's short-circuit rating: {maker} A", (), (_LARGE_BANK,))


def _dc_row(total_cca_a: float, nominal_v: float) -> Row:
    system = "DC 12-24 V" if nominal_v <= 24 else "DC 32 V" if nominal_v <= 32 else None
    for row in table_rows("interrupting_capacity"):
        if row["system"] == system and _reaches(row, total_cca_a):
            return row
    sentence = "The table has no row for {voltage} V."
    raise ElectricsError("no-row-for-voltage", sentence, voltage=number_text(nominal_v))


def _reaches(row: Row, total_cca_a: float) -> bool:
    """Whether a total falls in a row or below it; rows stand lowest first, so 650.5 belongs to the second."""
    return not row["cca_max_a"] or total_cca_a <= float(row["cca_max_a"])


def ac_services() -> tuple[str, ...]:
    """The AC services that have a row: "120 V 30 A", "240 V 50 A" …"""
    rows = table_rows("interrupting_capacity")
    return tuple(row["system"].removeprefix("AC ") for row in rows if row["system"].startswith("AC "))


@lru_cache(maxsize=256)
def ac_need(service: str, position: Position) -> InterruptingNeed:
    """Interrupting capacity of an AC device by shore service, see ac_services(). Raises "ac-service-unknown"."""
    for row in table_rows("interrupting_capacity"):
        if row["system"] == f"AC {service}":
            required_a = float(row[f"{position}_a"])
            formula = f"{service}, {position}: {number_text(required_a)} A"
            return InterruptingNeed(required_a, None, formula, (), (row_source(row),))
    sentence = "The table has no row for {service}; it has {known}."
    raise ElectricsError("ac-service-unknown", sentence, service=service, known=", ".join(ac_services()))


class InterruptingRating(msgspec.Struct, frozen=True):
    """What a family of devices usually interrupts, at a voltage. A maker's own figure goes before it."""

    rating_a: float
    at_voltage_v: float
    current: Literal["DC", "AC"]
    source: Source


def usual_ratings(family: str) -> tuple[InterruptingRating, ...]:
    """The usual interrupting ratings of a device family (ids as in protection.families()); nearly all from memory."""
    return tuple(
        InterruptingRating(
            float(row["interrupting_rating_a"]),
            float(row["at_voltage_v"]),
            "AC" if row["current"] == "AC" else "DC",
            row_source(row),
        )
        for row in table_rows("ocpd_interrupting_ratings")
        if row["family"] == family
    )
