"""What a person calls a field: the title that the device kind gives it, else its own name without the unit."""

from __future__ import annotations

from engine.library.device import DeviceKind
from engine.messages import tr

UNITS = ("_m", "_a", "_c", "_v", "_ma", "_w", "_ah", "_ohm", "_mohm", "_mv", "_pct")


def field_text(field: str) -> str:
    """A field's name as a person reads it: length_m -> length."""
    for suffix in UNITS:
        if field.endswith(suffix):
            field = field.removesuffix(suffix)
            break
    return tr(field.replace("_", " "))


def value_text(kind: DeviceKind | None, field: str) -> str:
    """The title of a part's value within a sentence: running_a -> "running current"."""
    title = next((tr(spec.title) for spec in kind.value if spec.name == field), "") if kind else ""
    if not title:
        return field_text(field)
    return title if title[1:2].isupper() else title[:1].lower() + title[1:]
