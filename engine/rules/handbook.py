"""The handbook of all rules as one Markdown text: why each one exists, its clauses and how well they are known, its numbers.

Made from the rules alone; what is committed as HANDBOOK.md must equal it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import groupby
from pathlib import Path

from engine.rules.api import BOOK_TITLES, Basis, Parameter, Rule, Wording
from engine.rules.runner import load_rules
from engine.rules.wording import status_text

FILE = Path(__file__).with_name("HANDBOOK.md")

HEAD = """# Handbook of the rules

Every check that the program makes of a boat's drawing, why it makes it, and what it rests on. Clauses are told in our own
words. Each says how well it is known: read in the source, quoted second hand, or from memory and unconfirmed. The program
checks a drawing, not a boat: the standards themselves, local codes and a qualified marine electrician come first.

This text is generated from the rules (`python -m engine.rules.handbook`); a test compares it.
"""

FAMILIES = {
    "ac": "Alternating current",
    "arrangement": "Arrangement",
    "conductors": "Conductors",
    "batteries": "Batteries",
    "exposed_ac": "Exposed AC",
    "grounding": "Grounding, bonding, lightning",
    "house": "House rules",
    "inspection": "Inspection",
    "network": "Network",
    "petrol": "Petrol",
    "overcurrent": "Overcurrent protection",
    "positions": "Every position of the switches",
    "record": "The record",
}


def handbook(rules: Iterable[Rule] | None = None) -> str:
    """The whole handbook."""
    listed = sorted(load_rules() if rules is None else rules, key=lambda rule: (rule.family, rule.id))
    parts = [HEAD]
    for family, members in groupby(listed, key=lambda rule: rule.family):
        parts.append(f"## {FAMILIES.get(family, family.replace('_', ' ').capitalize())}\n")
        parts += [chapter(rule) for rule in members]
    return "\n".join(parts)


def chapter(rule: Rule) -> str:
    """What the handbook says of one rule."""
    return "\n".join([f"### {rule.title} (`{rule.id}`)\n", f"{rule.why}\n", *_details(rule)])


def _details(rule: Rule) -> Iterator[str]:
    yield f"Asked under: {', '.join(BOOK_TITLES[book] for book in rule.books)}.\n"
    yield from (f"- {_clause(basis)}" for basis in rule.basis)
    yield ""
    if rule.parameters:
        yield "Numbers:\n"
        yield from (f"- {_number(parameter)}" for parameter in rule.parameters)
        yield ""
    yield "Findings:\n"
    yield from (f"- {_finding(code, wording)}" for code, wording in rule.wordings.items())
    yield ""
    if rule.needs:
        yield f"What the drawing must hold: {rule.needs}\n"


def _clause(basis: Basis) -> str:
    return f"{BOOK_TITLES[basis.book]}, {basis.document}: {basis.clause} [{status_text(basis.status)}]"


def _number(parameter: Parameter) -> str:
    text = f"{parameter.name}: {parameter.value:g} {parameter.unit}"
    return f"{text} ({parameter.source}) [{status_text(parameter.status)}]"


def _finding(code: str, wording: Wording) -> str:
    formula = f" Shown as: `{wording.formula}`." if wording.formula else ""
    return f"`{code}`, {wording.severity}: {wording.sentence} Remedy: {wording.remedy}{formula}"


if __name__ == "__main__":
    FILE.write_text(handbook(), encoding="utf-8")
