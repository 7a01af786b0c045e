"""What people decide: to leave a finding as it is, or not any more, and by which house rules a boat is checked."""

from __future__ import annotations

from typing import TYPE_CHECKING

from engine.messages import tr

if TYPE_CHECKING:
    from app.workbench import Workbench


def can_deviate(bench: Workbench) -> bool:
    """The finding in front breaks a rule, about a thing, and nobody has answered for it yet."""
    found = bench.panes.findings.current()
    one = found.finding if found else None
    return bool(one and one.outcome.verdict == "breaks" and one.outcome.subjects and one.deviation is None)


def deviate(bench: Workbench) -> None:
    """Ask for reason, name and date."""
    from app.dialogs.deviation import DeviationDialog

    found = bench.panes.findings.current()
    if found is not None and can_deviate(bench):
        DeviationDialog(bench, found, bench.window).show()


def has_deviation(bench: Workbench) -> bool:
    """The finding in front was left as it is."""
    found = bench.panes.findings.current()
    return bool(found and found.finding.deviation is not None)


def take_back(bench: Workbench) -> None:
    """The finding counts again."""
    from engine.model.edits.house import withdraw

    found = bench.panes.findings.current()
    if found is not None and found.finding.deviation is not None:
        one = found.finding.deviation
        bench.store.apply(
            lambda document: withdraw(document, one.rule, one.code, one.subject), tr("Withdraw the deviation")
        )


def house_rules(bench: Workbench) -> None:
    """Look at the house rules, take others from a file, or none."""
    from app.dialogs.house import HouseDialog

    HouseDialog(bench, bench.window).show()
