"""Whether a fault was caught: a finding of one of its rules is about what was touched; a blanked field is asked for."""

from __future__ import annotations

from collections.abc import Iterable

from engine.graph.boat import Boat
from engine.pipeline import analyse
from engine.rules.api import Finding
from tests.sabotage.fault import Fault
from tests.sabotage.sample import Sample
from tests.samples.boats import library


def findings(sample: Sample, fault: Fault) -> tuple[Finding, ...]:
    """What a check says of the sabotaged boat."""
    return analyse(fault.network, library(), sample.books).findings


def caught(fault: Fault, found: Iterable[Finding]) -> bool:
    """Whether one of the findings is the one that a surveyor would write."""
    return any(_names(fault, finding) for finding in found)


def _names(fault: Fault, finding: Finding) -> bool:
    if fault.field:
        return any(lack.partition(" ")[0] in fault.keys and fault.field in lack for lack in finding.outcome.lacks)
    return finding.rule.id in fault.rules and bool(mentioned(finding) & fault.keys)


def mentioned(finding: Finding) -> frozenset[str]:
    """Every key that the finding names."""
    lacks = (lack.partition(" ")[0] for lack in finding.outcome.lacks)
    return frozenset((*finding.outcome.subjects, *finding.outcome.path, *lacks))


def unexplained(sample: Sample, fault: Fault, found: Iterable[Finding]) -> list[Finding]:
    """Findings that name nothing near the fault. Near is what was touched, what it lands on, and all that current can
    reach from there without passing a fuse or breaker, those devices included."""
    far = [finding for finding in found if not mentioned(finding) & (fault.keys | fault.near)]
    if not far:
        return []
    near = neighbourhood(Boat(fault.network, library()), fault.keys) | neighbourhood(sample.boat, fault.keys)
    return [finding for finding in far if not mentioned(finding) & near]


def neighbourhood(boat: Boat, keys: frozenset[str]) -> frozenset[str]:
    """The keys near some keys of one boat."""
    from engine.graph.listed import web_of

    web = web_of(boat.graph)
    starts = {node for node, joints in web.items() for _, edge in joints if edge.key in keys}
    seen, queue, near = set(starts), list(starts), set[str]()
    while queue:
        node = queue.pop()
        near.add(f"part:{node[0]}")
        for other, edge in web[node]:
            near.add(edge.key)
            if other not in seen and edge.kind not in ("fuse", "breaker", "source", "load", "converter"):
                seen.add(other)
                queue.append(other)
    return frozenset(near)
