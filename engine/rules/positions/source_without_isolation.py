"""Rule source-without-isolation."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from engine.graph.boat import Boat
from engine.graph.listed import edges_of, web_of
from engine.graph.paths import reach, way_keys
from engine.graph.poles import Edge, Node
from engine.messages import enumerated
from engine.model.network import Part
from engine.rules.api import Basis, Book, Outcome, Wording, rule
from engine.rules.bounds import judged

OPENS = frozenset({"fuse", "breaker", "contact"})
USES = frozenset({"load", "converter", "source"})
KINDS = frozenset({"solar_array", "wind_generator", "dc_genset", "generator", "generator_split"})
WORKED = frozenset({"relay", "contactor", "bms_disconnect", "low_voltage_disconnect"})
"""Contacts that something else works: a hand can open them only where the part says so."""
OUT_OF_REACH = frozenset({"combining_relay", "transfer_relay", "inverter_charger"})
"""Contacts that no hand opens at all."""


@rule(
    "source-without-isolation",
    title="Source that nothing can part from what it feeds",
    books=("any",),
    basis=(
        Basis("any", "common practice, no source", "Every source can be parted from the wiring by hand: a switch, a breaker or a "
              "fuse that comes out.", "practice"),
    ),
    wordings={
        "no-isolation": Wording(
            "advice",
            "Nothing that a hand can open stands between {source} and {fed}.",
            "Put a breaker or a switch between {source} and {fed}.",
        )
    },
    needs="How sources are wired; whether a generator has a breaker of its own, and a relay in the way can be worked by hand. "
    "Batteries are asked by missing-battery-switch, shore inlets by inlet-without-main, alternators stop with their engine.",
)  # fmt: skip
def source_without_isolation(boat: Boat, book: Book) -> Iterator[Outcome]:
    """The sun cannot be switched off, and a generator may be started by somebody else. Who works on what they feed needs a
    place where they are cut off."""
    lives: dict[str, list[Node]] = {}
    for source in boat.sources:
        if source.part.kind in KINDS:
            lives.setdefault(source.part.id, []).append(source.live)
    for part_id, nodes in lives.items():
        if any(web_of(boat.wires).get(node) for node in nodes):
            yield _judge(boat, boat.parts[part_id], nodes)


def _judge(boat: Boat, part: Part, lives: list[Node]) -> Outcome:
    """At best what may be opened by hand can be, and a generator that may have a breaker has one; at worst neither."""
    own = _own_breaker(boat, part)
    far, near = (reach(boat.wires, lives, partial(opens, boat)) for opens in (_surely_opens, _may_open))
    worst, best = _used(boat, part, far), _used(boat, part, near)
    unsaid = (
        ()
        if best
        else (edge.part.id for _, _, edge in edges_of(boat.wires) if edge.part and _is_unsaid(boat, edge, far))
    )
    named = list(dict.fromkeys(node[0] for node in best or worst))
    return judged(
        "no-isolation",
        (f"part:{part.id}", *(f"part:{each}" for each in named)),
        safe=own is True or not worst,
        hopeless=own is False and bool(best),
        lacks=(
            *(() if own is False else (f"part:{part.id} own_breaker",)),
            *(f"part:{each} manual_override" for each in unsaid),
        ),
        values={"source": boat.name(part), "fed": enumerated(boat.name(boat.parts[each]) for each in named[:3])},
        path=tuple(dict.fromkeys(key for live in lives for key in way_keys(boat.wires, live, best or worst))),
    )


def _own_breaker(boat: Boat, part: Part) -> bool | None:
    """Whether the source has a breaker in itself; None where it could have one and that is not said."""
    kind = boat.kind(part)
    can = kind is not None and any(value.name == "own_breaker" for value in kind.value)
    said = part.values.get("own_breaker")
    return said if isinstance(said, bool) else None if can else False


def _surely_opens(boat: Boat, edge: Edge) -> bool:
    return _by_hand(boat, edge) is True


def _may_open(boat: Boat, edge: Edge) -> bool:
    return _by_hand(boat, edge) is not False


def _by_hand(boat: Boat, edge: Edge) -> bool | None:
    """Whether a hand can open the edge; None where the drawing does not say."""
    if edge.kind not in OPENS or edge.part is None or (edge.kind == "contact" and edge.part.kind in OUT_OF_REACH):
        return False
    if edge.kind != "contact" or edge.part.kind not in WORKED:
        return True
    said = boat.part_of(edge).values.get("manual_override")
    return said if isinstance(said, bool) else None


def _is_unsaid(boat: Boat, edge: Edge, reached: set[Node]) -> bool:
    """Whether it is a contact in the reach of the source that a hand may or may not open."""
    part, link = edge.part, edge.link
    return _by_hand(boat, edge) is None and part is not None and link is not None and (part.id, *link.a) in reached


def _used(boat: Boat, part: Part, nodes: set[Node]) -> list[Node]:
    """The nodes at which something else takes or gives energy."""
    web = web_of(boat.graph)
    return sorted(node for node in nodes if node[0] != part.id and any(edge.kind in USES for _, edge in web[node]))
