"""Rule engines-not-joined."""

from __future__ import annotations

from collections.abc import Iterator

import networkx as nx

from engine.graph.boat import Boat
from engine.graph.listed import edges_of
from engine.graph.poles import Node
from engine.model.network import Part
from engine.rules.api import Basis, Book, Outcome, Wording, cannot_tell, meets, rule
from engine.rules.bounds import judged, size_field, size_of

SAME = 1 - 1e-9


@rule(
    "engines-not-joined",
    title="Engines whose starters' returns are not joined",
    books=("33cfr183",),
    basis=(
        Basis(
            "33cfr183",
            "33 CFR 183.415, 2015 edition",
            "Grounded cranking circuits of several petrol engines are joined by a common conductor that carries the starting "
            "current of each.",
            "published",
        ),
    ),
    wordings={
        "not-joined": Wording(
            "danger",
            "{first} and {second} have no common return as large as the starter cable, {size}.",
            "Join the two engines' negative terminals by a conductor of {size} or more.",
        )
    },
    needs="Whether each starter is earthed by its case, and the sizes of starter cables and returns.",
)
def engines_not_joined(boat: Boat, book: Book) -> Iterator[Outcome]:
    """When one engine's ground strap fails, its starter current goes home through the other engine by whatever joins them:
    a control cable, a fuel line, a thin bond that glows in the bilge."""
    starters = [part for part in boat.with_role("starter") if part.values.get("return") != "isolated"]
    if not starters:
        return
    for second in starters[1:]:
        untold = [part for part in (starters[0], second) if part.values.get("return") is None]
        yield _judge(boat, starters[0], second, tuple(f"part:{part.id} return" for part in untold))
    if len(starters) == 1:
        yield meets("not-joined", f"part:{starters[0].id}")


def _judge(boat: Boat, first: Part, second: Part, untold: tuple[str, ...]) -> Outcome:
    keys = (f"part:{first.id}", f"part:{second.id}")
    cables = [run for part in (first, second) for run in boat.runs_at.get((part.id, "pos"), ()) if "+" in run.poles]
    sizes = [size for run in cables if (size := size_of(run, "+")) is not None]
    lacks = tuple(size_field(run, "+") for run in cables if size_of(run, "+") is None)
    if lacks or not sizes:
        return cannot_tell("not-joined", *keys, lacks=lacks or untold or (f"{keys[0]} pos",))
    largest = max(sizes, key=lambda size: size.area_mm2)
    ends = [(part.id, "case", "-") for part in (first, second)]
    possibly, unsized = _joined(boat, ends, largest.area_mm2, unknown_serves=True)
    surely, _ = _joined(boat, ends, largest.area_mm2, unknown_serves=False)
    return judged("not-joined", keys, safe=surely, hopeless=not possibly and not untold, lacks=(*unsized, *untold),
                  values={"first": boat.name(first), "second": boat.name(second), "size": largest.name})  # fmt: skip


def _joined(boat: Boat, ends: list[Node], area_mm2: float, unknown_serves: bool) -> tuple[bool, tuple[str, ...]]:
    """Whether negative conductors of at least that area join the ends; and the fields of those whose size is unknown."""
    graph: nx.Graph = nx.Graph()
    graph.add_nodes_from(ends)
    unsized: list[str] = []
    for a, b, edge in edges_of(boat.wires):
        if a[2] != "-" or b[2] != "-":
            continue
        size = size_of(boat.run_of(edge), "-") if edge.run is not None else None
        if edge.run is not None and size is None:
            unsized.append(size_field(boat.run_of(edge), "-"))
        if edge.run is None or (size.area_mm2 >= area_mm2 * SAME if size else unknown_serves):
            graph.add_edge(a, b)
    return nx.has_path(graph, *ends), tuple(dict.fromkeys(unsized))
