"""loomwright rules: the list of rules, one line each, the reason and sources of one, or what becomes of each requirement."""

from __future__ import annotations

import argparse
import difflib
import sys
from collections.abc import Iterator

from engine.messages import tr
from engine.rules.api import BOOK_TITLES, Rule
from engine.rules.runner import load_rules
from engine.rules.wording import basis_text


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """rules | rules explain ID | rules coverage"""
    parser.add_argument("action", nargs="?", choices=["list", "explain", "coverage"], default="list")
    parser.add_argument("id", nargs="?", help="id of the rule to explain")


def run(asked: argparse.Namespace) -> int:
    """Print the list, or one rule."""
    if asked.action == "list":
        print("\n".join(_line(rule) for rule in load_rules()))
        return 0
    if asked.action == "coverage":
        print("\n".join(_coverage()))
        return 0
    return _explain(asked.id or "")


def _coverage() -> Iterator[str]:
    """Counts, and one line for each requirement that was collected."""
    from engine.rules.coverage import WORDS, count_text, rows

    yield count_text()
    for row in rows():
        by = ", ".join(row.by) or row.reason
        yield f"{row.id:<16} {WORDS[row.ends_as]:<13} {by}\n{'':<30} {row.requirement}"


def _line(rule: Rule) -> str:
    return f"{rule.family:<12} {rule.id:<34} {', '.join(rule.books):<28} {tr(rule.title)}"


def _explain(rule_id: str) -> int:
    rules = {rule.id: rule for rule in load_rules()}
    if rule_id not in rules:
        close = difflib.get_close_matches(rule_id, rules, 3, 0.4)
        hint = tr(" Did you mean {close}?").format(close=", ".join(close)) if close else ""
        print(tr("There is no rule “{id}”.").format(id=rule_id) + hint, file=sys.stderr)
        return 2
    print(explanation(rules[rule_id]))
    return 0


def explanation(rule: Rule) -> str:
    """Title, reason, clauses with their status, what can be found, numbers used."""
    lines = [f"{rule.id} — {tr(rule.title)}", "", tr(rule.why), "", tr("Rests on:")]
    lines += [f"  · {basis_text(basis)}" for basis in rule.basis]
    lines += ["", tr("Asked under: {books}").format(books=", ".join(BOOK_TITLES[book] for book in rule.books))]
    lines += ["", tr("Findings:")]
    lines += [f"  · [{wording.severity}] {tr(wording.sentence)}" for wording in rule.wordings.values()]
    lines += ["", tr("Numbers:")] if rule.parameters else []
    lines += [
        f"  · {each.name} = {each.value:g} {each.unit} ({each.source}; {each.status})" for each in rule.parameters
    ]
    lines += ["", tr("Needs on the drawing: {needs}").format(needs=tr(rule.needs))] if rule.needs else []
    return "\n".join(lines)
