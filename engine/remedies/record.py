"""What a remedy is, and what everybody who proposes one is given. Knows no rule by name."""

from __future__ import annotations

from collections.abc import Callable

import msgspec

from engine.graph.boat import Boat
from engine.library.device import Library
from engine.messages import tr
from engine.model.document import Document
from engine.model.edits.fields import set_evidence
from engine.model.network import Evidence, Part, Run
from engine.model.quantity import Value
from engine.remedies.stock import Stock
from engine.rules.api import Finding
from engine.rules.runner import run_rules

Edit = Callable[[Document], Document]


class Remedy(msgspec.Struct, frozen=True):
    """What would be done, in a sentence, and the edit that does it."""

    title: str
    edit: Edit


class Ask(msgspec.Struct, frozen=True):
    """A finding that breaks a rule, and the boat it was found on."""

    boat: Boat
    finding: Finding
    document: Document
    library: Library
    stock: Stock

    @property
    def code(self) -> str:
        """What is said of it."""
        return self.finding.outcome.code

    def number(self, name: str) -> float | None:
        """A number that the finding shows; None where it shows none or a text."""
        value = self.finding.outcome.values.get(name)
        return float(value) if isinstance(value, (int, float)) else None

    def parts(self) -> list[Part]:
        """The parts that it names, those of ways of panels included."""
        ids = dict.fromkeys(key.partition(":")[2].partition("/")[0] for key in self._keys("part", "position"))
        return [self.boat.parts[part_id] for part_id in ids if part_id in self.boat.parts]

    def runs(self) -> list[Run]:
        """The runs that it names, its own first."""
        return runs_about(self.boat, self.finding)

    def _keys(self, *sorts: str) -> list[str]:
        return [key for key in self.finding.outcome.subjects if key.partition(":")[0] in sorts]


def runs_about(boat: Boat, finding: Finding) -> list[Run]:
    """The runs that the finding names, its own first."""
    keys = dict.fromkeys((*finding.outcome.subjects, *finding.outcome.path))
    return [boat.runs[key[4:]] for key in keys if key.startswith("run:") and key[4:] in boat.runs]


def planned(document: Document, key: str, field: str, value: Value) -> Document:
    """What was stated of the old one no longer speaks of the new: the field is now by design, the old said in a note."""
    kind, _, record_id = key.partition(":")
    records = document.network.parts if kind == "part" else document.network.runs
    record = next(each for each in records if each.id == record_id)
    stated = record.evidence.get(field, ())
    if not stated:
        return document
    note = "; ".join(f"{each.kind}: {each.value}" for each in stated)
    told = Evidence(kind="design", value=value, note=tr("to be fitted; before, {note}").format(note=note))
    return set_evidence(document, key, field, (told,))


def cures(document: Document, finding: Finding, library: Library) -> bool:
    """Whether the rule says no more of its subject what it said."""
    report = run_rules(Boat(document.network, library), (finding.book,), [finding.rule])
    return name_of(finding) not in {name_of(each) for each in report.findings if each.outcome.verdict == "breaks"}


def name_of(finding: Finding) -> tuple[str, str, str, str]:
    """What makes it the same finding before and after an edit."""
    about = finding.outcome.subjects[0] if finding.outcome.subjects else ""
    return finding.rule.id, finding.book, finding.outcome.code, about
