"""House rules as lines: of a sketch, or of a file that holds nothing else, which a yard keeps for all its boats.

house "Quillan Bay" date=2026-05-01 sizes="14 AWG","12 AWG" sizes_reason="on the shelf" wire_number=999 wire_number_reason="…"
house-limit critical-drop-percent 2 reason="lamps far forward"
house-severity oversized-holder-fuse.largest-over-limit requirement reason="owners fit what fits"
house-colour - YE reason="black is AC here"
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, get_args

import msgspec

from engine.model.house import House, HouseColour, HouseLimit, HouseSeverity, Limit, Severity
from engine.model.network import POLES
from engine.sketch.fields import FieldReader, read_fields, text
from engine.sketch.tokens import Faults, Token, show
from engine.sketch.words import quote, read_list, read_quantity, sort_words, write_name, write_number

Tokens = tuple[Token, ...]


def _sizes(token: Token, faults: Faults) -> tuple[str, ...]:
    return tuple(each.text for each in read_list(token))


_HOUSE: Mapping[str, FieldReader] = {
    "date": text, "sizes": _sizes, "sizes_reason": text, "wire_number": text, "wire_number_reason": text,
}  # fmt: skip
_REASON: Mapping[str, FieldReader] = {"reason": text}


def read_house(heads: Mapping[str, list[Tokens]], faults: Faults) -> House:
    """The house rules of all lines together."""
    fields: dict[str, Any] = {}
    for again in heads["house"][1:]:
        faults.add(again[0], "a second house", "one house a sketch")
    for tokens in heads["house"][:1]:
        words = sort_words(tokens[1:], faults)
        fields = {"name": words.label, **read_fields(words, _HOUSE, faults)}
    return House(
        **fields,
        limits=tuple(found for tokens in heads["house-limit"] if (found := _limit(tokens, faults))),
        severities=tuple(grade for tokens in heads["house-severity"] if (grade := _severity(tokens, faults))),
        colours=tuple(colour for tokens in heads["house-colour"] if (colour := _colour(tokens, faults))),
    )


def _limit(tokens: Tokens, faults: Faults) -> HouseLimit | None:
    reason = _reason(tokens, "house-limit critical-drop-percent 2", faults)
    if reason is None:
        return None
    value = read_quantity(tokens[2], faults)
    if tokens[1].text not in get_args(Limit):
        faults.unknown(tokens[1], "limit", get_args(Limit))
    elif not isinstance(value, float):
        faults.add(tokens[2], f"{show(tokens[2].text)} is no limit", "write one number")
    else:
        return msgspec.convert({"limit": tokens[1].text, "value": value, "reason": reason}, HouseLimit)
    return None


def _severity(tokens: Tokens, faults: Faults) -> HouseSeverity | None:
    reason = _reason(tokens, "house-severity rule-id.code requirement", faults)
    if reason is None:
        return None
    pair = tokens[1].cut(".")
    if pair is None:
        faults.add(tokens[1], f"{show(tokens[1].text)} names no finding", "write rule-id.code")
    elif tokens[2].text not in get_args(Severity):
        faults.unknown(tokens[2], "severity", get_args(Severity))
    else:
        fields = {"rule": pair[0].text, "code": pair[1].text, "severity": tokens[2].text, "reason": reason}
        return msgspec.convert(fields, HouseSeverity)
    return None


def _colour(tokens: Tokens, faults: Faults) -> HouseColour | None:
    reason = _reason(tokens, "house-colour - YE", faults)
    if reason is None:
        return None
    if tokens[1].text not in POLES:
        faults.unknown(tokens[1], "pole", POLES)
        return None
    return HouseColour(pole=tokens[1].text, colour=tokens[2].text, reason=reason)


def _reason(tokens: Tokens, example: str, faults: Faults) -> str | None:
    """The reason that each line must give, once its other two words are there."""
    words = sort_words(tokens[3:], faults)
    reason = str(read_fields(words, _REASON, faults).get("reason", ""))
    if len(tokens) < 3 or not reason:
        faults.add(tokens[0], "a house rule that is not whole, or gives no reason", f'write: {example} reason="…"')
        return None
    return reason


def write_house(house: House) -> Iterator[str]:
    """The lines of house rules; none where there are none."""
    head = [f"date={quote(house.date)}"] if house.date else []
    head += [f"sizes={','.join(map(quote, house.sizes))}"] if house.sizes else []
    for name in ("sizes_reason", "wire_number", "wire_number_reason"):
        head += [f"{name}={quote(getattr(house, name))}"] if getattr(house, name) else []
    if house.name or head:
        yield " ".join(["house", quote(house.name), *head])
    for limit in house.limits:
        yield f"house-limit {limit.limit} {write_number(limit.value)} reason={quote(limit.reason)}"
    for grade in house.severities:
        about = f"{write_name(grade.rule)}.{write_name(grade.code)}"
        yield f"house-severity {about} {grade.severity} reason={quote(grade.reason)}"
    for colour in house.colours:
        yield f"house-colour {colour.pole} {write_name(colour.colour)} reason={quote(colour.reason)}"
