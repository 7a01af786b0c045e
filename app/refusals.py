"""What a refused edit says to a person: one sentence for each code. Knows no widget."""

from __future__ import annotations

from collections.abc import Mapping

from engine.messages import tr
from engine.model.edits.records import EditRefused

SENTENCES: Mapping[str, str] = {
    "no-such-part": "That part is no longer on the boat.",
    "no-such-run": "That run is no longer on the boat.",
    "no-such-sheet": "That sheet is no longer there.",
    "no-such-record": "That entry is no longer there.",
    "no-such-position": "{designation} has no position {key}.",
    "no-such-field": "There is no field {field}.",
    "no-such-port": "{designation} has no port {port}.",
    "already-on-sheet": "{designation} already stands on this sheet.",
    "last-place": "{designation} stands on no other sheet; delete it to take it off the boat.",
    "same-port": "A run needs two different ports; both ends are on {port}.",
    "no-common-pole": "{a} ({a_port}) and {b} ({b_port}) have no pole in common, so no conductor can join them.",
    "no-poles": "Run {number} must carry at least one pole.",
    "colours-count": "Run {number} has {cores} cores, but {colours} colours were given.",
    "not-inline": "This kind of part is not made to stand in a run.",
    "wrong-poles": "Run {number} carries none of the poles that this part takes.",
    "cannot-join": "{designation} does not have exactly one run on each side with the same poles, "
    "so the runs cannot be joined.",
    "designation-empty": "A part needs a designation.",
    "designation-taken": "{designation} is already the designation of another part.",
    "position-twice": "There is already a position {key}.",
    "position-in-use": "Run {number} lands on position {key}; move or delete the run first.",
    "port-in-use": "Run {number} lands on {designation} {port}, which would no longer be there; "
    "move or delete the run first.",
    "bad-value": "That value does not fit here: {what}.",
    "too-few": "Select at least {least} parts.",
    "note-empty": "A note needs some words.",
    "last-sheet": "A drawing needs at least one sheet.",
    "sheet-not-empty": "{parts} parts stand on this sheet only; delete or move them first.",
    "name-empty": "A name is needed.",
    "name-taken": "{name} is already the name of another.",
    "nothing-to-copy": "Nothing is selected that can be copied.",
    "not-a-fragment": "There is no piece of a drawing on the clipboard.",
}


def sentence(refused: EditRefused) -> str:
    """The sentence of a refused edit, with its values."""
    text = SENTENCES.get(refused.code)
    return tr(text).format(**refused.values) if text else tr("This cannot be done: {code}.").format(code=refused.code)
