"""The small words of a sketch and their meaning: numbers, ranges, unknowns, flags, texts, amounts with units, handles.

Reads and writes them; knows no statement.
"""

from __future__ import annotations

import math
import re
from collections.abc import Collection, Iterable

import msgspec

from engine.model.quantity import Quantity, Value
from engine.sketch.tokens import Faults, Token, show

UNKNOWN = "?"
KEYWORDS = frozenset({
    "boat", "revision", "space", "box", "option", "condition", "evidence", "answer", "deviation",
    "house", "house-limit", "house-severity", "house-colour",
})  # fmt: skip

_NUMBER = r"-?\d+(?:\.\d+)?(?:e[+-]?\d+)?"
_QUANTITY = rf"(?:\?|{_NUMBER}(?:\.\.{_NUMBER})?)"
_IS_QUANTITY = re.compile(_QUANTITY)
_AMOUNT = re.compile(rf"({_QUANTITY}(?:/{_QUANTITY})?)([A-Za-z°][A-Za-z0-9²]*)?")
_BARE = re.compile(r"[\w+/-][\w+/.-]*")
_ESCAPES = {"\\": "\\\\", '"': '\\"', "\n": "\\n", "\r": "\\r", "\t": "\\t"}

Handle = tuple[str, str]
"""(designation or number, tag after ~): what a part or run is called inside a sketch."""


class Words(msgspec.Struct):
    """The words of a statement after its head, sorted: "label", @place, key=value pairs, and the rest in order."""

    label: str = ""
    place: Token | None = None
    pairs: dict[str, Token] = {}
    rest: list[Token] = []


class Amount(msgspec.Struct, frozen=True):
    """A number, range or fraction with its unit: 100/150 A, 2/0 AWG, 7 in."""

    text: str
    unit: str
    token: Token

    def part(self, index: int) -> Token:
        """The number before (0) or after (1) the slash, as a word."""
        return msgspec.structs.replace(self.token, text=(piece := self.text.split("/")[index]), mask=piece)


def sort_words(tokens: Iterable[Token], faults: Faults) -> Words:
    """The words sorted; what is said twice is a fault."""
    words = Words()
    labelled = False
    for token in tokens:
        pair = token.cut("=")
        if token.quoted:
            if labelled:
                faults.add(token, "a second label", 'one "label" a line; use note="..." for more')
            words.label, labelled = token.text, True
        elif token.mask.startswith("@"):
            words.place = (token.cut("@") or (token, token))[1]
        elif pair is not None and pair[0].text:
            if pair[0].text in words.pairs:
                faults.add(token, f"{pair[0].text} is said twice", "leave one out")
            words.pairs[pair[0].text] = pair[1]
        else:
            words.rest.append(token)
    return words


def take_amounts(words: Words, units: Collection[str]) -> list[Amount]:
    """Take the amounts with one of the units out of the rest; the unit may stand apart from its number."""
    amounts: list[Amount] = []
    left: list[Token] = []
    queue = list(words.rest)
    while queue:
        token = queue.pop(0)
        found = _AMOUNT.fullmatch(token.mask)
        if found and not found[2] and queue and queue[0].mask in units:
            amounts.append(Amount(found[1], queue.pop(0).text, token))
        elif found and found[2] in units:
            amounts.append(Amount(found[1], found[2], token))
        else:
            left.append(token)
    words.rest = left
    return amounts


def read_quantity(token: Token, faults: Faults) -> Quantity:
    """A number, a range or unknown."""
    if token.quoted or not _IS_QUANTITY.fullmatch(token.mask):
        faults.add(token, f"{show(token.text)} is not a number", "write a number, a range like 150..175, or ?")
        return None
    if token.text == UNKNOWN:
        return None
    ends = [float(end) for end in token.text.split("..")]
    if not all(math.isfinite(end) for end in ends):
        faults.add(token, f"{token.text} is too large", "write a number that exists")
    if len(ends) == 1:
        return ends[0]
    if ends[0] > ends[1]:
        faults.add(token, f"the range {token.text} runs backwards", f"write {write_quantity((ends[1], ends[0]))}")
    return ends[0], ends[1]


def read_flag(token: Token, faults: Faults) -> bool | None:
    """yes, no or unknown."""
    if token.text not in ("yes", "no", UNKNOWN):
        faults.add(token, f"{show(token.text)} is neither yes nor no", "write yes, no or ?")
    return {"yes": True, "no": False}.get(token.text)


def read_text(token: Token) -> str | None:
    """A text; a bare ? is unknown."""
    return None if token.mask == UNKNOWN else token.text


def read_choice(token: Token, what: str, choices: Collection[str], faults: Faults) -> str | None:
    """One of the choices, or unknown."""
    text = read_text(token)
    if text is not None and text not in choices:
        faults.unknown(token, what, choices)
        return None
    return text


def read_any(token: Token, faults: Faults) -> Value:
    """A value whose type nothing states: by its looks."""
    if token.quoted:
        return token.text
    if _IS_QUANTITY.fullmatch(token.mask):
        return read_quantity(token, faults)
    return {"yes": True, "no": False}.get(token.text, token.text)


def read_list(token: Token) -> list[Token]:
    """The words of a comma list; none for an empty one."""
    return token.split(",") if token.text else []


def read_handle(token: Token) -> Handle:
    """What a part or run is called: designation and tag."""
    pair = token.cut("~")
    return (token.text, "") if pair is None else (pair[0].text, pair[1].text)


def write_number(number: float) -> str:
    """The shortest text that reads back as the same number."""
    text = repr(number)
    return text.removesuffix(".0")


def write_quantity(quantity: Quantity) -> str:
    """A number, a range or ?."""
    if quantity is None:
        return UNKNOWN
    if isinstance(quantity, tuple):
        return f"{write_number(quantity[0])}..{write_number(quantity[1])}"
    return write_number(quantity)


def write_value(value: Value) -> str:
    """Any value, in the form that reads back as the same type."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str):
        return write_word(value)
    return write_quantity(value)


def write_word(text: str) -> str:
    """The text bare where it cannot be taken for anything else, or in quotes."""
    plain = _BARE.fullmatch(text) and not _AMOUNT.fullmatch(text) and text not in ("yes", "no", "-")
    return text if plain and text not in KEYWORDS else quote(text)


def write_name(text: str) -> str:
    """A designation, id or key: as a word, but numbers stay bare and separators are quoted."""
    return text if re.fullmatch(r"[\w+/-]+", text) and text not in KEYWORDS and text != "-" else quote(text)


def quote(text: str) -> str:
    """The text in double quotes."""
    return '"' + "".join(_ESCAPES.get(character, character) for character in text) + '"'
