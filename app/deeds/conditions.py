"""What the sheet shows of a condition, everything off, a device out: the entries of the Check menu about conditions."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from app.standing import Shown
    from app.workbench import Workbench


def show(view: Shown) -> Callable[[Workbench], None]:
    """The sheet shows this; the findings again where it shows it already."""

    def run(bench: Workbench) -> None:
        situation = bench.panes.conditions.situation
        situation.look("nothing" if situation.view == view else view)

    return run


def shows(view: Shown) -> Callable[[Workbench], bool]:
    """The sheet shows this."""
    return lambda bench: bench.panes.conditions.situation.view == view


def all_off(bench: Workbench) -> None:
    """Every switch as drawn, engines stopped, nothing plugged in: what is still live, on the sheet and in words."""
    bench.window.dock("conditions").show_only()
    bench.panes.conditions.situation.all_off()


def can_take_out(bench: Workbench) -> bool:
    """One device that can open is selected, or one is out."""
    panel = bench.panes.conditions
    return bool(panel.situation.opened or panel.picked_device())


def is_out(bench: Workbench) -> bool:
    """A device is out."""
    return bool(bench.panes.conditions.situation.opened)


def take_out(bench: Workbench) -> None:
    """The selected device opens: what goes dead; where one is out, it is put back."""
    bench.window.dock("conditions").show_only()
    bench.panes.conditions.take_out()
