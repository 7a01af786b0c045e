"""Voltage drop by the standards' own formulae: E-11 in circular mils and feet, ISO 13297 in mm² and metres.

Length is always out and back, in metres. 33 CFR 183 has no voltage-drop rule. No boat, no graph; the full network
solution is elsewhere.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Literal

import msgspec

from engine.electrics.sizes import CMIL_PER_MM2, ConductorSize, sae, standard_sizes
from engine.electrics.sources import ElectricsError, Note, Rulebook, Source, Status, number_text, weakest_status
from engine.electrics.tables import constant, row_source, table_rows

SizeBasis = Literal["AWG", "SAE", "E-11 chart", "metric"]
"""Which areas a gauge is taken to have. "E-11 chart" is SAE with 6 gauge at 25910 CM (memory), which reproduces the
printed E-11 chart; "SAE" has the conservative 24538 CM."""


class VoltageDrop(msgspec.Struct, frozen=True):
    """Drop of one circuit in V and in % of the system voltage, with the formula and its numbers."""

    drop_v: float
    drop_percent: float
    rulebook: Rulebook
    formula: str
    sources: tuple[Source, ...]

    @property
    def status(self) -> Status:
        """The status of the weakest source."""
        return weakest_status(self.sources)


class RequiredArea(msgspec.Struct, frozen=True):
    """The least conductor area for an allowed drop, in both units, with the formula and its numbers."""

    area_mm2: float
    area_cmil: float
    allowed_drop_v: float
    rulebook: Rulebook
    formula: str
    sources: tuple[Source, ...]

    @property
    def status(self) -> Status:
        """The status of the weakest source."""
        return weakest_status(self.sources)


class SmallestSize(msgspec.Struct, frozen=True):
    """The smallest standard size that has a required area; `area_cmil` is the area the basis gives that gauge."""

    size: ConductorSize
    area_cmil: float
    basis: SizeBasis
    notes: tuple[Note, ...]
    sources: tuple[Source, ...]


def voltage_drop(
    size: ConductorSize, current_a: float, length_m: float, system_v: float, rulebook: Rulebook
) -> VoltageDrop:
    """Drop along a circuit whose conductor is `length_m` long out and back, by the rulebook's formula.

    e11: E = K I L / CM with K = 10.75, L in feet. iso13297: E = 0.0164 I L / S, L in metres.
    Raises ElectricsError "no-voltage-drop-rule" for 33cfr183, "negative-quantity" for negative current or length and
    "voltage-not-positive".
    """
    _check(current_a, length_m, system_v)
    factor, source = _constant(rulebook)
    if rulebook == "e11":
        length_ft = length_m / constant("conversion_ft")[0]
        drop_v = factor * current_a * length_ft / size.area_cmil
        formula = _e11_drop_text(factor, current_a, length_ft, size.area_cmil, drop_v)
    else:
        drop_v = factor * current_a * length_m / size.area_mm2
        formula = _iso_drop_text(factor, current_a, length_m, size.area_mm2, drop_v)
    return VoltageDrop(drop_v, 100 * drop_v / system_v, rulebook, formula, (source,))


@lru_cache(maxsize=1024)
def ohms_per_m(size: ConductorSize, rulebook: Rulebook) -> float:
    """V lost for each ampere and metre of conductor by the rulebook's formula. Raises as voltage_drop does."""
    factor, _ = _constant(rulebook)
    if rulebook == "e11":
        return factor / constant("conversion_ft")[0] / size.area_cmil
    return factor / size.area_mm2


def drop_source(rulebook: Rulebook) -> Source:
    """What the rulebook's formula rests on. Raises as voltage_drop does."""
    return _constant(rulebook)[1]


def required_area(
    current_a: float, length_m: float, system_v: float, allowed_percent: float, rulebook: Rulebook
) -> RequiredArea:
    """The least area that keeps the drop within `allowed_percent` of `system_v`; `length_m` is out and back.

    e11: CM = K I L / E. iso13297: S = 0.0164 I L / E. Raises as voltage_drop does.
    """
    _check(current_a, length_m, system_v)
    _check_positive(allowed_percent)
    factor, source = _constant(rulebook)
    allowed_v = system_v * allowed_percent / 100
    if rulebook == "e11":
        length_ft = length_m / constant("conversion_ft")[0]
        cmil = factor * current_a * length_ft / allowed_v
        area_mm2 = cmil / CMIL_PER_MM2
        formula = f"CM = {_product(factor, current_a, length_ft)} / {number_text(allowed_v)} = {number_text(cmil)} CM"
    else:
        area_mm2 = factor * current_a * length_m / allowed_v
        cmil, area_text = area_mm2 * CMIL_PER_MM2, number_text(area_mm2)
        formula = f"S = {_product(factor, current_a, length_m)} / {number_text(allowed_v)} = {area_text} mm²"
    return RequiredArea(area_mm2, cmil, allowed_v, rulebook, formula, (source,))


def smallest_size(required: RequiredArea, basis: SizeBasis) -> SmallestSize:
    """The smallest standard size that has the required area. Raises ElectricsError "no-size-large-enough".

    The basis decides a gauge's area: marine cable is usually built to AWG, cable to SAE J1127/J1128 has 5 to 10 % less.
    """
    for size, cmil, sources in _basis_sizes(basis):
        if cmil * (1 + 1e-12) >= required.area_cmil:
            return SmallestSize(size, cmil, basis, _basis_notes(size, basis), sources + required.sources)
    sentence = "No {basis} size has {area} mm²."
    raise ElectricsError("no-size-large-enough", sentence, basis=basis, area=number_text(required.area_mm2))


def longest_circuit_m(
    size: ConductorSize, current_a: float, system_v: float, allowed_percent: float, rulebook: Rulebook
) -> float:
    """The length in m, out and back, at which a size reaches the allowed drop. Raises as voltage_drop does."""
    one_metre = voltage_drop(size, current_a, 1.0, system_v, rulebook)
    return float("inf") if current_a == 0 else allowed_percent / one_metre.drop_percent


def _basis_sizes(basis: SizeBasis) -> tuple[tuple[ConductorSize, float, tuple[Source, ...]], ...]:
    if basis == "E-11 chart":
        rows = (row for row in table_rows("circular_mils") if row["area_cmil_e11_chart"])
        return tuple((sae(row["awg"]), float(row["area_cmil_e11_chart"]), (row_source(row),)) for row in rows)
    return tuple((size, size.area_cmil, ()) for size in standard_sizes(basis))


def _basis_notes(size: ConductorSize, basis: SizeBasis) -> tuple[Note, ...]:
    if basis != "E-11 chart" or size.name != "6 SAE":
        return ()
    text = "6 gauge counts as 25910 CM, as the E-11 chart has it; cable to SAE has 24538 CM."
    return (Note("six-gauge-area", text, ("25910", "24538")),)


def _constant(rulebook: Rulebook) -> tuple[float, Source]:
    if rulebook == "33cfr183":
        raise ElectricsError("no-voltage-drop-rule", "33 CFR 183 has no voltage-drop rule; ABYC E-11 has.")
    return constant("k_e11" if rulebook == "e11" else "k_iso13297")


def _check(current_a: float, length_m: float, system_v: float) -> None:
    _check_positive(system_v)
    if not (current_a >= 0 and length_m >= 0):
        raise ElectricsError("negative-quantity", "Current and length cannot be negative.")


def _check_positive(value: float) -> None:
    if not value > 0:
        raise ElectricsError("voltage-not-positive", "System voltage and allowed drop must be above zero.")


def _product(factor: float, current_a: float, length: float) -> str:
    return f"{number_text(factor)} × {number_text(current_a)} × {number_text(length)}"


def _e11_drop_text(factor: float, current_a: float, length_ft: float, cmil: float, drop_v: float) -> str:
    left = f"E = {_product(factor, current_a, length_ft)} / {number_text(cmil)}"
    return f"{left} = {number_text(drop_v)} V (K × A × ft out and back / CM)"


def _iso_drop_text(factor: float, current_a: float, length_m: float, area_mm2: float, drop_v: float) -> str:
    left = f"E = {_product(factor, current_a, length_m)} / {number_text(area_mm2)}"
    return f"{left} = {number_text(drop_v)} V (0.0164 × A × m out and back / mm²)"
