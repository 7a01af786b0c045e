"""Rule single-pole-main."""

from __future__ import annotations

from collections.abc import Iterator

from engine.graph.boat import Boat
from engine.graph.listed import edges_of
from engine.rules.ac.leads import Lead, main_of
from engine.rules.ac.system import AcSource, ac_of
from engine.rules.api import Basis, Book, Outcome, Wording, breaks, cannot_tell, meets, rule


@rule(
    "single-pole-main",
    title="Main shore breaker that leaves a conductor connected",
    books=("e11", "iso13297"),
    basis=(
        Basis(
            "e11",
            "ABYC E-11, as two electricians quote it",
            "The main opens all current-carrying conductors at once: line and neutral on 120 V, both lines on 120/240 V.",
            "secondary",
        ),
        Basis(
            "iso13297", "ISO 13297:2020 13.2.1", "Supply circuits have a simultaneous double-pole breaker.", "published"
        ),
    ),
    wordings={
        "single-pole": Wording(
            "danger",
            "{device}, the main of {inlet}, opens {opens} only and leaves {leaves} connected to shore.",
            "Use a breaker that opens {wanted} together.",
        )
    },
)
def single_pole_main(boat: Boat, book: Book) -> Iterator[Outcome]:
    """A dock wired the wrong way round makes the neutral the live one. A main that opens one pole then leaves the whole
    boat alive while its handle says off."""
    ac = ac_of(boat)
    for inlet in ac.of_kind("shore"):
        lead = main_of(ac, inlet)
        if lead and lead.edge and lead.edge.kind == "breaker":
            yield _answer(boat, inlet, lead)


def _answer(boat: Boat, inlet: AcSource, lead: Lead) -> Outcome:
    lines = sorted(node[2] for node in inlet.lines)
    wanted = lines if len(lines) > 1 else [*lines, "N"]
    opens = sorted(
        {edge.pole for _, _, edge in edges_of(boat.graph) if edge.kind == "breaker" and edge.key == lead.key}
    )
    leaves = [pole for pole in wanted if pole not in opens]
    panel = boat.parts[lead.node[0]]
    subjects = (lead.key, f"part:{inlet.part.id}")
    if (
        leaves
        and lead.key == f"part:{panel.id}"
        and boat.role(panel) == "ac_panel"
        and panel.values.get("main_poles") is None
    ):
        return cannot_tell("single-pole", *subjects, lacks=(f"part:{panel.id} main_poles",))
    if not leaves:
        return meets("single-pole", *subjects)
    return breaks(
        "single-pole", *subjects, device=boat.name(panel), inlet=boat.name(inlet.part),
        opens=" and ".join(opens), leaves=" and ".join(leaves), wanted=" and ".join(wanted),
    )  # fmt: skip
