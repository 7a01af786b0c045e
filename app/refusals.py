"""What the window says when an edit cannot be done: the code and its values become one sentence. Knows no widget."""

from __future__ import annotations

from collections.abc import Mapping

from engine.messages import tr
from engine.model.edits.records import EditRefused


def _sentences() -> Mapping[str, str]:
    return {
        "designation-empty": tr("A part needs a designation, like F3 or Q1."),
        "designation-taken": tr("{designation} is taken by {label}. Choose another designation."),
        "no-poles": tr("A run carries at least one pole."),
        "colours-count": tr(
            "Wire {number} has {cores} cores, but {colours} colours were given. Give one for each core."
        ),
        "position-twice": tr("There is already a way {key}. Each way has its own number."),
        "position-in-use": tr("Wire {number} is connected to way {key}. Take the wire off first."),
        "no-such-position": tr("{designation} has no way {key}."),
        "same-port": tr("A run cannot begin and end at {port} of the same part."),
        "no-common-pole": tr("{a} {a_port} and {b} {b_port} have no pole in common. Connect ports of the same kind."),
        "already-on-sheet": tr("{designation} is already on this sheet."),
        "last-place": tr("{designation} stands on this sheet only. Delete it, or place it on another sheet first."),
        "not-inline": tr("This part cannot stand in a run. Place it beside and connect it."),
        "wrong-poles": tr("This part takes none of the poles of wire {number}."),
        "cannot-join": tr("The wires on both sides of {designation} cannot become one. Delete it with its wires."),
        "name-empty": tr("Give it a name."),
        "name-taken": tr("There is already one called {name}. Choose another name."),
        "bad-value": tr("That cannot be written here: {what}"),
        "bad-duty": tr("A duty is a share between 0 and 1; {duty} is none."),
        "last-sheet": tr("A drawing has at least one sheet."),
        "sheet-not-empty": tr("Parts stand only on this sheet ({parts}). Move or delete them first."),
        "too-few": tr("Select {least} parts or more."),
        "note-empty": tr("A note needs words; delete it instead."),
        "no-such-field": tr("There is no field {field} here."),
        "not-a-fragment": tr("What was copied is no piece of a boat. Copy parts first."),
        "nothing-to-copy": tr("Select what to copy first."),
        "port-in-use": tr("Wire {number} is connected to {designation} {port}. Take the wire off first."),
        "no-addition": tr("{why}"),
        "no-such-record": tr("That is no longer there."),
        "deviation-without": tr("A deviation needs a reason, a name and a date: somebody must answer for it."),
        "no-such-part": tr("That part is no longer there."),
        "no-such-run": tr("That wire is no longer there."),
        "no-such-sheet": tr("That sheet is no longer there."),
    }


def sentence(refused: EditRefused) -> str:
    """Why the edit was not done, and what to do. An unknown code is shown as it is."""
    template = _sentences().get(refused.code)
    if template is None:
        return tr("This cannot be done ({code}).").format(code=refused.code)
    values = {
        **{"label": tr("another part")},
        **{name: str(value) for name, value in refused.values.items() if value != ""},
    }
    try:
        return template.format(**values)
    except KeyError:
        return tr("This cannot be done ({code}).").format(code=refused.code)
