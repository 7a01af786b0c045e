"""From a finding's codes and values to the sentences a person reads: the fact, the sum, the clause, the remedy."""

from __future__ import annotations

from collections.abc import Mapping

from engine.graph.boat import Boat
from engine.library.field_names import field_text, value_text
from engine.messages import tr
from engine.rules.api import BOOK_TITLES, TOOL_FAILED, Basis, Finding, Shown
from engine.units import sizes_shown

CLASS_TEXTS: Mapping[str, str] = {
    "battery": "the battery and starter cables", "dc": "the cables of the DC circuits", "ac": "the AC cables"
}  # fmt: skip


def sentence(finding: Finding, boat: Boat) -> str:
    """The finding in one plain sentence."""
    outcome = finding.outcome
    if outcome.code == TOOL_FAILED:
        return tr("The check {rule} failed inside the program and gave no answer: {error}").format(
            rule=finding.rule.id, error=outcome.values.get("error", "")
        )
    if outcome.verdict == "cannot-tell":
        return tr("Cannot tell for {subject} ({title}): not known is {fields}.").format(
            subject=subject_text(finding, boat), title=tr(finding.rule.title), fields=lacking_text(finding, boat)
        )
    return _filled(finding.rule.wordings[outcome.code].sentence, outcome.values)


def formula(finding: Finding) -> str:
    """The sum with its numbers put in; "" where there is none."""
    wording = finding.rule.wordings.get(finding.outcome.code)
    return _filled(wording.formula, finding.outcome.values) if wording and wording.formula else ""


def remedy(finding: Finding, boat: Boat) -> str:
    """What to do about it."""
    if finding.outcome.verdict == "cannot-tell":
        return tr("Find out and enter: {fields}.").format(fields=lacking_text(finding, boat))
    return _filled(finding.rule.wordings[finding.outcome.code].remedy, finding.outcome.values)


def decided_text(finding: Finding) -> tuple[str, ...]:
    """What people have decided about it: how grave the yard takes it, and who left it as it is."""
    lines = []
    if finding.graded:
        lines.append(tr("The house rules take this as {severity}: {reason}.").format(
            severity=finding.severity, reason=finding.graded.rstrip(".")
        ))  # fmt: skip
    deviation = finding.deviation
    if deviation is not None:
        told = tr("Left as it is: {reason} ({by}, {date}).")
        lines.append(told.format(reason=deviation.reason.rstrip("."), by=deviation.by, date=deviation.date))
        if not finding.settled:
            lines.append(tr("It is a danger all the same: no deviation takes it off this list."))
    return tuple(lines)


def basis_text(basis: Basis) -> str:
    """A clause with how well it is known."""
    return f"{tr(BOOK_TITLES[basis.book])} · {basis.document}: {tr(basis.clause)} [{status_text(basis.status)}]"


def status_text(status: str) -> str:
    """How well a number or clause is known, in words."""
    words: Mapping[str, str] = {
        "published": tr("read in the source"),
        "secondary": tr("quoted second hand"),
        "memory": tr("from memory, unconfirmed"),
        "computed": tr("computed from a table"),
        "practice": tr("common practice, no source"),
    }
    return words[status]


def key_text(key: str, boat: Boat) -> str:
    """What a person calls the thing with this key."""
    sort, _, rest = key.partition(":")
    if sort in ("boat", "class"):
        return tr(CLASS_TEXTS.get(rest, "the boat"))
    if sort == "space":
        return boat.compartments[rest].name if rest in boat.compartments else rest
    if sort == "run":
        return boat.name_run(boat.runs[rest]) if rest in boat.runs else rest
    if sort == "box":
        return boat.enclosures[rest].name if rest in boat.enclosures else rest
    part_id, _, position = rest.partition("/")
    name = boat.name(boat.parts[part_id]) if part_id in boat.parts else part_id
    return tr("{panel} way {key}").format(panel=name, key=position) if position else name


def subject_text(finding: Finding, boat: Boat) -> str:
    """The name of what the finding is about."""
    return key_text(finding.outcome.subjects[0], boat) if finding.outcome.subjects else tr("the boat")


def lacking_text(finding: Finding, boat: Boat) -> str:
    """The missing fields by name."""
    listed = []
    for lack in finding.outcome.lacks:
        key, _, field = lack.partition(" ")
        listed.append(f"{key_text(key, boat)}: {field_of(key, field, boat)}" if field else lack)
    return "; ".join(listed)


def lack_text(boat: Boat, field: str) -> str:
    """ "part:p3 nominal_v" as a person calls it: "G1 House bank, nominal voltage"."""
    key, _, name = field.partition(" ")
    return f"{key_text(key, boat)}, {field_of(key, name, boat)}" if name else key_text(key, boat)


def field_of(key: str, field: str, boat: Boat) -> str:
    """What a person calls a field of a thing: of a part as its kind calls it ("running current"), else by its own name."""
    part = boat.parts.get(key.removeprefix("part:"))
    return value_text(boat.kind(part), field) if part is not None else field_text(field)


def _filled(template: str, values: Mapping[str, Shown]) -> str:
    filled = tr(template).format(**{name: _shown(value) for name, value in values.items()})
    return filled[:1].upper() + filled[1:]


def _shown(value: Shown) -> str:
    return sizes_shown(value) if isinstance(value, str) else f"{value:.4g}"
