"""What is true of every document, whatever was done to it. Structure only: whether a boat is safe is for the rules."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Collection, Iterable, Iterator, Sequence

import msgspec

from engine.model.document import Document
from engine.model.network import POLES, Network, Part, Run
from engine.model.sheets import Sheet

PortNames = Callable[[Part], Collection[str]]
"""The names of a part's ports; the library knows them."""


class Problem(msgspec.Struct, frozen=True):
    """One thing that must not be: a code, the record it is about, and what was found there."""

    code: str
    record: str
    found: str = ""


def problems(document: Document, ports: PortNames | None = None) -> tuple[Problem, ...]:
    """Everything that must not be in a document; with `ports`, also runs that land on a port that is not there."""
    found = [
        *_ids(document),
        *_runs(document.network),
        *lost_ends(document, ports),
        *_positions(document),
        *(problem for sheet in document.sheets for problem in _sheet(document, sheet)),
        *_mentions(document),
        *_answers(document.network),
        *_deviations(document.network),
    ]
    return tuple(found)


def _ids(document: Document) -> Iterator[Problem]:
    network = document.network
    groups = (network.parts, network.runs, network.compartments, network.enclosures, network.options)
    ids = [record.id for group in (*groups, network.conditions, document.sheets) for record in group]
    ids += [note.id for sheet in document.sheets for note in sheet.notes]
    yield from (Problem("id-twice", one) for one in _repeated(ids))
    for one in ids:
        number = one.lstrip("abcdefghijklmnopqrstuvwxyz")
        if number.isdecimal() and int(number) >= document.next_id:
            yield Problem("id-not-counted", one, str(document.next_id))


def _runs(network: Network) -> Iterator[Problem]:
    wrong = {poles for poles in {run.poles for run in network.runs} if not _can_be(poles)}
    for run in network.runs:
        if run.poles in wrong or len(run.colours) not in (0, len(run.poles)) or run.a == run.b:
            yield from _run(run)


def _can_be(poles: tuple[str, ...]) -> bool:
    return bool(poles) and set(poles) <= set(POLES) and not _repeated(poles)


def _run(run: Run) -> Iterator[Problem]:
    if not _can_be(run.poles):
        yield Problem("poles", run.id, " ".join(run.poles))
    if len(run.colours) not in (0, len(run.poles)):
        yield Problem("colours", run.id, " ".join(run.colours))
    if run.a == run.b:
        yield Problem("both-ends-on-one-port", run.id, run.a.port)


def lost_ends(document: Document, ports: PortNames | None) -> Iterator[Problem]:
    """The runs that land on no part, or with `ports` on no port of it."""
    parts = {part.id: part for part in document.network.parts}
    names = {part.id: frozenset(ports(part)) for part in document.network.parts} if ports else {}
    for run in document.network.runs:
        for end in (run.a, run.b):
            if end.part not in parts:
                yield Problem("end-on-no-part", run.id, end.part)
            elif ports and end.port not in names[end.part]:
                yield Problem("end-on-no-port", run.id, f"{end.part}.{end.port}")


def _positions(document: Document) -> Iterator[Problem]:
    for part in document.network.parts:
        if part.positions:
            yield from _twice("position-twice", part.id, [way.key for way in part.positions])


def _sheet(document: Document, sheet: Sheet) -> Iterator[Problem]:
    parts = {part.id for part in document.network.parts}
    runs = {run.id for run in document.network.runs}
    yield from (Problem("place-of-no-part", sheet.id, p.part) for p in sheet.places if p.part not in parts)
    yield from (Problem("route-of-no-run", sheet.id, r.run) for r in sheet.routes if r.run not in runs)
    yield from _twice("place-twice", sheet.id, [place.part for place in sheet.places])
    yield from _twice("route-twice", sheet.id, [route.run for route in sheet.routes])


def _twice(code: str, record: str, names: Sequence[str]) -> Iterator[Problem]:
    yield from (Problem(code, record, name) for name in _repeated(names))


def _repeated(names: Sequence[str]) -> list[str]:
    """What stands more than once, each named once; counted only where something does."""
    return [name for name, count in Counter(names).items() if count > 1] if len(set(names)) < len(names) else []


def _mentions(document: Document) -> Iterator[Problem]:
    """Compartments, enclosures, options and parts that are spoken of and do not exist."""
    network = document.network
    spaces = {record.id for record in network.compartments}
    boxes = {record.id for record in network.enclosures}
    options = {record.id for record in network.options}
    for part in network.parts:
        if part.compartment and part.compartment not in spaces:
            yield Problem("no-such-compartment", part.id, part.compartment)
        if part.enclosure and part.enclosure not in boxes:
            yield Problem("no-such-enclosure", part.id, part.enclosure)
        if part.option and part.option not in options:
            yield Problem("no-such-option", part.id, part.option)
    for run in network.runs:
        for via in run.route:
            if via not in spaces:
                yield Problem("no-such-compartment", run.id, via)
    parts = {part.id for part in network.parts}
    for condition in network.conditions:
        spoken = {*condition.switches, *condition.duty} - parts
        yield from (Problem("condition-of-no-part", condition.id, part) for part in sorted(spoken))


def _answers(network: Network) -> Iterator[Problem]:
    """One answer to a question about a thing, and only about what is on the boat."""
    yield from _about(network, "answer", ((each.item, each.subject) for each in network.answers))


def _deviations(network: Network) -> Iterator[Problem]:
    """One deviation for a finding, and only about what is on the boat."""
    yield from _about(network, "deviation", ((f"{each.rule} {each.code}", each.subject) for each in network.deviations))


def _about(network: Network, kind: str, stated: Iterable[tuple[str, str]]) -> Iterator[Problem]:
    """What is stated twice, and what is about a thing that is not there."""
    listed = list(stated)
    twice = _repeated([f"{what} {subject}" for what, subject in listed])
    yield from (Problem(f"{kind}-twice", about) for about in twice)
    for what, subject in listed:
        if not is_aboard(network, subject):
            yield Problem(f"{kind}-of-nothing", f"{what} {subject}", subject)


def is_aboard(network: Network, subject: str) -> bool:
    """Whether the part, way or run that the key names exists; other subjects (a class, the boat) always do."""
    sort, _, rest = subject.partition(":")
    if sort == "part":
        return any(part.id == rest for part in network.parts)
    if sort == "position":
        part_id, _, key = rest.partition("/")
        return any(part.id == part_id and any(way.key == key for way in part.positions) for part in network.parts)
    return sort != "run" or any(run.id == rest for run in network.runs)


def new_lost_ends(before: Document, after: Document, ports: PortNames) -> tuple[Problem, ...]:
    """The runs that land on no port in `after` and did in `before`: a guard for edits that take ports away."""
    if before.network is after.network:
        return ()
    old = set(lost_ends(before, ports))
    return tuple(problem for problem in lost_ends(after, ports) if problem not in old)
