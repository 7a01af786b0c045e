"""Naming the place of trouble in a boat file: line and column, or array, index, designation and field."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

import msgspec

from engine.files.record import ARRAYS
from engine.messages import tr

_AT = re.compile(r"^(?P<reason>.*?)(?: - at `\$?(?P<path>.*)`)?$", re.DOTALL)
_BYTE = re.compile(r"^(?P<reason>.*?) ?\(byte (?P<byte>\d+)\)$")
_STEP = re.compile(r"\.([^.\[]+)|\[(\d+|\.\.\.)\]")
_WORDS = {
    "Object missing required field": "it lacks",
    "Object contains unknown field": "it has an unknown field",
    "`null`": "unknown (null)",
    "`float`": "number",
    "`array`": "range or list",
    "`str`": "text",
    "`int`": "whole number",
    "`bool`": "true or false",
    "`object`": "a record",
    " | ": " or ",
    "`": "",
}
_UNION = re.compile(r"`([a-z|]+(?: [a-z|]+)*)`")
_LABELS = ("designation", "number", "key", "name", "title", "id")
"""What a person knows a record by, best first."""


class Place(msgspec.Struct, frozen=True):
    """Where something is wrong, and what."""

    text: str
    reason: str
    at_end: bool = False

    @staticmethod
    def of_error(tree: Mapping[str, Any], message: str) -> Place:
        """The place a validation message speaks of, in the words of the boat: parts[12] (F3): rating_a."""
        found = _AT.match(message)
        reason = _plain(found["reason"] if found else message)
        steps = _STEP.findall(found["path"] or "") if found else []
        return Place(_walk(tree, [name or index for name, index in steps]), reason)


def place_of_byte(data: bytes, at: int) -> str:
    """Line and column of a byte."""
    before = data[:at]
    line = before.count(b"\n") + 1
    column = at - (before.rfind(b"\n") + 1) + 1
    return tr("line {line}, column {column}").format(line=line, column=column)


def place_of_trouble(data: bytes, message: str) -> Place:
    """The place a syntax message speaks of."""
    found = _BYTE.match(message)
    if found is None:
        return Place(place_of_byte(data, len(data)), message, at_end="truncated" in message)
    at = int(found["byte"])
    reason = found["reason"].removeprefix("JSON is malformed: ")
    return Place(place_of_byte(data, at), reason, at_end=at >= len(data.rstrip()))


def place_of_record(record: Mapping[str, Any]) -> str:
    """What a person knows the record by; "" where it has no name."""
    return next((f"“{record[key]}”" for key in _LABELS if isinstance(record.get(key), str) and record[key]), "")


def _plain(reason: str) -> str:
    """The library's message in a person's words."""
    words = _UNION.sub(lambda found: " | ".join(f"`{name}`" for name in found[1].split(" | ")), reason)
    for theirs, ours in _WORDS.items():
        words = words.replace(theirs, ours)
    return words[:1].lower() + words[1:]


def _walk(tree: Any, steps: list[str]) -> str:
    words = ""
    node = tree
    for at, step in enumerate(steps):
        if step == "...":
            step = _culprit(tree, steps, at)
        if step.isdecimal() and isinstance(node, list):
            node = node[int(step)] if int(step) < len(node) else None
            label = place_of_record(node) if isinstance(node, dict) else ""
            words += f"[{step}]" + (f" ({label.strip('“”')})" if label else "")
        else:
            node = node.get(step) if isinstance(node, dict) else None
            words += (": " if words.endswith((")", "]")) else "." if words else "") + step
    return words


def _culprit(tree: Mapping[str, Any], steps: list[str], at: int) -> str:
    """The key that a message leaves out: the one whose removal lets the record pass this place."""
    group, record = steps[0], tree[steps[0]][int(steps[1])] if len(steps) > 1 and steps[0] in ARRAYS else None
    mapping = record.get(steps[2]) if isinstance(record, dict) and at == 3 else None
    for key in mapping or {}:
        try:
            msgspec.convert({**(record or {}), steps[2]: {key: mapping[key]}}, ARRAYS[group])  # type: ignore[index]
        except msgspec.ValidationError as error:
            if f".{steps[2]}[...]" in str(error):
                return str(key)
    return "..."
