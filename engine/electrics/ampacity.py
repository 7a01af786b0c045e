"""Allowed current of a conductor by size, insulation, engine space and bundle, under one of three rulebooks.

Pure functions on numbers; no boat, no graph. A question outside the table is refused, never guessed.
"""

from __future__ import annotations

from functools import cache, lru_cache

import msgspec

from engine.electrics.sizes import ConductorSize, metric, parse_size
from engine.electrics.sources import ElectricsError, Note, Rulebook, Source, Status, number_text, weakest_status
from engine.electrics.tables import Row, row_source, table_rows


class AllowedCurrent(msgspec.Struct, frozen=True):
    """The allowed current of one conductor and how it was found. `formula` has the numbers put in. Never rounded."""

    value_a: float
    table_a: float
    engine_factor: float
    bundle_factor: float
    size: ConductorSize
    table_size: ConductorSize
    insulation_c: float
    table_insulation_c: float
    rulebook: Rulebook
    formula: str
    notes: tuple[Note, ...]
    sources: tuple[Source, ...]

    @property
    def status(self) -> Status:
        """The status of the weakest source."""
        return weakest_status(self.sources)


class _Cell(msgspec.Struct, frozen=True):
    current_a: float
    source: Source


class _Factor(msgspec.Struct, frozen=True):
    value: float
    note: Note | None = None
    source: Source | None = None


@lru_cache(maxsize=4096)
def allowed_current(
    size: ConductorSize,
    insulation_c: float,
    rulebook: Rulebook,
    *,
    engine_space: bool = False,
    bundled: int = 1,
    ac: bool = False,
    bundle_below_50_v: bool = True,
) -> AllowedCurrent:
    """Allowed current in A: table value x engine-space factor x bundle factor.

    insulation_c: temperature rating of the insulation; between two columns the next lower column counts.
    bundled: current-carrying conductors that lie together, this one included. Under "33cfr183" only conductors at 50 V
    or more count (183.435(b)), so pass their number, and ac=True when this circuit is at 50 V or more; below 50 V the
    law has no factor. Under "e11" all count by default; bundle_below_50_v=False gives the older reading without a
    factor below 50 V (the sources disagree). Under "iso13297" all count, from four upwards.

    A metric size under a US table takes the row of the largest AWG not above its area, an AWG or SAE size under ISO the
    largest metric area not above its own; a note says so. SAE sizes: under the law the AWG row not above their area,
    under E-11 the row of the same gauge. ISO 60 C insulation in an engine space is not permitted: 0 A with a note.

    Raises ElectricsError: "insulation-below-table", "size-below-table", "bundle-count", "rulebook-unknown".
    """
    if bundled < 1:
        raise ElectricsError("bundle-count", "A bundle of {count} conductors cannot be.", count=str(bundled))
    row_size, row_note = table_size(size, rulebook)
    column_c, column_note = table_column(insulation_c, rulebook)
    cell = _cells(rulebook)[row_size, column_c]
    engine = _engine_factor(rulebook, column_c) if engine_space else _Factor(1.0)
    counts = ac or rulebook == "iso13297" or (rulebook == "e11" and bundle_below_50_v)
    bundle = _bundle_factor(rulebook, bundled, counts)
    value_a = round(cell.current_a * engine.value * bundle.value, 9)  # without it 50 × 0.7 may miss 35 by a float hair
    notes = (row_note, column_note, engine.note, bundle.note)
    sources = (cell.source, _same_gauge_source(size, rulebook), engine.source, bundle.source)
    return AllowedCurrent(
        value_a=value_a,
        table_a=cell.current_a,
        engine_factor=engine.value,
        bundle_factor=bundle.value,
        size=size,
        table_size=row_size,
        insulation_c=insulation_c,
        table_insulation_c=column_c,
        rulebook=rulebook,
        formula=_formula(cell.current_a, engine.value, bundle.value, value_a, engine_space),
        notes=tuple(note for note in notes if note is not None),
        sources=tuple(source for source in sources if source is not None),
    )


def _formula(table_a: float, engine: float, bundle: float, value_a: float, engine_space: bool) -> str:
    parts = [f"{number_text(table_a)} A"]
    parts += [number_text(engine)] if engine_space else []
    parts += [number_text(bundle)] if bundle != 1.0 else []
    left = " × ".join(parts)
    return f"{left} = {number_text(value_a)} A" if len(parts) > 1 else left


@cache
def _cells(rulebook: Rulebook) -> dict[tuple[ConductorSize, float], _Cell]:
    names = {"33cfr183": "ampacity_33cfr183", "e11": "ampacity_e11", "iso13297": "ampacity_iso13297"}
    if rulebook not in names:
        raise ElectricsError("rulebook-unknown", "There is no rulebook {rulebook}.", rulebook=str(rulebook))
    return {
        (_row_size(row), float(row["insulation_c"])): _Cell(float(row["current_a"]), row_source(row))
        for row in table_rows(names[rulebook])
    }


def _row_size(row: Row) -> ConductorSize:
    return parse_size(row["awg"], "AWG") if "awg" in row else metric(float(row["area_mm2"]))


@cache
def table_sizes(rulebook: Rulebook) -> tuple[ConductorSize, ...]:
    """The sizes that have a row in the rulebook's table, smallest first."""
    return tuple(sorted({size for size, _ in _cells(rulebook)}))


@cache
def table_columns(rulebook: Rulebook) -> tuple[float, ...]:
    """The insulation temperatures in C that have a column, lowest first. ISO 85 stands for its column "85 to 90"."""
    return tuple(sorted({column_c for _, column_c in _cells(rulebook)}))


def table_size(size: ConductorSize, rulebook: Rulebook) -> tuple[ConductorSize, Note | None]:
    """The table row that counts for a size, and a note when it is not the size itself. Raises "size-below-table"."""
    rows = table_sizes(rulebook)
    if size in rows:
        return size, None
    row = _same_gauge(size, rows) if rulebook == "e11" else None
    row = row or next((other for other in reversed(rows) if other.area_mm2 <= size.area_mm2), None)
    if row is None:
        sentence = "{size} is smaller than the smallest row ({row}) of the table."
        raise ElectricsError("size-below-table", sentence, size=size.name, row=rows[0].name)
    text = f"{size.name} ({size.area_mm2:.3g} mm²) has no row; read as {row.name} ({row.area_mm2:.3g} mm²)."
    return row, Note("size-read-as", text, (size.name, row.name))


def _same_gauge(size: ConductorSize, rows: tuple[ConductorSize, ...]) -> ConductorSize | None:
    """E-11 gives the SAE areas as its minimum for each gauge, so an SAE conductor keeps its gauge there (memory)."""
    name = size.name.replace(" SAE", " AWG")
    return next((row for row in rows if row.name == name), None) if size.system == "SAE" else None


def _same_gauge_source(size: ConductorSize, rulebook: Rulebook) -> Source | None:
    if size.system != "SAE" or rulebook != "e11":
        return None
    return Source("ABYC E-11", "minimum circular mil area of each gauge equals the SAE area", "memory")


def table_column(insulation_c: float, rulebook: Rulebook) -> tuple[float, Note | None]:
    """The table column that counts for an insulation rating: the next lower one. Raises "insulation-below-table"."""
    columns = table_columns(rulebook)
    column_c = next((other for other in reversed(columns) if other <= insulation_c), None)
    if column_c is None:
        sentence = "Insulation of {insulation} °C is below the lowest column ({column} °C) of the table."
        raise ElectricsError(
            "insulation-below-table", sentence, insulation=number_text(insulation_c), column=number_text(columns[0])
        )
    if insulation_c == column_c or (rulebook == "iso13297" and column_c == 85 and insulation_c <= 90):
        return column_c, None
    values = (number_text(insulation_c), number_text(column_c))
    text = f"{values[0]} °C has no column; the next lower one, {values[1]} °C, counts."
    return column_c, Note("insulation-read-as", text, values)


def _engine_factor(rulebook: Rulebook, column_c: float) -> _Factor:
    for row in table_rows("engine_space_factors"):
        if row["rulebook"] == rulebook and float(row["insulation_c"]) == column_c:
            return _engine_factor_of(row)
    raise ElectricsError("no-engine-factor", "No engine-space factor for {column} °C.", column=number_text(column_c))


def _engine_factor_of(row: Row) -> _Factor:
    if row["factor"]:
        return _Factor(float(row["factor"]), None, row_source(row))
    text = f"Insulation of {row['insulation_c']} °C is not permitted in an engine space: no current is allowed."
    return _Factor(0.0, Note("not-in-engine-space", text, (row["insulation_c"],)), row_source(row))


def _bundle_factor(rulebook: Rulebook, bundled: int, counts: bool) -> _Factor:
    if bundled == 1:
        return _Factor(1.0)
    if not counts:
        text = f"{bundled} conductors lie together; below 50 V this rulebook reading has no bundle factor."
        return _Factor(1.0, Note("no-bundle-factor-below-50-v", text, (str(bundled),)))
    row = next(row for row in table_rows("bundling_factors") if row["rulebook"] == rulebook and _in_range(row, bundled))
    return _Factor(float(row["factor"]), None, row_source(row))


def _in_range(row: Row, bundled: int) -> bool:
    highest = int(row["conductors_max"]) if row["conductors_max"] else bundled
    return int(row["conductors_min"]) <= bundled <= highest
