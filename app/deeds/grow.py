"""Adding a circuit, from the Draw menu."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from app.workbench import Workbench


def has_ways(bench: Workbench) -> bool:
    """The boat has a panel with ways."""
    return any(part.positions for part in bench.store.document.network.parts)


def add_circuit(bench: Workbench) -> None:
    """Say what is wanted; on the way that is selected, if one is."""
    from app.dialogs.add_circuit import AddCircuitDialog

    ways = sorted(bench.selection.ids("position"))
    AddCircuitDialog(bench, f"position:{ways[0]}" if ways else "", bench.window).show()
