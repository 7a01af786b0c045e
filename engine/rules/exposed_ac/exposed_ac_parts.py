"""Rule exposed-ac-parts."""

from __future__ import annotations

from collections.abc import Iterator

from engine.graph.boat import Boat
from engine.model.network import Enclosure, Part
from engine.rules.api import Basis, Book, Outcome, Wording, breaks, cannot_tell, meets, rule
from engine.rules.exposed_ac.covers import bare_by_kind, guard


@rule(
    "exposed-ac-parts",
    title="AC live parts that a hand can reach",
    books=("e11", "iso13297"),
    basis=(
        Basis(
            "e11",
            "ABYC E-11, as two boating magazines quote it",
            "Live AC terminals above 50 V are in an enclosure or behind a cover that needs a tool, on combined panels too.",
            "secondary",
        ),
        Basis("iso13297", "ISO 13297", "Live parts of an AC panel are reached only with a tool.", "memory"),
    ),
    wordings={
        "opens-by-hand": Wording(
            "danger",
            "{part}: {box} opens by hand, and no guard that needs a tool covers the AC live parts in it.",
            "Fit a screwed guard over the AC terminals of {part}, or fasten {box} so that it opens with a tool only.",
        ),
        "uncovered": Wording(
            "danger",
            "{part} has AC terminals that nothing covers.",
            "Put {part} in a box that opens with a tool only, or fit a screwed guard over it.",
        ),
    },
    needs="For each AC panel, terminal block, bus, breaker, selector and AC meter: its box, how that opens, and the guard.",
)
def exposed_ac_parts(boat: Boat, book: Book) -> Iterator[Outcome]:
    """Someone opens the panel to change a fuse at anchor, and the shore cord is still in. Mains terminals behind a door
    that opens by hand have killed people who thought they were working on twelve volts."""
    for part in bare_by_kind(boat):
        box = boat.enclosures.get(part.enclosure)
        yield _in_box(boat, part, box) if box else _without_box(boat, part)


def _in_box(boat: Boat, part: Part, box: Enclosure) -> Outcome:
    subjects = (f"part:{part.id}", f"box:{box.id}")
    cover = guard(part, box)
    if box.opens == "tool" or cover.yes:
        return meets("opens-by-hand", *subjects)
    if box.opens == "hand" and cover.no:
        return breaks("opens-by-hand", *subjects, part=boat.name(part), box=box.name)
    lacks = () if box.opens else (f"box:{box.id} opens",)
    return cannot_tell("opens-by-hand", *subjects, lacks=(*lacks, *cover.silent))


def _without_box(boat: Boat, part: Part) -> Outcome:
    """Without a box stated, the part's own guard and cover speak; a cover alone may come off by hand."""
    cover = guard(part, None)
    bare = any(part.values.get(field) is False for field in ("back_cover", "cover"))
    if bare or cover.no:
        return breaks("uncovered", f"part:{part.id}", part=boat.name(part))
    if cover.yes and part.values.get("back_cover") is True:
        return meets("uncovered", f"part:{part.id}")
    return cannot_tell("uncovered", f"part:{part.id}", lacks=(f"part:{part.id} enclosure",))
