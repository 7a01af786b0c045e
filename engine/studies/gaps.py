"""Why something has no answer, or only a bound: each gap in one plain sentence with the fields that would settle it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from engine.electrics.sources import number_text
from engine.graph.boat import Boat, quantity
from engine.graph.poles import Node
from engine.messages import counted, enumerated, tr
from engine.model.network import Part
from engine.model.quantity import high, low
from engine.studies.elements import Elements, Load, fields_lacking
from engine.studies.island import Island, Layout
from engine.studies.results import Gap, TransferAnswer
from engine.studies.vague import field_of_source, vague_sources


def gaps_of(
    boat: Boat, elements: Elements, layout: Layout, failed: Mapping[Node, tuple[str, float]],
    transfers: Sequence[TransferAnswer], volts: Mapping[Node, complex],
) -> Iterator[Gap]:  # fmt: skip
    """Every gap of a solution."""
    yield from _missing(boat, elements, layout)
    vague = vague_sources(boat, layout)
    for number, island in enumerate(layout.islands):
        loads = [each for each in elements.loads if layout.island.get(each.a) == number and each.draw]
        if island.reason in ("collapsed", "unsettled"):
            yield _failed(boat, number, island, loads, failed.get(island.name, ("", 0.0))[1])
        elif island.reason == "no-source" and loads:
            yield _dead(boat, number, loads) if number not in vague else _vague(boat, number, loads, vague[number])
    yield from _overloads(boat, transfers)
    yield from _low_inputs(boat, elements, volts)


def _missing(boat: Boat, elements: Elements, layout: Layout) -> Iterator[Gap]:
    """For each live island the fields that it lacks: its volts are at best what is shown."""
    lacks: dict[int, list[str]] = {}
    for node, field in fields_lacking(elements):
        if node in layout.island:
            lacks.setdefault(layout.island[node], []).append(field)
    for number, fields in lacks.items():
        if layout.islands[number].reason == "live":
            distinct = tuple(dict.fromkeys(fields))
            text = counted(
                "1 value is not known here; voltages are at best what is shown.",
                "{count} values are not known here; voltages are at best what is shown.",
                len(distinct),
            )
            yield Gap("missing", text, (f"island:{number}",), distinct)
    for supply in boat.with_role("battery"):
        if quantity(supply, "nominal_v") is None:
            text = tr("{name} gives nothing here: its voltage is not known.").format(name=boat.name(supply))
            yield Gap("missing", text, (f"part:{supply.id}",), (f"part:{supply.id} nominal_v",))


def _failed(boat: Boat, number: int, island: Island, loads: list[Load], share: float) -> Gap:
    subjects = (f"island:{number}", *(f"part:{load.part.id}" for load in loads))
    heavy = enumerated(boat.name(load.part) for load in _heaviest(loads))
    if island.reason == "unsettled":
        text = tr("The sources here do not come to rest against each other: {names}.").format(names=heavy)
        return Gap("unsettled", text, subjects)
    text = tr(
        "The supply collapses: no voltage carries what {names} ask for; it would carry {percent} % of the load here."
    ).format(names=heavy, percent=number_text(int(100 * share)))
    return Gap("collapsed", text, subjects)


def _heaviest(loads: list[Load]) -> list[Load]:
    return sorted(loads, key=lambda load: -abs(load.draw.amount.value) if load.draw else 0.0)[:3]


def _some(boat: Boat, loads: list[Load]) -> str:
    return enumerated(boat.name(load.part) for load in loads[:4]) + (" …" if len(loads) > 4 else "")


def _dead(boat: Boat, number: int, loads: list[Load]) -> Gap:
    text = tr("No source reaches {names} with the switches so.").format(names=_some(boat, loads))
    return Gap("no-source", text, (f"island:{number}", *(f"part:{load.part.id}" for load in loads)))


def _vague(boat: Boat, number: int, loads: list[Load], sources: Sequence[Part]) -> Gap:
    text = tr("What reaches {names} cannot be told: what {sources} gives is not known.")
    fields = tuple(field for each in boat.sources if each.part in sources and (field := field_of_source(boat, each)))
    said = text.format(names=_some(boat, loads), sources=enumerated(boat.name(each) for each in sources))
    return Gap(
        "source-unknown",
        said,
        (f"island:{number}", *(f"part:{load.part.id}" for load in loads)),
        tuple(dict.fromkeys(fields)),
    )


def _overloads(boat: Boat, transfers: Sequence[TransferAnswer]) -> Iterator[Gap]:
    for each in transfers:
        rated = quantity(each.part, "continuous_w")
        if rated is not None and each.given_w > high(rated):
            text = tr("{name} is asked for {given} W and gives {rated} W for long.")
            said = text.format(
                name=boat.name(each.part), given=number_text(round(each.given_w)), rated=number_text(high(rated))
            )
            yield Gap("overloaded", said, (f"part:{each.part.id}",))


def _low_inputs(boat: Boat, elements: Elements, volts: Mapping[Node, complex]) -> Iterator[Gap]:
    for each in elements.transfers:
        lowest = quantity(each.part, "lowest_input_v")
        if lowest is None or each.a not in volts or each.b not in volts:
            continue
        over = abs(volts[each.a] - volts[each.b])
        if over < low(lowest):
            text = tr("{name} has {volts} V at its input and stops below {lowest} V.")
            said = text.format(
                name=boat.name(each.part), volts=number_text(round(over, 2)), lowest=number_text(low(lowest))
            )
            yield Gap("below-lowest-input", said, (f"part:{each.part.id}",))
