"""The resistance that a core of a run, a fuse, a breaker or a contact puts into the network. Knows no graph."""

from __future__ import annotations

from engine.electrics.resistance import resistance
from engine.electrics.sizes import ConductorSize, parse_size
from engine.electrics.sources import ElectricsError, number_text
from engine.graph.boat import Boat, quantity
from engine.graph.poles import Edge
from engine.model.network import Run
from engine.model.quantity import Quantity, above_nothing, high, is_exact, low
from engine.studies.values import Corner, Figure, assumed, field_source, pick, shown

LEAST_OHM = 1e-6
"""Nothing in the network has less: it would stand far below what any contact has."""


def core(boat: Boat, run: Run, corner: Corner, *, ac: bool = False) -> Figure:
    """Impedance of one core of a run, ohm, its two terminals included; `lacks` size and length where they are unknown."""
    size, length = size_of(run), length_m(run)
    lacks = (() if size else (f"run:{run.id} size",)) + (() if length is not None else (f"run:{run.id} length_m",))
    if size is None or length is None:
        return Figure(LEAST_OHM, "ohm", "not known, taken as none", (), lacks)
    metres = pick(length, corner, "low")
    per_m = resistance(size, temperature_c=temperature_c(boat, run, corner), tinned=_tinned(run, corner))
    terminal, terminal_source = assumed("terminal", corner, "low")
    ohm = per_m.ohm_per_m * metres + 2 * terminal / 1000
    formula = (
        f"{shown(length, metres)} m × ({per_m.formula}) + 2 × {number_text(terminal)} mΩ = {number_text(1000 * ohm)} mΩ"
    )
    sources = (
        field_source(boat, run, "length_m"), field_source(boat, run, "size"), *per_m.sources, terminal_source
    )  # fmt: skip
    if not ac:
        return Figure(max(ohm, LEAST_OHM), "ohm", formula, sources)
    reactance, source = assumed("cable_reactance", corner, "low")
    value = complex(max(ohm, LEAST_OHM), reactance * metres / 1000)
    text = f"{formula} + j {number_text(metres)} m × {number_text(reactance)} mΩ/m"
    return Figure(value, "ohm", text, (*sources, source))


def size_of(run: Run) -> ConductorSize | None:
    """The run's size; None where it is unknown or cannot be read."""
    try:
        return parse_size(run.size) if run.size else None
    except ElectricsError:
        return None


def length_m(run: Run) -> Quantity:
    """Length of one core, m: half of a length measured out and back; from half to all of it where nobody says which."""
    if run.length_m is None or run.length_basis == "one-way":
        return run.length_m
    whole, half = high(run.length_m), low(run.length_m) / 2
    if run.length_basis is None:
        return (half, whole)
    return half if is_exact(run.length_m) else (half, whole / 2)


def open_fields(run: Run) -> tuple[str, ...]:
    """The fields of a run's resistance that are not one number."""
    found = [] if is_exact(run.length_m) else ["length_m"]
    found += [] if size_of(run) else ["size"]
    found += [] if run.length_basis or run.length_m is None else ["length_basis"]
    return tuple(f"run:{run.id} {field}" for field in found)


def temperature_c(boat: Boat, run: Run, corner: Corner) -> float:
    """Temperature of the conductor: cold; that of the hottest space on its way, 30 °C at least; the limit of its
    insulation."""
    if corner == "best":
        return assumed("conductor_cold", "best", "low")[0]
    if corner == "worst":
        return limit_c(run)
    spaces = [boat.compartments[name].ambient_c for name in run.route if name in boat.compartments]
    return max([assumed("conductor_service", "middle", "low")[0], *(high(each, 0.0) for each in spaces)])


def limit_c(run: Run) -> float:
    """The limit of its insulation, °C; where it is not known that of the best there is."""
    return high(run.insulation_c, assumed("conductor_service", "worst", "low")[0])


def _tinned(run: Run, corner: Corner) -> bool:
    return run.tinned if run.tinned is not None else corner != "best"


LOST_IN = {"fuse": "fuse_drop", "breaker": "breaker_drop", "contact": "contact_drop"}


def device(boat: Boat, edge: Edge, corner: Corner) -> Figure | None:
    """Resistance of a fuse, breaker, contact or shunt, ohm; None for what has none worth counting."""
    if edge.kind in LOST_IN:
        return _by_rating(boat, edge, corner)
    part = boat.part_of(edge)
    rating, full_scale = (above_nothing(quantity(part, name)) for name in ("rating_a", "full_scale_mv"))
    if full_scale is None or rating is None:
        return None
    mv, amps = pick(full_scale, corner, "low"), pick(rating, corner, "high")
    formula = f"{shown(full_scale, mv)} mV / {shown(rating, amps)} A = {number_text(mv / amps)} mΩ"
    return Figure(mv / amps / 1000, "ohm", formula, (field_source(boat, part, "full_scale_mv"),))


def _by_rating(boat: Boat, edge: Edge, corner: Corner) -> Figure:
    rating = boat.rating_of(edge)
    if rating is None or low(rating) <= 0:
        mohm, source = assumed("device_unrated", corner, "low")
        formula = f"{number_text(mohm)} mΩ assumed, rating not known"
        return Figure(mohm / 1000, "ohm", formula, (source,))
    drop, source = assumed(LOST_IN[edge.kind], corner, "low")
    amps = pick(rating, corner, "high")
    formula = f"{number_text(drop)} mV / {shown(rating, amps)} A = {number_text(drop / amps)} mΩ"
    return Figure(drop / amps / 1000, "ohm", formula, (source, field_source(boat, boat.part_of(edge), "rating_a")))
