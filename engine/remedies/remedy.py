"""Remedies of a finding: one edit each, offered only when it takes its finding away. Shown before it is taken."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

import msgspec

from engine.electrics.colours import Pole, Region, permitted_colours
from engine.graph.boat import Boat
from engine.library.device import Library
from engine.messages import tr
from engine.model.document import Document
from engine.model.edits.boat import set_fields
from engine.model.edits.fields import rename, set_evidence, set_position, set_run_fields, set_values
from engine.model.edits.records import EditRefused
from engine.model.network import Evidence, Network, Part, Run
from engine.model.numbering import next_designation, next_wire_number
from engine.model.quantity import Value, as_quantity, high, is_exact
from engine.pipeline import Analysis, analyse
from engine.remedies.stock import Stock, ratings_below, sizes_from
from engine.rules.api import Finding
from engine.rules.families import FAMILY_OF_KIND
from engine.rules.runner import run_rules

Edit = Callable[[Document], Document]
THICKER = frozenset({
    "undersized-conductor", "excessive-voltage-drop", "oversized-device", "oversized-holder-fuse", "below-minimum-size",
    "thin-return", "weak-cranking-cable", "thin-earth", "ungrounded-case",
})  # fmt: skip
SMALLER = frozenset({
    "oversized-device", "over-makers-fuse", "oversized-holder-fuse", "oversized-panel-device", "oversized-generator-device",
    "main-over-service",
})  # fmt: skip
ROUNDS = 16
"""Steps of thickening one after the other before a way is given up as incurable by size."""


class Remedy(msgspec.Struct, frozen=True):
    """What would be done, in a sentence, and the edit that does it."""

    title: str
    edit: Edit


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


def tried(analysis: Analysis, finding: Finding, document: Document, library: Library, stock: Stock) -> Iterator[Remedy]:
    """The same one by one: between two, whoever asked may lose interest."""
    for remedy in _candidates(analysis.boat, finding, document, library, stock):
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
    old, new = ({_name(each): each for each in one.findings} for one in (analysis, after))
    return Preview(
        tuple(each for name, each in old.items() if name not in new),
        tuple(each for name, each in new.items() if name not in old),
        after,
    )


def cures(document: Document, finding: Finding, library: Library) -> bool:
    """Whether the rule says no more of its subject what it said."""
    report = run_rules(Boat(document.network, library), (finding.book,), [finding.rule])
    return _name(finding) not in {_name(each) for each in report.findings if each.outcome.verdict == "breaks"}


def _name(finding: Finding) -> tuple[str, str, str, str]:
    about = finding.outcome.subjects[0] if finding.outcome.subjects else ""
    return finding.rule.id, finding.book, finding.outcome.code, about


def _candidates(boat: Boat, finding: Finding, document: Document, library: Library, stock: Stock) -> Iterator[Remedy]:
    if finding.rule.id in SMALLER:
        yield from _smaller_devices(boat, finding, document, library)
    if finding.rule.id in THICKER:
        yield from _thicker(boat, finding, document, library, stock)
    if finding.rule.id in _PLAIN:
        yield from _PLAIN[finding.rule.id](boat, finding)


def runs_about(boat: Boat, finding: Finding) -> list[Run]:
    """The runs that the finding names, its own first."""
    keys = dict.fromkeys((*finding.outcome.subjects, *finding.outcome.path))
    return [boat.runs[key[4:]] for key in keys if key.startswith("run:") and key[4:] in boat.runs]


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
        document = _planned(set_run_fields(document, run_id, size=size, pe_size=""), f"run:{run_id}", "size", size)
    return document


def _planned(document: Document, key: str, field: str, value: Value) -> Document:
    """What was stated of the old one no longer speaks of the new: the field is now by design, the old said in a note."""
    kind, _, record_id = key.partition(":")
    records = document.network.parts if kind == "part" else document.network.runs
    record = next(each for each in records if each.id == record_id)
    stated = record.evidence.get(field, ())
    if not stated:
        return document
    note = "; ".join(f"{each.kind}: {each.value}" for each in stated)
    planned = Evidence(kind="design", value=value, note=tr("to be fitted; before, {note}").format(note=note))
    return set_evidence(document, key, field, (planned,))


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
        yield each, _rating_edit(part_id, way, each, position is not None)


def _main_ratings(panel: Part) -> Iterator[tuple[float, Edit]]:
    """Smaller ratings of a panel's own main breaker."""
    rating = as_quantity(panel.values["main_rating_a"])
    if is_exact(rating):
        for each in ratings_below(high(rating), "panel-breaker"):
            yield each, _main_edit(panel.id, each)


def _main_edit(panel_id: str, rating_a: float) -> Edit:
    return lambda document: set_values(document, panel_id, {"main_rating_a": rating_a})


def _rating_edit(part_id: str, way: str, rating_a: float, in_panel: bool) -> Edit:
    if in_panel:
        return lambda document: set_position(document, part_id, way, rating_a=rating_a)
    return lambda document: _planned(
        set_values(document, part_id, {"rating_a": rating_a}), f"part:{part_id}", "rating_a", rating_a
    )


def _device_name(boat: Boat, key: str) -> str:
    from engine.rules.wording import key_text

    return key_text(key, boat)


def _recolour(boat: Boat, finding: Finding) -> Iterator[Remedy]:
    run = runs_about(boat, finding)[0]
    region: Region = "iso" if finding.book == "iso13297" else "us"
    pole = str(finding.outcome.values.get("pole", "-"))
    index = run.poles.index(pole)
    usual: Pole = pole  # type: ignore[assignment]
    for colour in [use.code for use in permitted_colours(usual, region)]:
        colours = tuple(colour if at == index else old for at, old in enumerate(run.colours))
        yield Remedy(
            tr("{pole} of wire {number} in {colour}").format(pole=pole, number=run.number, colour=colour),
            _run_edit(run.id, colours=colours),
        )


def _run_edit(run_id: str, **fields: object) -> Edit:
    return lambda document: set_run_fields(document, run_id, **fields)


def _renumber(boat: Boat, finding: Finding) -> Iterator[Remedy]:
    run = runs_about(boat, finding)[-1]
    number = next_wire_number(boat.network)
    yield Remedy(tr("number it {number}").format(number=number), _run_edit(run.id, number=number))


def _rename(boat: Boat, finding: Finding) -> Iterator[Remedy]:
    part = boat.parts[finding.outcome.subjects[-1].removeprefix("part:")]
    kind = boat.kind(part)
    name = next_designation(boat.network, kind.letter if kind else "E")
    yield Remedy(tr("call it {name}").format(name=name), lambda document: rename(document, part.id, name))


def _tinned(boat: Boat, finding: Finding) -> Iterator[Remedy]:
    run = runs_about(boat, finding)[0]
    yield Remedy(tr("replace wire {number} by tinned").format(number=run.number), _run_edit(run.id, tinned=True))


def _stranded(boat: Boat, finding: Finding) -> Iterator[Remedy]:
    run = runs_about(boat, finding)[0]
    yield Remedy(tr("replace wire {number} by stranded").format(number=run.number), _run_edit(run.id, stranded=True))


def _sheathed(boat: Boat, finding: Finding) -> Iterator[Remedy]:
    run = runs_about(boat, finding)[0]
    yield Remedy(tr("lead wire {number} in a sheath").format(number=run.number), _run_edit(run.id, cover="sheath"))


def _guarded(boat: Boat, finding: Finding) -> Iterator[Remedy]:
    for key in finding.outcome.subjects:
        if key.startswith("box:"):
            box = boat.enclosures[key[4:]]
            for title, fields in (
                (tr("screw a guard over the AC parts in {box}"), {"ac_guard": "tool"}),
                (tr("put a fixed partition into {box}"), {"partition": True}),
                (tr("close {box} so that it opens with a tool only"), {"opens": "tool"}),
            ):
                yield Remedy(title.format(box=box.name), _box_edit(box.id, fields))


def _box_edit(box_id: str, fields: Mapping[str, object]) -> Edit:
    return lambda document: set_fields(document, "enclosures", box_id, **fields)


_PLAIN: Mapping[str, Callable[[Boat, Finding], Iterator[Remedy]]] = {
    "wrong-colour": _recolour,
    "shared-wire-number": _renumber,
    "shared-designation": _rename,
    "untinned-conductor": _tinned,
    "solid-conductor": _stranded,
    "distant-device": _sheathed,
    "exposed-ac-parts": _guarded,
    "ac-beside-dc": _guarded,
}
