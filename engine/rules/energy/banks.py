"""Which batteries something is wired to, and what of them is not known: shared by the rules of this family."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from engine.graph.boat import Boat, quantity
from engine.graph.listed import Web, web_of
from engine.graph.paths import reach
from engine.graph.poles import Edge, Node
from engine.model.network import Part
from engine.model.quantity import high, is_exact, low
from engine.rules.bounds import Bound
from engine.studies.estimate import Estimate, value_of

BETWEEN = frozenset({"contact", "blocking"})
CHEMISTRIES = ("flooded", "AGM", "gel", "LiFePO4")


def batteries_at(boat: Boat, nodes: Sequence[Node]) -> tuple[Part, ...]:
    """The batteries that something is wired to: those with the fewest switches, relays and diodes between."""
    posts = boat.batteries
    web, seen, fringe = web_of(boat.wires), set(nodes), list(nodes)
    while fringe:
        behind = _spread(web, seen, fringe)
        if found := [part for post, part in posts.items() if post in seen]:
            return tuple(found)
        fringe = [node for node in behind if node not in seen]
        seen.update(fringe)
    return ()


def _spread(web: Web, seen: set[Node], fringe: Sequence[Node]) -> dict[Node, None]:
    """Adds to what is seen all that hangs together with the fringe without a switch; gives what lies behind the next ones."""
    queue, behind = list(fringe), dict[Node, None]()
    while queue:
        for other, edge in web.get(queue.pop(), ()):
            if edge.kind in BETWEEN:
                behind[other] = None
            elif edge.kind != "bond" and other not in seen:
                seen.add(other)
                queue.append(other)
    return behind


def joined_alone(boat: Boat, batteries: Sequence[Part]) -> tuple[Part, ...]:
    """The batteries, and those that a relay joins to them by itself while they are charged."""
    posts = boat.batteries
    ours = [post for post, part in posts.items() if part in batteries]
    reached = reach(
        boat.wires, ours, lambda edge: edge.kind == "bond" or (edge.kind in BETWEEN and not _joins_alone(edge))
    )
    return tuple(part for post, part in posts.items() if post in reached)


def _joins_alone(edge: Edge) -> bool:
    return edge.part is not None and edge.part.kind == "combining_relay"


def live_ends(boat: Boat, part: Part, kind: str) -> list[Node]:
    """The positive terminals at which a converter or source gives current, or at which a load takes it."""
    links = [link for link in boat.links(part) if link.kind == kind]
    ends = ((part.id, *(link.a if kind == "load" else link.b)) for link in links)
    return [end for end in ends if end[2] == "+"]


def stated(part: Part, name: str) -> Bound:
    """A value of a part between its bounds."""
    value = quantity(part, name)
    return Bound(low(value, 0.0), high(value), () if is_exact(value) else (f"part:{part.id} {name}",))


def summed(batteries: Sequence[Part], name: str, share: Callable[[Estimate], float]) -> tuple[Bound, Bound]:
    """Capacity times a general value of each battery's chemistry, summed: with the least favourable chemistry where that is
    not known (the larger sum), and with the most favourable (the smaller)."""
    lacks, larger, smaller = list[str](), [0.0, 0.0], [0.0, 0.0]
    for part in batteries:
        capacity = stated(part, "capacity_ah")
        shares = [share(value_of(name, kind)) for kind in _kinds(part)]
        lacks += [*capacity.lacks, *([] if len(shares) == 1 else [f"part:{part.id} chemistry"])]
        for sums, factor in ((larger, max(shares)), (smaller, min(shares))):
            sums[0] += capacity.least * factor
            sums[1] += capacity.most * factor
    return Bound(larger[0], larger[1], tuple(lacks)), Bound(smaller[0], smaller[1], tuple(lacks))


def _kinds(part: Part) -> tuple[str, ...]:
    chemistry = part.values.get("chemistry")
    return (str(chemistry),) if chemistry in CHEMISTRIES else CHEMISTRIES


def names(boat: Boat, batteries: Sequence[Part]) -> str:
    """The batteries by name."""
    return " + ".join(boat.name(part) for part in batteries)


def keys(part: Part, batteries: Sequence[Part]) -> tuple[str, ...]:
    """The subjects: the thing itself, then the batteries."""
    return (f"part:{part.id}", *(f"part:{each.id}" for each in batteries))
