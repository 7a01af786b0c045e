"""The Boat menu: files, particulars, papers."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from app.workbench import Workbench


def new(bench: Workbench) -> None:
    """An empty drawing."""
    bench.files.new()


def open_boat(bench: Workbench) -> None:
    """A boat from a file that one picks."""
    bench.files.ask_and_open()


def can_save(bench: Workbench) -> bool:
    """There is something to save."""
    return not bench.store.clean or not bench.files.path


def save(bench: Workbench) -> None:
    """To its file; asks for one where there is none."""
    bench.files.save()


def save_as(bench: Workbench) -> None:
    """To another file."""
    bench.files.save_as()


def particulars(bench: Workbench) -> None:
    """The boat's own fields in Particulars."""
    bench.selection.clear()
    bench.window.dock("particulars").bring()
    bench.panes.particulars.focus_field("name")


def has_runs(bench: Workbench) -> bool:
    """There is a conductor."""
    return bool(bench.store.document.network.runs)


def size(bench: Workbench) -> None:
    """Conductors and devices sized, each change with its reason."""
    from app.dialogs.sizing import SizingDialog

    SizingDialog(bench, bench.window).show()


def preview(bench: Workbench) -> None:
    """The sheets as they will be printed."""
    from app.dialogs.preview import PreviewDialog

    PreviewDialog(bench, bench.window).show()


def papers(bench: Workbench) -> None:
    """Choose papers, paper size and folder."""
    from app.dialogs.papers import PapersDialog

    PapersDialog(bench, bench.window).show()


def quit_program(bench: Workbench) -> None:
    """Close the window; what is not saved is kept for next time."""
    bench.window.close()
