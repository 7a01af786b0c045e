"""What an operating condition says of one part: where its switch stands, how hard it works."""

from __future__ import annotations

from typing import Any

from engine.model.document import Document
from engine.model.edits.boat import set_fields
from engine.model.edits.records import EditRefused, part_of
from engine.model.network import Condition


def set_duty(document: Document, condition: str, part: str, duty: float | None) -> Document:
    """How hard a part works in a condition, 0 to 1; None: the condition says nothing of it, so it is off or stands by."""
    if duty is not None and not 0 <= duty <= 1:
        raise EditRefused("bad-duty", {"duty": duty})
    return _said(document, condition, part, "duty", None if duty is None else float(duty))


def set_switch(document: Document, condition: str, part: str, state: str | None) -> Document:
    """Where a switch stands in a condition; None: the condition says nothing of it, so it stands as drawn."""
    return _said(document, condition, part, "switches", state)


def _said(document: Document, condition: str, part: str, field: str, value: object) -> Document:
    part_of(document, part)
    old: dict[str, Any] = dict(getattr(_condition_of(document, condition), field))
    old.pop(part, None)
    new = old if value is None else {**old, part: value}
    return set_fields(document, "conditions", condition, **{field: new})


def _condition_of(document: Document, condition: str) -> Condition:
    for each in document.network.conditions:
        if each.id == condition:
            return each
    raise EditRefused("no-such-record", {"id": condition})
