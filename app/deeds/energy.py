"""How long the banks last: the question asked of the boat as it is."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from app.workbench import Workbench


def has_conditions(bench: Workbench) -> bool:
    """The boat has a battery, and an operating condition to ask about."""
    network = bench.store.document.network
    batteries = (bench.library.get(part.kind) for part in network.parts)
    return bool(network.conditions) and any(kind is not None and kind.role == "battery" for kind in batteries)


def how_long(bench: Workbench) -> None:
    """How long at anchor; the answer stays open and follows the boat."""
    from app.dialogs.energy import EnergyDialog

    there = bench.window.findChild(EnergyDialog)
    if there is not None:
        there.activateWindow()
        return
    EnergyDialog(bench, bench.window).show()
