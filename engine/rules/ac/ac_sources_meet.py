"""Rule ac-sources-meet."""

from __future__ import annotations

from collections.abc import Iterator

from engine.graph.boat import Boat
from engine.graph.positions import SearchTooLargeError
from engine.model.network import AC_LINES, Part
from engine.rules.ac.joints import meeting, positions_of
from engine.rules.ac.system import AcSource, AcSystem, ac_of, has_value
from engine.rules.api import Basis, Book, Outcome, Wording, breaks, cannot_tell, meets, rule


@rule(
    "ac-sources-meet",
    title="Two AC sources that can feed the same conductors",
    books=("e11", "iso13297"),
    basis=(
        Basis(
            "e11",
            "ABYC E-11, as a course and a marina page quote it",
            "Sources are not paralleled: the transfer breaks line and neutral before it makes.",
            "secondary",
        ),
        Basis(
            "iso13297",
            "ISO 13297",
            "Two sources are never in parallel: the change-over breaks every conductor, the neutral too, before making.",
            "memory",
        ),
    ),
    wordings={
        "meet": Wording(
            "danger",
            "{first} and {second} can feed the same conductor, with {position}.",
            "Put a selector with an interlock between them that connects one or the other, line and neutral.",
        ),
        "makes-first": Wording(
            "danger",
            "{selector} makes before it breaks: while it turns, its sources are joined.",
            "Use a selector that breaks before it makes.",
        ),
    },
    needs="The positions of selectors and relays, and whether each breaks before it makes.",
)
def ac_sources_meet(boat: Boat, book: Book) -> Iterator[Outcome]:
    """Two sources out of step destroy the smaller at once. Worse: a generator or inverter that meets the inlet makes the
    bare pins of the unplugged cord live."""
    yield from boat.derive(_outcomes)


def _outcomes(boat: Boat) -> tuple[Outcome, ...]:
    """The answers, which are the same under every rulebook."""
    return tuple(_each(ac_of(boat)))


def _each(ac: AcSystem) -> Iterator[Outcome]:
    boat = ac.boat
    sources = ac.of_kind("shore", "generator", "inverter", "transformer")
    for index, first in enumerate(sources):
        if sources[index + 1 :]:
            yield _search(ac, first, sources[index + 1 :])
    for selector in boat.with_role("switch"):
        if has_value(boat.kind(selector), "break_before_make") and _chooses(ac, selector):
            yield _makes_first(boat, selector)


def _search(ac: AcSystem, first: AcSource, others: tuple[AcSource, ...]) -> Outcome:
    subject = f"part:{first.part.id}"
    owner = {line: source for source in others for line in source.lines}
    goals = {line: source.needs for line, source in owner.items()}
    try:
        for line in first.lines:
            found = meeting(ac.line_positions, first, line, goals)
            if found is not None:
                way = ac.line_positions.way(line, found[0], found[1])
                told = _told(ac.boat, first, owner[found[0]])
                keys = tuple(dict.fromkeys(edge.key for edge in way))
                values = {**told, "position": positions_of(ac.boat, way, found[1])}
                subjects = (subject, f"part:{owner[found[0]].part.id}")
                return Outcome(verdict="breaks", code="meet", subjects=subjects, values=values, path=keys)
    except SearchTooLargeError:
        return cannot_tell("meet", subject, lacks=("the switches: too many ways",))
    return meets("meet", subject, *(f"part:{source.part.id}" for source in others))


def _told(boat: Boat, first: AcSource, second: AcSource) -> dict[str, str]:
    return {"first": boat.name(first.part), "second": boat.name(second.part)}


def _chooses(ac: AcSystem, selector: Part) -> bool:
    """Whether current comes to it and conductors are wired to two of its inputs."""
    inputs = [
        (selector.id, port.name, pole)
        for port in ac.boat.ports(selector)
        for pole in port.poles
        if pole in AC_LINES and port.name.startswith("in")
    ]
    wired = {node[1] for node in inputs if ac.is_wired(node)}
    return len(wired) > 1 and any(node in ac.reachable_from for node in inputs)


def _makes_first(boat: Boat, selector: Part) -> Outcome:
    said, subject = selector.values.get("break_before_make"), f"part:{selector.id}"
    if said is None:
        return cannot_tell("makes-first", subject, lacks=(f"{subject} break_before_make",))
    return meets("makes-first", subject) if said else breaks("makes-first", subject, selector=boat.name(selector))
