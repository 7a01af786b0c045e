"""How large an overcurrent device may be: standard ratings by family and the rulebooks' limits over allowed current.

Pure functions; which device protects which conductor, and at what distance, is decided elsewhere.
"""

from __future__ import annotations

from functools import cache
from typing import Literal

import msgspec

from engine.electrics.ampacity import AllowedCurrent
from engine.electrics.sources import ElectricsError, Note, Rulebook, Source, Status, number_text, weakest_status
from engine.electrics.tables import row_source, table_rows

Use = Literal["branch", "panel-feed", "panel-feed-with-submain"]
"""panel-feed-with-submain: the panel has its own main device at 100 % of its capacity or of the feeder's ampacity."""

_C33 = "33 CFR 183.455(c), 2015 edition"
_LAW_BELOW_50 = Source(_C33, "(1), below 50 V: 150 % of the Table 5 value", "published")
_LAW_FROM_50 = Source(_C33, "(2), 50 V and above: 100 %, next standard rating up to 150 %", "published")
_E11_BRANCH = Source("ABYC E-11", "ampacity, next standard rating up to 150 %", "memory")
_E11_150 = Source("ABYC E-11", "150 % for circuits without motors, as a boat wiring handbook has it", "secondary")
_E11_PANEL = Source("ABYC E-11", "panel feed: 100 % of panel capacity or feeder ampacity", "memory")
_E11_SUBMAIN = Source("ABYC E-11", "panel feed up to 150 % where the panel has its own main device", "memory")
_ISO_AC = Source("ISO 13297:2020", "13.1.5: not above the Table A.1 capacity", "published")
_ISO_DC = Source("ISO 13297:2020", "DC: not above the Table A.1 capacity of the smallest conductor", "memory")
_LAW_ALTERNATOR = Source("33 CFR 183.460(b), 2015 edition", "120 % of the rated current at 60 C", "published")
_ISO_TRANSFORMER = Source("ISO 13297", "7.2.3: 125 % of the rated primary current, as quoted in a forum", "secondary")
_LOAD_MARGIN = Source("a device maker's brief", "minimum fuse 125 % of the load current", "published")


class ProtectionLimit(msgspec.Struct, frozen=True):
    """The largest device rating a rulebook allows on a conductor.

    `limit_a`: above it the rule is broken. `advice_a`: above it (and up to the limit) a remark is due, since the device
    exceeds the allowed current of the conductor or a stricter reading of the rule.
    """

    limit_a: float
    advice_a: float
    rulebook: Rulebook
    formula: str
    notes: tuple[Note, ...]
    sources: tuple[Source, ...]

    @property
    def status(self) -> Status:
        """The status of the weakest source."""
        return weakest_status(self.sources)


class SimpleLimit(msgspec.Struct, frozen=True):
    """A limit that is a percentage of one rated current, or the least rating for a load."""

    limit_a: float
    formula: str
    sources: tuple[Source, ...]


@cache
def families() -> tuple[str, ...]:
    """Ids of the fuse and breaker families that have a rating series: "blade", "class-t", "panel-breaker" …"""
    return tuple(dict.fromkeys(row["family"] for row in table_rows("ocpd_standard_ratings")))


@cache
def standard_ratings(family: str) -> tuple[float, ...]:
    """The ratings made in a family, in A, lowest first. Raises ElectricsError "family-unknown"."""
    return tuple(sorted(float(row["rating_a"]) for row in _family_rows(family)))


def family_source(family: str) -> Source:
    """Where a rating series comes from; nearly all are from memory. Raises ElectricsError "family-unknown"."""
    return row_source(_family_rows(family)[0])


def family_title(family: str) -> str:
    """What a family is, in English: "blade fuse (ISO 8820-3 type C, SAE J1284)". Raises "family-unknown"."""
    return _family_rows(family)[0]["title"]


@cache
def _family_rows(family: str) -> tuple[dict[str, str], ...]:
    rows = tuple(dict(row) for row in table_rows("ocpd_standard_ratings") if row["family"] == family)
    if not rows:
        sentence = "There is no rating series for {family}; known are {known}."
        raise ElectricsError("family-unknown", sentence, family=family, known=", ".join(families()))
    return rows


def largest_standard_rating(limit_a: float, family: str) -> float | None:
    """The largest rating of a family not above a limit in A; None when the smallest is already above it."""
    return next((rating for rating in reversed(standard_ratings(family)) if rating <= limit_a), None)


def smallest_standard_rating(least_a: float, family: str) -> float | None:
    """The smallest rating of a family not below a current in A; None when the largest is still below it."""
    return next((rating for rating in standard_ratings(family) if rating >= least_a), None)


def device_limit(
    allowed: AllowedCurrent,
    *,
    ac: bool = False,
    family: str | None = None,
    use: Use = "branch",
    panel_rating_a: float | None = None,
) -> ProtectionLimit:
    """The largest device rating on a conductor under the rulebook its allowed current was found by.

    33cfr183 (183.455(c)): below 50 V 150 % of the Table 5 value; at 50 V or more (ac=True) the allowed current, or the
    next standard rating up to 150 % of it. e11: the ampacity, or the next standard rating up to 150 %; panel feeds
    100 % of ampacity and panel rating; with a submain 150 % of the feeder's ampacity. iso13297: 100 %. Motor circuits
    under E-11 follow the maker's value instead (not known here).

    family: the device's family, whose next standard rating counts. Without it no next rating is granted (a note says
    so).
    Raises ElectricsError "family-unknown".
    """
    if allowed.rulebook == "33cfr183":
        return _law_from_50(allowed, family) if ac else _law_below_50(allowed)
    if allowed.rulebook == "iso13297":
        source = _ISO_AC if ac else _ISO_DC
        return _limit(allowed, allowed.value_a, f"100 % of {number_text(allowed.value_a)} A", (), (source,))
    if use == "branch":
        return _next_standard(allowed, allowed.value_a, family, (_E11_BRANCH, _E11_150))
    return _e11_panel_feed(allowed, use, panel_rating_a)


def _limit(
    allowed: AllowedCurrent, limit_a: float, formula: str, notes: tuple[Note, ...], sources: tuple[Source, ...]
) -> ProtectionLimit:
    return ProtectionLimit(
        limit_a=round(limit_a, 9),
        advice_a=min(allowed.value_a, limit_a),
        rulebook=allowed.rulebook,
        formula=formula,
        notes=allowed.notes + notes,
        sources=sources + allowed.sources,
    )


def _law_below_50(allowed: AllowedCurrent) -> ProtectionLimit:
    limit_a = 1.5 * allowed.table_a
    formula = f"150 % of Table 5 = 1.5 × {number_text(allowed.table_a)} A = {number_text(limit_a)} A"
    notes: tuple[Note, ...] = ()
    if allowed.value_a < allowed.table_a:
        strict = number_text(1.5 * allowed.value_a)
        text = f"The law names the Table 5 value; read with its factors the limit would be {strict} A."
        notes = (Note("stricter-reading", text, (strict,)),)
    return _limit(allowed, limit_a, formula, notes, (_LAW_BELOW_50,))


def _law_from_50(allowed: AllowedCurrent, family: str | None) -> ProtectionLimit:
    """The law names the Table 5 value; from 50 V its notes 1 and 2 belong to it, so the reduced value is the base."""
    return _next_standard(allowed, allowed.value_a, family, (_LAW_FROM_50,))


def _next_standard(
    allowed: AllowedCurrent, base_a: float, family: str | None, sources: tuple[Source, ...]
) -> ProtectionLimit:
    base = number_text(base_a)
    if family is None:
        text = f"The device's family is not known, so no rating above {base} A is granted."
        note = Note("family-not-given", text, (base,))
        return _limit(allowed, base_a, f"100 % of {base} A", (note,), sources)
    rating = smallest_standard_rating(base_a, family)
    most_a = round(1.5 * base_a, 9)
    sources = (*sources, family_source(family))
    if rating is None or rating > most_a:
        formula = f"100 % of {base} A; no standard rating between it and 1.5 × {base} A = {number_text(most_a)} A"
        return _limit(allowed, base_a, formula, (), sources)
    next_text = f"next standard rating above {base} A: {number_text(rating)} A, within 1.5 × {base} A"
    formula = f"{base} A is a standard rating" if rating == base_a else f"{next_text} = {number_text(most_a)} A"
    return _limit(allowed, rating, formula, (), sources)


def _e11_panel_feed(allowed: AllowedCurrent, use: Use, panel_rating_a: float | None) -> ProtectionLimit:
    feeder = number_text(allowed.value_a)
    if use == "panel-feed-with-submain":
        limit_a = 1.5 * allowed.value_a
        return _limit(allowed, limit_a, f"1.5 × {feeder} A = {number_text(limit_a)} A", (), (_E11_SUBMAIN,))
    if panel_rating_a is None:
        note = Note("panel-rating-not-given", "The panel's rating is not known; only the feeder is judged.")
        return _limit(allowed, allowed.value_a, f"100 % of the feeder's {feeder} A", (note,), (_E11_PANEL,))
    limit_a = min(allowed.value_a, panel_rating_a)
    formula = f"the smaller of feeder {feeder} A and panel {number_text(panel_rating_a)} A = {number_text(limit_a)} A"
    return _limit(allowed, limit_a, formula, (), (_E11_PANEL,))


def alternator_device_limit(rated_a: float) -> SimpleLimit:
    """33 CFR 183.460(b): the device of an alternator that does not limit itself, 120 % of its rated current at 60 C."""
    return _percent_of(rated_a, 120, _LAW_ALTERNATOR)


def transformer_primary_limit(primary_a: float) -> SimpleLimit:
    """ISO 13297 7.2.3: the device on the primary of an isolation or polarization transformer, 125 % of its current."""
    return _percent_of(primary_a, 125, _ISO_TRANSFORMER)


def least_device_for_load(load_a: float) -> SimpleLimit:
    """The least sensible rating for a steady load: 125 % of it (the same as loading a device to 80 %). Practice."""
    return _percent_of(load_a, 125, _LOAD_MARGIN)


def _percent_of(current_a: float, percent: int, source: Source) -> SimpleLimit:
    limit_a = round(current_a * percent / 100, 9)
    formula = f"{number_text(percent / 100)} × {number_text(current_a)} A = {number_text(limit_a)} A"
    return SimpleLimit(limit_a, formula, (source,))
