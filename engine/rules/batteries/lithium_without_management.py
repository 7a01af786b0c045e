"""Rule lithium-without-management."""

from __future__ import annotations

from collections.abc import Iterator

from engine.graph.boat import Boat, quantity
from engine.messages import enumerated
from engine.model.network import Part
from engine.model.quantity import high
from engine.rules.api import Basis, Book, Outcome, Parameter, Wording, breaks, cannot_tell, meets, rule
from engine.rules.bounds import judged

LITHIUM = "LiFePO4"
SMALL_WH = 600.0


@rule(
    "lithium-without-management",
    title="Lithium battery without management, warning or reserve",
    books=("e11", "iso13297"),
    basis=(
        Basis("e11", "ABYC E-13, as two battery makers quote it", "A lithium battery has a management system, and an alarm seen or "
              "heard before it cuts off. Another source for critical electronics is recommended.", "secondary"),
        Basis("iso13297", "ISO/TS 23625:2021, named by ISO 13297:2020+A1:2022 (scope read, the rest recalled)",
              "Above 600 Wh a management system guards voltage, current and temperature, with a warning before it disconnects.",
              "memory"),
    ),
    wordings={
        "unmanaged": Wording(
            "danger",
            "{battery} is a lithium battery without a management system.",
            "Use a battery with a management system that keeps every cell within its limits.",
        ),
        "no-alarm": Wording(
            "requirement",
            "{battery} cuts off without an alarm before.",
            "Fit an alarm, seen or heard at the helm, that comes before the management system disconnects.",
        ),
        "no-reserve": Wording(
            "advice",
            "{loads} hang on lithium batteries alone: when the management cuts off, they go dark together.",
            "Give them a second source, such as a lead-acid battery that takes over.",
        ),
    },
    parameters=(Parameter("small battery", SMALL_WH, "Wh", "ISO/TS 23625:2021, scope", "secondary"),),
    needs="The chemistry of each battery; of a lithium one its management system and alarm, and its voltage and capacity.",
)  # fmt: skip
def lithium_without_management(boat: Boat, book: Book) -> Iterator[Outcome]:
    """An overcharged lithium cell burns, and what stops that is the management system. What it does is disconnect, without
    asking whether the boat is on a lee shore; so it must warn first, and the radio must not depend on it alone."""
    batteries = [part for part in boat.with_role("battery") if not (book == "iso13297" and _is_small(part))]
    for part in batteries:
        yield from _judge(boat, part)
    yield from _reserve(boat, batteries)


def _is_small(part: Part) -> bool:
    return high(quantity(part, "nominal_v")) * high(quantity(part, "capacity_ah")) <= SMALL_WH


def _judge(boat: Boat, part: Part) -> Iterator[Outcome]:
    key, chemistry = f"part:{part.id}", part.values.get("chemistry")
    if chemistry is None:
        yield cannot_tell("unmanaged", key, lacks=(f"{key} chemistry",))
    elif chemistry != LITHIUM:
        yield meets("unmanaged", key)
    else:
        for code, field in (("unmanaged", "management"), ("no-alarm", "cutoff_alarm")):
            value = part.values.get(field)
            yield judged(code, (key,), safe=value is True, hopeless=value is False, lacks=(f"{key} {field}",),
                         values={"battery": boat.name(part)})  # fmt: skip


def _reserve(boat: Boat, batteries: list[Part]) -> Iterator[Outcome]:
    """Asked where every battery is known to be a lithium one."""
    vital = [part for part in boat.with_role("load_dc") if part.values.get("vital") is True or part.kind == "radio"]
    if not batteries or not vital or any(part.values.get("chemistry") != LITHIUM for part in batteries):
        return
    keys = (f"part:{batteries[0].id}", *(f"part:{part.id}" for part in vital))
    yield breaks("no-reserve", *keys, loads=enumerated(boat.name(part) for part in vital[:4]))
