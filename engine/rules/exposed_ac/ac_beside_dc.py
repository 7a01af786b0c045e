"""Rule ac-beside-dc."""

from __future__ import annotations

from collections.abc import Iterator

from engine.graph.boat import Boat
from engine.messages import enumerated
from engine.model.network import Enclosure, Part
from engine.rules.api import Basis, Book, Outcome, Wording, breaks, cannot_tell, meets, rule
from engine.rules.exposed_ac.covers import WITH_TERMINALS, bare_by_kind, guard, has_poles, partition

DC = frozenset({"+", "-"})


@rule(
    "ac-beside-dc",
    title="AC and DC in one box with nothing between",
    books=("e11", "iso13297"),
    basis=(
        Basis(
            "e11",
            "ABYC E-11, as two boating magazines quote it",
            "On combined panels the AC terminals are behind a cover that needs a tool.",
            "secondary",
        ),
        Basis(
            "iso13297", "ISO 13297", "Where AC and DC share a panel, the AC section is apart from the DC one.", "memory"
        ),
        Basis(
            "e11", "an owners' page on renewing a panel", "AC and DC mixed behind one panel, no barrier.", "published"
        ),
        Basis("iso13297", "an owners' page on renewing a panel", "AC and DC mixed, no barrier.", "published"),
    ),
    wordings={
        "nothing-between": Wording(
            "danger",
            "{box} holds AC ({ac}) and DC ({dc}) live parts, with neither a partition between them nor a screwed guard "
            "over the AC.",
            "Fit a fixed partition in {box}, or a guard over its AC parts that comes off with a tool only.",
        )
    },
    needs="What is in each box, its partition and its guard.",
)
def ac_beside_dc(boat: Boat, book: Book) -> Iterator[Outcome]:
    """Behind a shared panel the hand that looks for a loose twelve-volt wire is an inch from the mains; a loose strand that
    bridges the two puts mains on every light switch aboard."""
    ac_parts = bare_by_kind(boat)
    for box in boat.network.enclosures:
        ac = [part for part in ac_parts if part.enclosure == box.id]
        dc = [part for part in boat.with_role("dc_panel", *WITH_TERMINALS) if part.enclosure == box.id]
        dc = [part for part in dc if has_poles(boat, part, DC)]
        if ac and dc:
            yield _answer(boat, box, ac, dc)


def _answer(boat: Boat, box: Enclosure, ac: list[Part], dc: list[Part]) -> Outcome:
    subjects = (f"box:{box.id}", *(f"part:{part.id}" for part in (*ac, *dc)))
    wall, guards = partition(ac, box), [guard(part, box) for part in ac]
    if wall.yes or all(each.yes for each in guards):
        return meets("nothing-between", *subjects)
    if wall.no and any(each.no for each in guards):
        names = [enumerated(boat.name(part) for part in parts) for parts in (ac, dc)]
        return breaks("nothing-between", *subjects, box=box.name, ac=names[0], dc=names[1])
    silent = (*wall.silent, *(field for each in guards for field in each.silent))
    return cannot_tell("nothing-between", *subjects, lacks=tuple(dict.fromkeys(silent)))
