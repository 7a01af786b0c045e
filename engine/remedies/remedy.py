"""Remedies of a finding: one edit each, offered only when it takes its finding away. Shown before it is taken."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import msgspec

from engine.graph.boat import Boat
from engine.library.device import Library
from engine.messages import tr
from engine.model.document import Document
from engine.model.edits.fields import set_run_fields
from engine.model.edits.records import EditRefused
from engine.model.network import Network, Part, Run
from engine.model.quantity import as_quantity, high, is_exact
from engine.pipeline import Analysis, analyse
from engine.remedies.devices import DEVICES
from engine.remedies.edits import part_edit, rating_edit
from engine.remedies.fields import FIELDS
from engine.remedies.joints import CORES, JOINTS
from engine.remedies.record import Ask, Edit, Remedy, cures, name_of, planned, runs_about
from engine.remedies.stock import Stock, ratings_below, sizes_from
from engine.rules.api import Finding
from engine.rules.families import FAMILY_OF_KIND

__all__ = ["CURABLE", "Preview", "Remedy", "cures", "preview", "remedies", "tried"]

THICKER = frozenset({
    "undersized-conductor", "excessive-voltage-drop", "oversized-device", "oversized-holder-fuse", "below-minimum-size",
    "thin-return", "weak-cranking-cable", "ungrounded-case", "thin-bonding", "thin-dc-ground",
    "thin-lightning-conductor",
})  # fmt: skip
SMALLER = frozenset({
    "oversized-device", "over-makers-fuse", "oversized-holder-fuse", "oversized-panel-device", "oversized-generator-device",
    "main-over-service", "device-above-its-feed",
})  # fmt: skip
CURABLE = THICKER | SMALLER | frozenset(CORES)
"""The rules whose findings a size can cure: that of a conductor, of one of its cores, or of a device."""
ROUNDS = 16
"""Steps of thickening one after the other before a way is given up as incurable by size."""


class Preview(msgspec.Struct, frozen=True):
    """What a remedy would change among the findings."""

    removed: tuple[Finding, ...]
    added: tuple[Finding, ...]
    after: Analysis
    """Of the boat as it would be."""


def remedies(
    analysis: Analysis, finding: Finding, document: Document, library: Library, stock: Stock
) -> tuple[Remedy, ...]:
    """The edits that take the finding away, tried on the boat. Empty where a person has to decide."""
    return tuple(tried(analysis, finding, document, library, stock))


def tried(
    analysis: Analysis, finding: Finding, document: Document, library: Library, stock: Stock, sizes_only: bool = False
) -> Iterator[Remedy]:
    """The same one by one: between two, whoever asked may lose interest. `sizes_only`: nothing but other sizes."""
    for remedy in _candidates(analysis.boat, finding, document, library, stock, sizes_only):
        made = _made(remedy, document)
        if made is not document and cures(made, finding, library):
            yield remedy


def _made(remedy: Remedy, document: Document) -> Document:
    """The document as it would be; as it is where the edit cannot be done."""
    try:
        return remedy.edit(document)
    except EditRefused:
        return document


def preview(analysis: Analysis, document: Document, remedy: Remedy, library: Library) -> Preview:
    """The findings a remedy would take away, and those it would bring."""
    after = analyse(remedy.edit(document).network, library, analysis.report.books)
    old, new = ({name_of(each): each for each in one.findings} for one in (analysis, after))
    return Preview(
        tuple(each for name, each in old.items() if name not in new),
        tuple(each for name, each in new.items() if name not in old),
        after,
    )


def _candidates(
    boat: Boat, finding: Finding, document: Document, library: Library, stock: Stock, sizes_only: bool
) -> Iterator[Remedy]:
    """Everything worth trying, what changes least first."""
    ask = Ask(boat, finding, document, library, stock)
    if finding.rule.id in SMALLER:
        yield from _smaller_devices(boat, finding, document, library)
    for by_rule in (CORES,) if sizes_only else (FIELDS, CORES, JOINTS, DEVICES):
        if finding.rule.id in by_rule:
            yield from by_rule[finding.rule.id](ask)
    if finding.rule.id in THICKER:
        yield from _thicker(boat, finding, document, library, stock)


def _thicker(boat: Boat, finding: Finding, document: Document, library: Library, stock: Stock) -> Iterator[Remedy]:
    """The smallest size that serves; where a way of several runs is the point, always the thinnest next."""
    whole_way = finding.rule.id == "excessive-voltage-drop"
    about = runs_about(boat, finding) if whole_way else runs_about(boat, finding)[:1]
    changed: dict[str, str] = {}
    for _ in range(ROUNDS):
        step = _next_step(document.network, about, changed, stock)
        if step is None:
            return
        changed[step[0]] = step[1]
        if cures(_resized(document, changed), finding, library):
            names = [
                tr("wire {number}: {size}").format(number=_number(boat, run), size=size)
                for run, size in changed.items()
            ]
            title = "; ".join(names)
            yield Remedy(title, lambda given, sizes=dict(changed): _resized(given, sizes))  # type: ignore[misc]
            return


def _next_step(network: Network, about: list[Run], changed: Mapping[str, str], stock: Stock) -> tuple[str, str] | None:
    """The run whose size is the least of all, with the next larger size."""
    options = []
    for run in about:
        larger = next(sizes_from(changed.get(run.id, run.size), stock), None)
        if larger is not None:
            options.append((_rank(larger), run.id, larger))
    return min(options)[1:] if options else None


def _rank(size: str) -> float:
    from engine.electrics.sizes import parse_size

    return parse_size(size).area_mm2


def _resized(document: Document, sizes: Mapping[str, str]) -> Document:
    for run_id, size in sizes.items():
        document = planned(set_run_fields(document, run_id, size=size, pe_size=""), f"run:{run_id}", "size", size)
    return document


def _number(boat: Boat, run_id: str) -> str:
    return boat.runs[run_id].number or run_id


def _smaller_devices(boat: Boat, finding: Finding, document: Document, library: Library) -> Iterator[Remedy]:
    """The largest standard rating that protects, of each device that the finding names."""
    for key in dict.fromkeys((*finding.outcome.subjects, *finding.outcome.path)):
        for rating, edit in _ratings(boat, key):
            if cures(edit(document), finding, library):
                yield Remedy(
                    tr("{device}: {rating} A").format(device=_device_name(boat, key), rating=f"{rating:g}"), edit
                )
                break


def _ratings(boat: Boat, key: str) -> Iterator[tuple[float, Edit]]:
    """Smaller standard ratings of one device, largest first, each with its edit."""
    sort, _, rest = key.partition(":")
    part_id, _, way = rest.partition("/")
    part = boat.parts.get(part_id)
    if part is None or sort not in ("part", "position"):
        return
    if not way and "main_rating_a" in part.values:
        yield from _main_ratings(part)
        return
    position = boat.position(part, way) if way else None
    rating = position.rating_a if position else part.values.get("rating_a")
    if not is_exact(rating) or (not way and boat.role(part) != "protection"):  # type: ignore[arg-type]
        return
    in_way = "blade" if position and position.device == "fuse" else "panel-breaker"
    family = in_way if way else FAMILY_OF_KIND.get(part.kind, "panel-breaker")
    for each in ratings_below(high(rating), family):  # type: ignore[arg-type]
        yield each, rating_edit(part_id, way, each)


def _main_ratings(panel: Part) -> Iterator[tuple[float, Edit]]:
    """Smaller ratings of a panel's own main breaker."""
    rating = as_quantity(panel.values["main_rating_a"])
    if is_exact(rating):
        for each in ratings_below(high(rating), "panel-breaker"):
            yield each, part_edit(panel.id, {"main_rating_a": each})


def _device_name(boat: Boat, key: str) -> str:
    from engine.rules.wording import key_text

    return key_text(key, boat)
