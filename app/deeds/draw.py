"""The Edit and Draw menus: undo, clipboard, tools in hand, arranging, runs."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtGui import QGuiApplication

from app.later import Later
from engine.messages import tr

if TYPE_CHECKING:
    from app.workbench import Workbench
    from engine.model import clipboard
    from engine.model.document import Document
    from engine.model.edits import arranging, fields, placing, wiring
else:
    clipboard = Later("engine.model.clipboard")
    arranging, fields = Later("engine.model.edits.arranging"), Later("engine.model.edits.fields")
    placing, wiring = Later("engine.model.edits.placing"), Later("engine.model.edits.wiring")


def can_undo(bench: Workbench) -> bool:
    """There is a step to undo."""
    return bench.store.undo_stack.canUndo()


def can_redo(bench: Workbench) -> bool:
    """There is a step to do again."""
    return bench.store.undo_stack.canRedo()


def undo(bench: Workbench) -> None:
    """One step back."""
    bench.store.undo()


def redo(bench: Workbench) -> None:
    """One step forward again."""
    bench.store.redo()


def copy(bench: Workbench) -> bool:
    """The selected parts and the runs between them, to the clipboard as text."""
    from app.refusals import sentence
    from engine.model.edits.records import EditRefused

    try:
        text = clipboard.copy(bench.store.document, bench.sheet_id, bench.selection.keys)
    except EditRefused as refused:
        bench.say(sentence(refused))
        return False
    QGuiApplication.clipboard().setText(text)
    return True


def cut(bench: Workbench) -> None:
    """Copied and gone."""
    if copy(bench):
        keys = bench.selection.keys
        bench.store.apply(lambda document: placing.delete(document, keys), tr("Cut"))


def paste(bench: Workbench) -> None:
    """What was copied, on the sheet in front; the pasted things are selected."""
    text, sheet_id, before = QGuiApplication.clipboard().text(), bench.sheet_id, bench.store.document
    if bench.store.apply(lambda document: clipboard.paste(document, text, sheet_id), tr("Paste")):
        bench.selection.set(clipboard.pasted_keys(before, bench.store.document, sheet_id))


def duplicate(bench: Workbench) -> None:
    """A copy a little aside, selected."""
    sheet_id, keys, before = bench.sheet_id, bench.selection.keys, bench.store.document
    if bench.store.apply(lambda document: clipboard.duplicate(document, sheet_id, keys), tr("Duplicate")):
        bench.selection.set(clipboard.pasted_keys(before, bench.store.document, sheet_id))


def delete(bench: Workbench) -> None:
    """What is selected."""
    keys = bench.selection.keys
    bench.store.apply(lambda document: placing.delete(document, keys), tr("Delete"))


def select_all(bench: Workbench) -> None:
    """Every part and note of the sheet."""
    sheet = bench.sheet
    bench.selection.set([f"part:{place.part}" for place in sheet.places] + [f"note:{note.id}" for note in sheet.notes])


def select_none(bench: Workbench) -> None:
    """Nothing."""
    bench.selection.clear()


def point(bench: Workbench) -> None:
    """The tool at rest."""
    bench.view.select()
    bench.view.setFocus()


def lead_run(bench: Workbench) -> None:
    """The tool that connects ports."""
    bench.view.connect_ports()


def pointing(bench: Workbench) -> bool:
    """The tool at rest is in hand."""
    return bench.tool == "select"


def leading(bench: Workbench) -> bool:
    """The tool that connects is in hand."""
    return bench.tool == "connect"


def placing_now(bench: Workbench) -> bool:
    """A part from Stores is in hand."""
    return bench.tool == "place"


def note(bench: Workbench) -> None:
    """A line of text in the middle of what is seen, ready to be written."""
    view, sheet_id = bench.view, bench.sheet_id
    x, y = view.camera.to_mm(view.width() / 2, view.height() / 2)
    before = bench.store.document
    words = tr("Note")
    if bench.store.apply(lambda document: arranging.add_note(document, sheet_id, x, y, words), tr("Write a note")):
        bench.selection.set(clipboard.pasted_keys(before, bench.store.document, sheet_id))
        bench.window.dock("particulars").bring()
        bench.panes.particulars.focus_first()


def turn(bench: Workbench) -> None:
    """A quarter turn."""
    sheet_id, keys = bench.sheet_id, bench.selection.keys
    bench.store.apply(lambda document: arranging.rotate(document, sheet_id, keys), tr("Turn"))


def mirrored(bench: Workbench) -> None:
    """Left for right."""
    sheet_id, keys = bench.sheet_id, bench.selection.keys
    bench.store.apply(lambda document: arranging.mirror(document, sheet_id, keys), tr("Mirror"))


def _boxes(bench: Workbench) -> dict[str, arranging.Box]:
    drawn = bench.view.bench.drawing.boxes
    return {part: drawn[f"part:{part}"] for part in bench.selection.ids("part") if f"part:{part}" in drawn}


def align(edge: arranging.Edge) -> Callable[[Workbench], None]:
    """The selected parts on one edge."""

    def run(bench: Workbench) -> None:
        sheet_id, boxes = bench.sheet_id, _boxes(bench)
        bench.store.apply(lambda document: arranging.align(document, sheet_id, boxes, edge), tr("Align"))

    return run


def distribute(axis: arranging.Axis) -> Callable[[Workbench], None]:
    """The selected parts with equal gaps."""

    def run(bench: Workbench) -> None:
        sheet_id, boxes = bench.sheet_id, _boxes(bench)
        bench.store.apply(lambda document: arranging.distribute(document, sheet_id, boxes, axis), tr("Space evenly"))

    return run


def has_runs(bench: Workbench) -> bool:
    """The boat has runs."""
    return bool(bench.store.document.network.runs)


def runs_selected(bench: Workbench) -> bool:
    """A run is selected."""
    return bool(bench.selection.ids("run"))


def lead_anew(bench: Workbench) -> None:
    """The selected runs without bends of their own: the program leads them."""
    sheet_id, runs = bench.sheet_id, bench.selection.ids("run")

    def edit(document: Document) -> Document:
        for run in sorted(runs):
            document = wiring.set_route(document, sheet_id, run, ())
        return document

    bench.store.apply(edit, tr("Lead anew"))


def renumber(bench: Workbench) -> None:
    """Wire numbers 1, 2 … in the order of the runs on their sheets."""
    bench.store.apply(lambda document: fields.renumber_wires(document), tr("Number the wires anew"))


def inline_selected(bench: Workbench) -> bool:
    """One part is selected, of a kind that stands in a run."""
    return bool(_inline(bench))


def take_out(bench: Workbench) -> None:
    """The selected in-line part gone, its two runs joined."""
    part = next(iter(bench.selection.ids("part")))
    inline = _inline(bench)
    bench.store.apply(lambda document: wiring.remove_inline(document, part, inline), tr("Take out of the run"))


def _inline(bench: Workbench) -> tuple[str, ...]:
    """The two ports between which the one selected part stands in a run; empty where it does not."""
    ids = bench.selection.ids("part")
    parts = [part for part in bench.store.document.network.parts if part.id in ids]
    kind = bench.library.get(parts[0].kind) if len(parts) == 1 else None
    return kind.inline if kind else ()
