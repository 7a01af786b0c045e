"""Rule banks-meet-in-use."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import combinations

import msgspec

from engine.graph.boat import Boat
from engine.graph.listed import graph_of, keyed_edges_of
from engine.graph.poles import Edge, Node
from engine.graph.positions import Needs, Positions, SearchTooLargeError, needs_of
from engine.model.network import Part
from engine.rules.api import Basis, Book, Outcome, Wording, cannot_tell, meets, rule
from engine.rules.positions.joiners import JOINING_STATES, joiners
from engine.rules.positions.switches import TOO_MANY, position

Pair = tuple[Node, Node]


@rule(
    "banks-meet-in-use",
    title="Two banks that meet while no switch is set to join them",
    books=("any",),
    basis=(
        Basis("any", "published survey and refit reports", "Banks joined by mistake discharge together; a flat one draws on the "
              "full one through whatever wire joins them.", "published"),
    ),
    wordings={
        "meet": Wording(
            "requirement",
            "{first} and {second} meet at {place}, with {position}, though no switch is set to join them.",
            "Feed {place} from one bank, or from both through a selector, a combining switch or diodes.",
        )
    },
    needs="The positions of the switches. Batteries in parallel are one bank: give them the same battery number. A switch or "
    "contactor between two banks is taken to be there to join them where each has a switch of its own besides.",
)  # fmt: skip
def banks_meet_in_use(boat: Boat, book: Book) -> Iterator[Outcome]:
    """Two banks that meet in a panel or at a pump are one bank without anybody knowing: the fuse between them was chosen for
    the pump, and the charged battery pours into the flat one through it."""
    posts = {node: battery.id for node, battery in boat.batteries.items()}
    pairs = [pair for pair in combinations(posts, 2) if not _is_one_bank(boat, posts[pair[0]], posts[pair[1]])]
    close = _close(boat, posts) if pairs else {}
    search = None
    for first, second in pairs:
        if second not in close[first]:
            yield meets("meet", f"part:{posts[first]}", f"part:{posts[second]}")
        elif second not in boat.at_rest(first):  # else joined-banks tells of them
            search = search or Positions(graph_of((), _apart(boat)))
            yield _search(boat, search, (first, second))


def _is_one_bank(boat: Boat, first: str, second: str) -> bool:
    number = boat.parts[first].values.get("battery_number")
    return number not in (None, "") and number == boat.parts[second].values.get("battery_number")


def _close(boat: Boat, posts: Mapping[Node, str]) -> Mapping[Node, frozenset[Node]]:
    """What each battery could meet if every switch that is not there to join stood in all its positions at once."""
    joining = joiners(boat)
    name = f"without {sorted(joining)}"
    return {post: boat.reached(post, name, lambda edge: _parted(edge, joining) is None) for post in posts}


def _apart(boat: Boat) -> Iterator[tuple[Node, Node, str, Edge]]:
    """The positive wiring without what joins banks on purpose; diodes pass nothing back."""
    joining = joiners(boat)
    for a, b, key, edge in keyed_edges_of(boat.wires):
        kept = _parted(edge, joining) if a[2] == "+" else None
        if kept is not None:
            yield a, b, key, kept


def _parted(edge: Edge, joining: frozenset[str]) -> Edge | None:
    """The edge without the positions that are there to join; None where nothing is left of it."""
    if edge.kind == "blocking":
        return None
    if edge.kind != "contact" or edge.part is None or edge.link is None or not edge.link.states:
        return edge
    states = tuple(state for state in edge.link.states if state not in JOINING_STATES)
    if not states or edge.part.id in joining:
        return None
    return msgspec.structs.replace(edge, link=msgspec.structs.replace(edge.link, states=states))


def _search(boat: Boat, positions: Positions, pair: Pair) -> Outcome:
    start, goal = pair
    subjects = (f"part:{start[0]}", f"part:{goal[0]}")
    try:
        for group, needs in positions.reach(start, {}):
            if group == positions.group(goal):
                return _met(boat, positions.way(start, goal, needs), needs, pair)
    except SearchTooLargeError:
        return cannot_tell("meet", *subjects, lacks=TOO_MANY)
    return meets("meet", *subjects)


def _met(boat: Boat, way: tuple[Edge, ...], needs: Needs, pair: Pair) -> Outcome:
    told = dict(needs)
    for edge in way:
        for part, states in needs_of(edge).items():
            told[part] = told.get(part, states) & states
    first, second = (boat.parts[node[0]] for node in pair)
    values = {
        "first": boat.name(first), "second": boat.name(second), "place": _place(boat, way, first, second),
        "position": position(boat, told),
    }  # fmt: skip
    keys = tuple(dict.fromkeys(edge.key for edge in way))
    subjects = (f"part:{first.id}", f"part:{second.id}", *(f"part:{part}" for part in told))
    return Outcome(verdict="breaks", code="meet", subjects=subjects, values=values, path=keys)


def _place(boat: Boat, way: tuple[Edge, ...], first: Part, second: Part) -> str:
    """What stands between the first and the last switch on the way: where the two come together."""
    at = [number for number, edge in enumerate(way) if edge.kind == "contact"]
    between = way[at[0] + 1 : at[-1]] if len(at) > 1 else way
    ends = [end.part for edge in between if edge.run is not None for end in (edge.run.a, edge.run.b)]
    switches = {edge.part.id for edge in way if edge.kind == "contact" and edge.part is not None}
    named = [part for part in dict.fromkeys(ends) if part not in {first.id, second.id, *switches}]
    return boat.name(boat.parts[named[len(named) // 2]]) if named else "their cable"
