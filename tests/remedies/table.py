"""Which breaking answers of which rules have a remedy that the tool can apply: `python -m tests.remedies.table` writes the
table again, from the rules' own cases. "some": offered for one case that breaks so and not for another."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from engine.graph.boat import Boat
from engine.library.device import load_library
from engine.model.document import Document
from engine.pipeline import Analysis
from engine.remedies.remedy import tried
from engine.remedies.stock import Stock
from engine.rules.api import Finding, Rule
from engine.rules.runner import load_rules, run_rules
from tests.rules.cases import boat_of, books_of_case, cases_of

TABLE = Path(__file__).parent / "REMEDIES.md"
LIBRARY = load_library()
HEAD = """# What the tool can put right

Written by `python -m tests.remedies.table` from the cases of the rules. Every remedy is tried on the boat before it is
offered; where there is none, a person has to decide or to look aboard.

| rule | answer | remedy |
|---|---|---|
"""


def broken(rule: Rule) -> Iterator[tuple[Finding, bool]]:
    """Each breaking finding of the rule's cases, and whether a remedy is offered."""
    for case in cases_of(rule.id).case:
        if not case.breaks:
            continue
        network = boat_of(case.boat, case.strange).network
        given = Document(network=network, next_id=100_000)
        for book in books_of_case(case, rule):
            report = run_rules(Boat(network, LIBRARY), (book,), [rule])
            analysis = Analysis(Boat(network, LIBRARY), report)
            for finding in report.findings:
                if finding.outcome.verdict == "breaks":
                    yield finding, next(tried(analysis, finding, given, LIBRARY, Stock()), None) is not None


def rows(rule: Rule) -> Iterator[str]:
    """A line for each answer."""
    told: dict[str, set[bool]] = {}
    for finding, offered in broken(rule):
        told.setdefault(finding.outcome.code, set()).add(offered)
    for code in rule.wordings:
        if code in told:
            word = "some" if len(told[code]) == 2 else "yes" if told[code] == {True} else "none"
            yield f"| {rule.id} | {code} | {word} |"


def table() -> str:
    """The whole table."""
    lines = [line for rule in load_rules() for line in rows(rule)]
    counts = {word: sum(line.endswith(f" {word} |") for line in lines) for word in ("yes", "some", "none")}
    foot = f"\n{counts['yes']} answers always have one, {counts['some']} for some boats, {counts['none']} have none.\n"
    return HEAD + "\n".join(lines) + "\n" + foot


if __name__ == "__main__":
    TABLE.write_text(table(), encoding="utf-8")
    print(table().splitlines()[-1])
