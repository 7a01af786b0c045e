"""What happens if something is shorted: the question asked of the selected wire, device or load."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from app.workbench import Workbench


def can_ask(bench: Workbench) -> bool:
    """A wire, a part or a way is selected."""
    return any(bench.selection.ids(sort) for sort in ("run", "part", "position"))


def ask(bench: Workbench) -> None:
    """Which device opens first; the chart stays open and follows the selection."""
    from app.dialogs.curves import CurvesDialog

    there = bench.window.findChild(CurvesDialog)
    if there is not None:
        there.activateWindow()
        return
    CurvesDialog(bench, bench.window).show()
