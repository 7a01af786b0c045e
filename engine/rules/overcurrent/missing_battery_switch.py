"""Can each battery be disconnected from what it feeds?"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from operator import itemgetter

from engine.graph.boat import Boat, quantity
from engine.graph.poles import Edge, Node
from engine.graph.sources import Source
from engine.messages import enumerated
from engine.model.network import Part
from engine.model.quantity import high, low
from engine.rules.api import Basis, Book, Outcome, Parameter, Wording, rule
from engine.rules.bounds import judged

LARGE_CCA_A, LARGE_AH = 800.0, 100.0
SWITCHES = frozenset({
    "battery_switch", "battery_switch_2", "battery_selector", "dual_switch", "remote_battery_switch", "contactor",
    "bms_disconnect",
})  # fmt: skip
ALWAYS_LIVE = frozenset({"bilge_pump", "alarm_bilge", "alarm_gas", "alarm_smoke", "blower"})

BASIS = (
    Basis("e11", "ABYC E-11", "A battery switch in the positive of each battery or bank over 800 CCA, or over 100 Ah where the CCA "
          "is not known. Bilge pumps, alarms, blowers, chargers and memories may be ahead of it, inverters may not.",
          "secondary"),
    Basis("iso13297", "ISO 10133:2012, clause 6", "A switch in the positive of every battery or group; memories, bilge pumps, "
          "alarms and safety devices may be ahead of it with a fuse of their own.", "memory"),
)  # fmt: skip


@rule(
    "missing-battery-switch",
    title="Battery that cannot be disconnected",
    books=("e11", "iso13297"),
    basis=BASIS,
    wordings={
        "no-switch": Wording(
            severity="requirement",
            sentence="{battery} feeds {loads} with no battery switch between.",
            remedy="Put a battery switch in the positive conductor of {battery}, or connect the circuit behind it.",
        ),
        "inverter-ahead": Wording(
            severity="requirement",
            sentence="{loads} is connected to {battery} ahead of the battery switch.",
            remedy="Connect the inverter behind the battery switch.",
        ),
    },
    parameters=(
        Parameter("large battery", LARGE_CCA_A, "CCA", "ABYC E-11, quoted by a chandler", "secondary"),
        Parameter("large battery without CCA", LARGE_AH, "Ah", "ABYC E-11, quoted by a chandler", "secondary"),
    ),
    needs="CCA or capacity of each battery; of small loads ahead of the switch whether they are for 24 hours.",
)
def missing_battery_switch(boat: Boat, book: Book) -> Iterator[Outcome]:
    """In a fire, and before work on the wiring, the batteries must be cut off by hand in a second. What must never go dead,
    bilge pumps, alarms, memories, may stay ahead of the switch; chargers too. All else belongs behind it."""
    for source in boat.sources:
        if source.kind == "battery":
            yield from _judge(boat, source, book)


def is_switch(edge: Edge) -> bool:
    """A contact of something that disconnects a battery."""
    return edge.kind == "contact" and edge.part is not None and edge.part.kind in SWITCHES


def _judge(boat: Boat, source: Source, book: Book) -> Iterator[Outcome]:
    surely, possibly, lacks = _is_large(source.part, book)
    ahead = boat.reached(source.live, "up to what disconnects", is_switch)
    behind = _belonging_behind(boat)
    loads = list(
        {
            part.id: part for _, part in sorted((behind[node] for node in behind.keys() & ahead), key=itemgetter(0))
        }.values()
    )
    inverters = [part for part in loads if boat.role(part) == "converter"]
    others = [part for part in loads if part not in inverters]
    for code, parts in (("no-switch", others), ("inverter-ahead", inverters)):
        if parts or code == "no-switch":
            yield judged(
                code,
                (f"part:{source.part.id}", *(f"part:{part.id}" for part in parts)),
                safe=not parts or not possibly,
                hopeless=surely,
                lacks=lacks,
                values={"battery": boat.name(source.part), "loads": _names(boat, parts)},
            )


def _is_large(battery: Part, book: Book) -> tuple[bool, bool, tuple[str, ...]]:
    """(surely, possibly, missing fields) whether the battery needs a switch."""
    if book == "iso13297":
        return True, True, ()
    cca, ah = quantity(battery, "cca_a"), quantity(battery, "capacity_ah")
    if cca is not None:
        return low(cca) > LARGE_CCA_A, high(cca) > LARGE_CCA_A, (f"part:{battery.id} cca_a",)
    return low(ah, 0.0) > LARGE_AH, high(ah) > LARGE_AH, (f"part:{battery.id} capacity_ah",)


def _belonging_behind(boat: Boat) -> Mapping[Node, tuple[int, Part]]:
    """What must be behind a switch, by each of its terminals, with its place in the list of all that is fed."""
    return boat.carry_records("belonging behind a switch", lambda: {
        node: (place, part)
        for place, (a, b, edge) in enumerate(boat.inside("load", "converter"))
        if _belongs_behind(boat.role(part := boat.part_of(edge)), part)
        for node in (a, b)
    })  # fmt: skip


def _belongs_behind(role: str, part: Part) -> bool:
    if role == "converter":
        return part.kind.startswith("inverter")
    return role == "starter" or (role == "load_dc" and not _may_stay(part))


def _may_stay(part: Part) -> bool:
    return part.kind in ALWAYS_LIVE or part.values.get("around_the_clock") is True


def _names(boat: Boat, parts: list[Part]) -> str:
    named = [boat.name(part) for part in parts[:4]]
    more = len(parts) - len(named)
    return enumerated(named) + (f" and {more} more" if more else "") if named else "nothing"
