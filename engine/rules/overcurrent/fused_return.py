"""Is a return or an earth interrupted by a fuse or a breaker of its own?"""

from __future__ import annotations

from collections.abc import Iterator

from engine.electrics.sources import RULEBOOKS
from engine.graph.boat import Boat
from engine.model.network import Part
from engine.rules.api import Basis, Book, Outcome, Wording, breaks, meets, rule

BASIS = (
    Basis("33cfr183", "33 CFR 183.455, 2015 edition", "Protection belongs in ungrounded conductors.", "published"),
    Basis("e11", "ABYC E-11", "Protection belongs in ungrounded conductors; a grounding conductor is never broken.",
          "secondary"),
    Basis("iso13297", "ISO 13297:2020, 13.1.2", "A fuse only in the active conductor; no fuse in an earthed conductor, and the "
          "protective conductor never broken.", "published"),
)  # fmt: skip


@rule(
    "fused-return",
    title="Fuse or breaker in a return or an earth",
    books=RULEBOOKS,
    basis=BASIS,
    wordings={
        "in-return": Wording(
            severity="danger",
            sentence="{device} sits in a {pole} conductor: when it opens, the circuit stays live.",
            remedy="Move it to the live conductor and run the {pole} straight through.",
        ),
        "in-earth": Wording(
            severity="danger",
            sentence="{device} sits in an earth conductor ({pole}): when it opens, cases become live.",
            remedy="Take it out of the earth conductor.",
        ),
        "fused-neutral": Wording(
            severity="danger",
            sentence="{device} has a fuse in the {pole}: it can open alone and leave the circuit live.",
            remedy="Fuse the live conductor only, or fit a breaker that opens both together.",
        ),
    },
    needs="On which conductors each device sits.",
)
def fused_return(boat: Boat, book: Book) -> Iterator[Outcome]:
    """A fuse in the negative, the neutral or the protective earth opens the way back and leaves the way out live: the lamp
    is dark and the terminal still gives a shock or sparks against the engine. Only breakers that open all poles at once
    may stand in a neutral or a negative."""
    for part in boat.with_role("protection"):
        kind = boat.kind(part)
        if kind is not None and len(kind.inline) == 2:
            yield _sits_in(boat, part, {pole for port in kind.port for pole in port.poles})
    yield from _fused_poles(boat)


def _sits_in(boat: Boat, part: Part, own: set[str]) -> Outcome:
    """An in-line device none of whose poles any run brings sits in whatever the runs do bring."""
    landed = {
        pole for port in boat.ports(part) for run in boat.runs_at.get((part.id, port.name), ()) for pole in run.poles
    }
    if not landed or landed & own:
        return meets("in-return", f"part:{part.id}", device=boat.name(part))
    earth = landed <= {"PE", "BOND"}
    pole = ", ".join(sorted(landed))
    return breaks("in-earth" if earth else "in-return", f"part:{part.id}", device=boat.name(part), pole=pole)


def _fused_poles(boat: Boat) -> Iterator[Outcome]:
    for a, _, edge in boat.devices():
        if a[2] in ("N", "-", "PE", "BOND") and edge.part is not None:
            answer = breaks if edge.kind == "fuse" else meets
            yield answer("fused-neutral", edge.key, device=boat.name(boat.part_of(edge)), pole=a[2])
