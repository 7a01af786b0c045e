"""The Help menu."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from app.workbench import Workbench


def shortcuts(bench: Workbench) -> None:
    """Every action with its shortcut, and the keys of the sheet."""
    from app.dialogs.shortcuts import ShortcutsDialog

    ShortcutsDialog(bench.window).show()


def about(bench: Workbench) -> None:
    """What the program is, and what it is not."""
    from app.dialogs.about import AboutDialog

    AboutDialog(bench.window).show()
