"""Conductor sizes: American Wire Gauge, SAE areas and metric, and how they stand to each other.

Areas are of copper. AWG areas follow the ASTM B258 gauge formula; SAE areas are the smaller ones of SAE J1127/J1128
cable; a metric size is its nominal area. This module knows nothing of current or length.
"""

from __future__ import annotations

import re
from functools import cache, lru_cache
from typing import Literal

import msgspec

from engine.electrics.sources import ElectricsError, Note, number_text
from engine.electrics.tables import constant, table_rows

System = Literal["AWG", "SAE", "metric"]

CMIL_PER_MM2 = 1973.525241
"""Circular mils in one square millimetre: (4 / pi) / 0.0254^2."""

AWG_NAMES = ("20", "18", "16", "14", "12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0", "3/0", "4/0")
METRIC_MM2 = (0.5, 0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0, 35.0, 50.0, 70.0, 95.0, 120.0, 150.0, 185.0, 240.0)

_METRIC = re.compile(r"(?P<area>\d+(?:[.,]\d+)?|[.,]\d+)\s*(?:mm2|mm²|mm\^2|sq\.?\s*mm|qmm)")
_GAUGE = re.compile(r"(?P<gauge>\d{1,2}|[1-4]/0|0{2,4})")


class ConductorSize(msgspec.Struct, frozen=True, order=True):
    """A conductor size. Ordered by area. `name` is how it is written ("10 AWG", "10 SAE", "6 mm²") and parses back."""

    area_mm2: float
    area_cmil: float
    system: System
    name: str


class Substitutes(msgspec.Struct, frozen=True):
    """The sizes of another system on either side of a size; None where that system has none listed."""

    not_smaller: ConductorSize | None
    not_larger: ConductorSize | None
    note: Note


def gauge_area_cmil(gauge: str) -> float:
    """Area in circular mils of an AWG gauge by the ASTM B258 formula: (5 * 92^((36 - n) / 39))^2. Not rounded."""
    ratio, _ = constant("awg_ratio")
    number = 1 - int(gauge[0]) if gauge.endswith("/0") else int(gauge)
    return float((5.0 * ratio ** ((36 - number) / 39)) ** 2)


@cache
def awg(gauge: str) -> ConductorSize:
    """The AWG size of a gauge, e.g. awg("10"), awg("2/0"). Any gauge from 40 to 4/0, listed or not."""
    cmil = gauge_area_cmil(gauge)
    return ConductorSize(cmil / CMIL_PER_MM2, cmil, "AWG", f"{gauge} AWG")


@cache
def sae(gauge: str) -> ConductorSize:
    """The SAE size of a gauge (SAE J1127/J1128 area as a cable maker prints it; 6 SAE is the conservative 24538 CM).

    Raises ElectricsError "no-sae-area" for a gauge that has none listed.
    """
    for row in table_rows("circular_mils"):
        if row["awg"] == gauge and row["area_cmil_sae"]:
            cmil = float(row["area_cmil_sae"])
            return ConductorSize(cmil / CMIL_PER_MM2, cmil, "SAE", f"{gauge} SAE")
    raise ElectricsError("no-sae-area", "No SAE area is listed for gauge {gauge}.", gauge=gauge)


@cache
def metric(area_mm2: float) -> ConductorSize:
    """The metric size of a nominal area in mm². Raises ElectricsError "size-out-of-range" outside 0.05 to 1000 mm²."""
    if not 0.05 <= area_mm2 <= 1000:
        raise ElectricsError("size-out-of-range", "{area} mm² is no conductor size.", area=number_text(area_mm2))
    return ConductorSize(area_mm2, area_mm2 * CMIL_PER_MM2, "metric", f"{number_text(area_mm2)} mm²")


@cache
def standard_sizes(system: System) -> tuple[ConductorSize, ...]:
    """The sizes that are made, smallest first: AWG 20 to 4/0, SAE 18 to 4/0 (no 3), metric 0.5 to 240 mm²."""
    if system == "metric":
        return tuple(metric(area) for area in METRIC_MM2)
    if system == "AWG":
        return tuple(awg(gauge) for gauge in AWG_NAMES)
    return tuple(sae(row["awg"]) for row in table_rows("circular_mils") if row["area_cmil_sae"])


@lru_cache(maxsize=1024)
def parse_size(text: str, bare_system: System | None = None) -> ConductorSize:
    """Read a size as people write it: "10 AWG", "AWG 2/0", "#10", "10 SAE", "6 mm2", "2,5 mm²", "16 sq mm".

    A number alone is read in `bare_system`; without one it raises ElectricsError "size-without-system" (is 6 a gauge or
    mm²?). Other text raises "size-not-understood"; a size out of reach "size-out-of-range" or "no-sae-area".
    """
    plain = " ".join(text.strip().casefold().split())
    if found := _METRIC.fullmatch(plain):
        return metric(float(found["area"].replace(",", ".")))
    system, rest = _split_system(plain)
    if not rest or not re.fullmatch(r"[\d/.,]+", rest):
        raise _not_understood(text)
    if system is None:
        system = "AWG" if "/" in rest or set(rest) == {"0"} else bare_system
    if system is None:
        sentence = "Is {size} a gauge or mm²? Write {size} AWG or {size} mm²."
        raise ElectricsError("size-without-system", sentence, size=rest)
    return _size_in(system, rest, text)


def _split_system(plain: str) -> tuple[System | None, str]:
    if plain.startswith(("#", "no.", "no ")):
        return "AWG", plain.lstrip("#no.").strip()
    words: tuple[tuple[str, System], ...] = (("awg", "AWG"), ("ga", "AWG"), ("sae", "SAE"))
    for word, system in words:
        if plain.startswith(word) or plain.endswith(word):
            return system, plain.removeprefix(word).removesuffix(word).strip()
    return None, plain


def _size_in(system: System, rest: str, text: str) -> ConductorSize:
    if system == "metric":
        if not re.fullmatch(r"\d+(?:[.,]\d+)?|[.,]\d+", rest):
            raise _not_understood(text)
        return metric(float(rest.replace(",", ".")))
    if not _GAUGE.fullmatch(rest):
        raise _not_understood(text)
    gauge = _plain_gauge(rest)
    if not gauge.endswith("/0") and int(gauge) > 40:
        raise ElectricsError("size-out-of-range", "Gauge {gauge} is finer than 40.", gauge=gauge)
    return awg(gauge) if system == "AWG" else sae(gauge)


def _plain_gauge(rest: str) -> str:
    """00 is 2/0; 0 is 1/0; 08 is 8."""
    return f"{len(rest)}/0" if set(rest) == {"0"} else rest if "/" in rest else str(int(rest))


def _not_understood(text: str) -> ElectricsError:
    sentence = "“{text}” is no conductor size. Write it like 10 AWG, 2/0 AWG, 10 SAE or 6 mm²."
    return ElectricsError("size-not-understood", sentence, text=text.strip())


def smallest_not_below(area_mm2: float, system: System) -> ConductorSize | None:
    """The smallest standard size of a system with at least this area, or None."""
    return next((size for size in standard_sizes(system) if size.area_mm2 >= area_mm2), None)


def largest_not_above(area_mm2: float, system: System) -> ConductorSize | None:
    """The largest standard size of a system with at most this area, or None."""
    return next((size for size in reversed(standard_sizes(system)) if size.area_mm2 <= area_mm2), None)


def substitutes(size: ConductorSize, system: System) -> Substitutes:
    """What stands in for a size in another system, and the warning that the two are not the same.

    16 AWG is 1.31 mm², so 1.5 mm² replaces it but it does not replace 1.5 mm².
    """
    above = smallest_not_below(size.area_mm2, system)
    below = largest_not_above(size.area_mm2, system)
    area = f"{size.area_mm2:.3g}"
    values = (size.name, area, above.name if above else "", below.name if below else "")
    parts = [f"{size.name} is {area} mm²"]
    parts += [f"{above.name} may replace it"] if above else []
    parts += [f"it may replace {below.name} and smaller"] if below else []
    return Substitutes(above, below, Note("not-the-same-size", "; ".join(parts) + ".", values))
