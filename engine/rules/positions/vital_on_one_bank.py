"""Rule vital-on-one-bank."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from engine.graph.boat import Boat, quantity
from engine.graph.paths import way_keys
from engine.graph.poles import Node
from engine.messages import enumerated
from engine.model.network import Part
from engine.model.quantity import high, is_exact, low
from engine.rules.api import Basis, Book, Outcome, Wording, meets, rule
from engine.rules.bounds import judged
from engine.rules.positions.switches import all_closed

OF_THEIR_OWN = frozenset({"bilge_pump", "alarm_bilge", "alarm_gas", "alarm_smoke"})
"""Fed straight from one battery, past every switch: that is how it is done."""


@rule(
    "vital-on-one-bank",
    title="Vital loads that no switch can put on a second bank",
    books=("any",),
    basis=(Basis("any", "common practice, no source", "Vital loads can be put on another battery.", "practice"),),
    wordings={
        "one-bank": Wording(
            "advice",
            "{battery} alone can feed {loads}, in every position of the switches, though there is another bank aboard.",
            "Let a selector or a combining switch put them on the other bank as well.",
        )
    },
    needs="Which loads are vital; the voltage of the batteries, and the battery numbers of what is in parallel.",
)  # fmt: skip
def vital_on_one_bank(boat: Boat, book: Book) -> Iterator[Outcome]:
    """When a bank fails at sea, the lights, the radio and the engine's control should not go with it while a full battery
    stands beside them."""
    banks = _banks(boat)
    vital = [part for part in boat.with_role("load_dc") if _is_vital(part)]
    if len(banks) < 2 or not vital:
        return
    fed = _fed(boat, banks)
    lone: dict[str, list[Part]] = {}
    for part in vital:
        feeding = [bank for bank, nodes in fed.items() if not nodes.isdisjoint(boat.terminals_of(part, "+"))]
        if len(feeding) == 1:
            lone.setdefault(feeding[0], []).append(part)
        elif feeding:
            yield meets("one-bank", f"part:{part.id}")
    for bank, parts in lone.items():
        yield _judge(boat, banks[bank][0], [each for key, each in banks.items() if key != bank], parts)


def _banks(boat: Boat) -> Mapping[str, list[Part]]:
    """The batteries by bank: those with one number are one."""
    found: dict[str, list[Part]] = {}
    for battery in boat.batteries.values():
        number = battery.values.get("battery_number")
        found.setdefault(battery.id if number in (None, "") else f"number {number}", []).append(battery)
    return found


def _is_vital(part: Part) -> bool:
    return part.values.get("vital") is True and part.kind not in OF_THEIR_OWN


def _fed(boat: Boat, banks: Mapping[str, list[Part]]) -> Mapping[str, frozenset[Node]]:
    """What each bank can give to with every contact closed."""
    posts = {battery.id: node for node, battery in boat.batteries.items()}
    reach = all_closed(boat).reach
    return {
        bank: frozenset().union(*(reach(posts[part.id], gives=True) for part in parts)) for bank, parts in banks.items()
    }


def _judge(boat: Boat, battery: Part, others: list[list[Part]], loads: list[Part]) -> Outcome:
    """Another bank is of use only at the same voltage."""
    least, most = _volts(battery)
    spans = {other.id: _volts(other) for bank in others for other in bank}
    possible = [each for each, (low_v, high_v) in spans.items() if low_v <= most and least <= high_v]
    surely = [each for each in possible if spans[each] == (least, most) and least == most]
    unsaid = [each for each in (battery.id, *possible) if not is_exact(quantity(boat.parts[each], "nominal_v"))]
    names = [boat.name(part) for part in loads]
    more = f" and {len(names) - 4} more" if len(names) > 4 else ""
    return judged(
        "one-bank",
        (f"part:{battery.id}", *(f"part:{part.id}" for part in loads)),
        safe=not possible,
        hopeless=bool(surely),
        lacks=tuple(f"part:{each} nominal_v" for each in unsaid),
        values={"battery": boat.name(battery), "loads": enumerated(names[:4]) + more},
        path=way_keys(boat.wires, boat.terminals_of(loads[0], "+")[0], boat.batteries),
    )


def _volts(battery: Part) -> tuple[float, float]:
    volts = quantity(battery, "nominal_v")
    return low(volts, 0.0), high(volts)
