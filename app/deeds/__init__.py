"""What the actions do: functions of the workbench, a file for each menu. Here: when an action can be used."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from app.workbench import Workbench


def always(_bench: Workbench) -> bool:
    """At any time."""
    return True


def some_selected(bench: Workbench) -> bool:
    """Something is selected."""
    return bool(bench.selection.keys)


def parts_selected(least: int) -> Callable[[Workbench], bool]:
    """At least so many parts are selected."""
    return lambda bench: len(bench.selection.ids("part")) >= least


def some_findings(bench: Workbench) -> bool:
    """There is a finding in the list."""
    return bool(bench.panes.findings.model.rows)
