"""Converters as the network sees them: a supply or valve at the side they feed, a draw at the side they take from.

What is drawn is what is given over the efficiency. In the worst corner an inverter draws it at its lowest input voltage.
Knows no matrix.
"""

from __future__ import annotations

from collections.abc import Iterator

import msgspec

from engine.electrics.sources import number_text
from engine.graph.boat import Boat, quantity
from engine.graph.poles import Edge, Node
from engine.model.network import AC_LINES, AC_POLES, Part
from engine.model.quantity import low
from engine.studies.ac import VOLTS, ac_supply
from engine.studies.conditions import Case, duty_of
from engine.studies.supplies import Supply, Valve, fall, regulated
from engine.studies.values import Corner, Figure, assumed, field_source, pick, shown


class Transfer(msgspec.Struct, frozen=True):
    """Power that crosses a converter: it draws between a and b what its `outputs` give, over `efficiency`.

    `at_v`: the voltage the draw is reckoned at where that is not the voltage it has; 0: the voltage it has.
    """

    part: Part
    a: Node
    b: Node
    efficiency: Figure
    supply: Supply | None
    source: Valve | None
    outlets: tuple[Valve, ...] = ()
    at_v: float = 0.0
    lacks: tuple[str, ...] = ()

    @property
    def output(self) -> Node:
        """The live pole it feeds."""
        return self.supply.b if self.supply else self.source.b if self.source else self.a

    @property
    def output_return(self) -> Node:
        """The return of what it feeds."""
        return self.supply.a if self.supply else self.source.a if self.source else self.b


def transfers(boat: Boat, part: Part, links: list[Edge], case: Case, corner: Corner) -> Iterator[Transfer]:
    """The transfers of one converter in a case: one for each of its inputs that feeds something."""
    duty = _duty(boat, part, links, case)
    live = [_ends(edge) for edge in links if _ends(edge)[1][2] not in ("-", "N")]
    for taken in dict.fromkeys(a for a, _ in live):
        fed = [b for a, b in live if a == taken]
        back = _returns(boat, part, links, taken, fed[0])
        if duty > 0 and back is not None:
            yield _transfer(boat, part, taken, fed, back, duty, corner)


def _ends(edge: Edge) -> tuple[Node, Node]:
    assert edge.part is not None
    assert edge.link is not None
    return (edge.part.id, *edge.link.a), (edge.part.id, *edge.link.b)


def _duty(boat: Boat, part: Part, links: list[Edge], case: Case) -> float:
    """A charger works where the case says so, also the one in an inverter/charger; other converters always."""
    from_ac = any(_ends(edge)[0][2] in AC_LINES and _ends(edge)[1][2] == "+" for edge in links)
    return case.duty.get(part.id, 0.0) if from_ac else duty_of(boat, part, case)


def _returns(boat: Boat, part: Part, links: list[Edge], taken: Node, fed: Node) -> tuple[Node, Node] | None:
    """The returns of the input and of the output: of the return link between the same ports, else the common negative."""
    pairs = [_ends(edge) for edge in links if _ends(edge)[1][2] in ("-", "N")]
    same = [pair for pair in pairs if pair[0][1] == taken[1] and pair[1][1] == fed[1]]
    same = same or [pair for pair in pairs if pair[0][1] == taken[1]]
    if same:
        return same[0]
    common = next((port.name for port in boat.ports(part) if port.poles == ("-",)), None)
    return ((part.id, common, "-"),) * 2 if common else None


def _transfer(
    boat: Boat, part: Part, taken: Node, fed: list[Node], back: tuple[Node, Node], duty: float, corner: Corner
) -> Transfer:
    efficiency = _efficiency(boat, part, taken, fed[0], corner)
    if fed[0][2] in AC_LINES:
        supply = _ac_output(boat, part, taken, back[1], fed[0], corner)
        lacks = () if supply else (f"part:{part.id} {_volts_field(part)}",)
        return Transfer(part, taken, back[0], efficiency, supply, None, (), _lowest_input(part, corner), lacks)
    return _charger(boat, part, taken, fed, back, duty, corner, efficiency)


def _charger(
    boat: Boat, part: Part, taken: Node, fed: list[Node], back: tuple[Node, Node], duty: float, corner: Corner,
    efficiency: Figure,
) -> Transfer:  # fmt: skip
    """One regulated source, and behind it a valve to each output where there are several."""
    node = fed[0] if len(fed) == 1 else (part.id, "#output", "+")
    source = regulated(boat, part, back[1], node, duty, corner)
    slope, known = assumed("diode_slope", corner, "low")
    ohm = Figure(slope / 1000, "ohm", f"{number_text(slope)} mΩ", (known,))
    none = Figure(0.0, "V", "outputs kept apart without loss")
    outlets = tuple(Valve(part, node, each, none, ohm, None) for each in fed) if len(fed) > 1 else ()
    return Transfer(part, taken, back[0], efficiency, None, source, outlets)


def _ac_output(boat: Boat, part: Part, taken: Node, back: Node, fed: Node, corner: Corner) -> Supply | None:
    """The AC side of an inverter (or transformer); an inverter/charger's AC voltage is in no field: by its region."""
    if taken[2] in AC_POLES or quantity(part, "output_v") is not None:
        supply = ac_supply(boat, part, back, fed, corner)
    else:
        supply = _usual_output(boat, part, back, fed)
    if supply is None or taken[2] not in AC_POLES:
        return supply
    amps = quantity(part, "output_a")
    rated = pick(amps, corner, "high") if amps is not None else 30.0
    return msgspec.structs.replace(supply, ohm=fall(abs(supply.emf.value), rated, "transformer_drop", corner))


def _usual_output(boat: Boat, part: Part, back: Node, fed: Node) -> Supply | None:
    """The AC voltage of the boat's own AC source, which an inverter/charger stands in for."""
    for other in boat.with_role("ac_source"):
        stated = quantity(other, "nominal_v")
        if stated is not None:
            volts = low(stated) if low(stated) <= 240 else low(stated) / 2
            emf = Figure(
                volts, "V", f"as {boat.name(other)}: {number_text(volts)} V", (field_source(boat, other, "nominal_v"),)
            )
            return Supply(part, back, fed, emf, fall(volts, 30.0, "generator_drop", "middle"))
    return None


def _volts_field(part: Part) -> str:
    return next((name for name in VOLTS if name in part.values), VOLTS[0])


def _lowest_input(part: Part, corner: Corner) -> float:
    stated = quantity(part, "lowest_input_v")
    return low(stated) if corner == "worst" and stated is not None else 0.0


def _efficiency(boat: Boat, part: Part, taken: Node, fed: Node, corner: Corner) -> Figure:
    stated = quantity(part, "efficiency_pct")
    if stated is not None:
        percent = pick(stated, corner, "high")
        return Figure(percent / 100, "", f"{shown(stated, percent)} %", (field_source(boat, part, "efficiency_pct"),))
    percent, source = assumed(_assumed_efficiency(part, taken, fed), corner, "high")
    return Figure(percent / 100, "", f"{number_text(percent)} % assumed", (source,))


def _assumed_efficiency(part: Part, taken: Node, fed: Node) -> str:
    if taken[2] in AC_POLES:
        return "transformer_efficiency" if fed[2] in AC_POLES else "charger_efficiency"
    if fed[2] in AC_POLES:
        return "inverter_efficiency"
    return "controller_efficiency" if part.kind == "charge_controller" else "dcdc_efficiency"
