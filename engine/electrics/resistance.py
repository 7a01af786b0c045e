"""Resistance of a conductor per metre at a temperature, from printed tables where there are any.

AWG and SAE: NEC Chapter 9 Table 8, stranded, referred from 75 C; metric: IEC 60228 maxima at 20 C. Tables give maxima
or nominal values, so a measured conductor may be lower. Knows nothing of circuits.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Literal

import msgspec

from engine.electrics.sizes import ConductorSize, awg
from engine.electrics.sources import ElectricsError, Note, Source, Status, number_text, weakest_status
from engine.electrics.tables import Row, constant, row_source, table_rows

ConductorClass = Literal[2, 5]
"""IEC 60228: 2 stranded, 5 flexible. Boat cable is class 5. For AWG and SAE sizes the class makes no difference."""

COLDEST_C, HOTTEST_C = -60.0, 260.0


class Resistance(msgspec.Struct, frozen=True):
    """Resistance of one conductor in ohm per metre at `temperature_c`, with the formula and its numbers."""

    ohm_per_m: float
    temperature_c: float
    formula: str
    notes: tuple[Note, ...]
    sources: tuple[Source, ...]

    @property
    def status(self) -> Status:
        """The status of the weakest source."""
        return weakest_status(self.sources)


class _Base(msgspec.Struct, frozen=True):
    """Resistance at the temperature of its table."""

    ohm_per_m: float
    notes: tuple[Note, ...]
    sources: tuple[Source, ...]


@lru_cache(maxsize=4096)
def resistance(
    size: ConductorSize, *, temperature_c: float = 20.0, tinned: bool = True, conductor_class: ConductorClass = 5
) -> Resistance:
    """Resistance in ohm/m of one conductor (one way) at a conductor temperature in C.

    AWG: R75 (1 + 0.00323 (T - 75)). SAE: that of the same gauge, larger by the ratio of the areas. Metric:
    R20 (234.5 + T) / 254.5; a metric size without a row takes that of the next smaller, by the ratio of the areas. A
    gauge without a row is worked out from the resistivity of copper, with a note that strands add some per cent.
    Raises ElectricsError "temperature-out-of-range" outside -60 to 260 C, "no-resistance" below 0.5 mm².
    """
    if not COLDEST_C <= temperature_c <= HOTTEST_C:
        raise ElectricsError("temperature-out-of-range", "{t} °C is out of range.", t=number_text(temperature_c))
    if size.system == "metric":
        return _at_iec(_metric_base(size, tinned, conductor_class), temperature_c)
    gauge = size.name.rsplit(" ", 1)[0]
    row = next((row for row in table_rows("awg_resistance") if row["awg"] == gauge), None)
    if row is None:
        return _at_iec(_from_resistivity(size), temperature_c)
    return _at_nec(_gauge_base(size, row, tinned), temperature_c)


def _gauge_base(size: ConductorSize, row: Row, tinned: bool) -> _Base:
    coat = "coated" if tinned else "uncoated"
    ohm_per_m = per_kft(float(row[f"r75c_ohm_per_kft_stranded_{coat}"]))
    if size.system == "AWG":
        return _Base(ohm_per_m, (), (row_source(row),))
    gauge = awg(row["awg"])
    text = f"{size.name} has {size.area_cmil:.0f} CM, {gauge.name} {gauge.area_cmil:.0f} CM: taken in that ratio."
    note = Note("resistance-by-area", text, (size.name, gauge.name))
    source = Source("NEC Chapter 9 Table 8", "by the ratio of SAE to AWG area", "computed")
    return _Base(ohm_per_m * gauge.area_cmil / size.area_cmil, (note,), (row_source(row), source))


def _metric_base(size: ConductorSize, tinned: bool, conductor_class: ConductorClass) -> _Base:
    rows = [row for row in table_rows("iec60228_resistance") if float(row["area_mm2"]) <= size.area_mm2]
    if not rows:
        raise ElectricsError("no-resistance", "{size} is below the smallest row of IEC 60228.", size=size.name)
    row, area_mm2 = rows[-1], float(rows[-1]["area_mm2"])
    ohm_per_m = float(row[f"class{conductor_class}_{'tinned' if tinned else 'plain'}_ohm_per_km"]) / 1000
    if area_mm2 == size.area_mm2:
        return _Base(ohm_per_m, (), (row_source(row),))
    note = Note(
        "resistance-by-area", f"{size.name} has no row; taken from {row['area_mm2']} mm² by area.", (size.name,)
    )
    source = Source("IEC 60228", "by the ratio of the areas", "computed")
    return _Base(ohm_per_m * area_mm2 / size.area_mm2, (note,), (row_source(row), source))


def _from_resistivity(size: ConductorSize) -> _Base:
    rho, source = constant("rho20_copper")
    text = f"{size.name} has no row; worked out from annealed solid copper, strands and tinning add some per cent."
    ohm_per_m = per_kft(1000 * rho / size.area_cmil)
    return _Base(ohm_per_m, (Note("resistance-from-resistivity", text, (size.name,)),), (source,))


def per_kft(ohm_per_kft: float) -> float:
    """Ohm per thousand feet as ohm per metre."""
    return ohm_per_kft / (1000 * constant("conversion_ft")[0])


def _at_nec(base: _Base, temperature_c: float) -> Resistance:
    alpha, source = constant("alpha75_copper")
    ohm_per_m = base.ohm_per_m * (1 + alpha * (temperature_c - 75))
    left = f"{_milliohm(base.ohm_per_m)} × (1 + {number_text(alpha)} × ({number_text(temperature_c)} − 75))"
    return _result(base, temperature_c, ohm_per_m, left, () if temperature_c == 75 else (source,))


def _at_iec(base: _Base, temperature_c: float) -> Resistance:
    ohm_per_m = base.ohm_per_m * iec_factor(temperature_c)
    offset, source = constant("iec60228_offset_c")
    left = f"{_milliohm(base.ohm_per_m)} × ({number_text(offset)} + {number_text(temperature_c)}) / 254.5"
    return _result(base, temperature_c, ohm_per_m, left, () if temperature_c == 20 else (source,))


def iec_factor(temperature_c: float) -> float:
    """What a resistance at 20 C is multiplied by at another temperature in C (IEC 60228: the inverse of its Kt)."""
    offset, _ = constant("iec60228_offset_c")
    return (offset + temperature_c) / (offset + 20)


def _result(base: _Base, temperature_c: float, ohm_per_m: float, left: str, sources: tuple[Source, ...]) -> Resistance:
    formula = f"{left} = {_milliohm(ohm_per_m)}"
    return Resistance(ohm_per_m, temperature_c, formula, base.notes, base.sources + sources)


def _milliohm(ohm_per_m: float) -> str:
    return f"{number_text(1000 * ohm_per_m)} mΩ/m"
