"""How papers write numbers: amperes, lengths in both units, sizes, colours. Unknown is "?", a range "150–175 A".

Knows no layout.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from engine.electrics.sizes import parse_size
from engine.electrics.sources import ElectricsError
from engine.graph.demand import Demand
from engine.messages import enumerated, tr
from engine.model.network import Part, Position, Run, UnitSystem
from engine.model.quantity import Quantity
from engine.papers.circuits import Draw
from engine.rules.bounds import one_way_m
from engine.units import format_quantity, sizes_shown

UNKNOWN = "?"
FEET = 1 / 0.3048
LIVE = frozenset({"+", "L", "L1", "L2"})


def number(value: float, figures: int = 3) -> str:
    """A number without needless digits: 82.9, 100, 0.5."""
    whole = abs(value) >= 10 ** (figures - 1)
    text = f"{value:.0f}" if whole else f"{value:.{figures}g}"
    return text if "e" not in text else f"{value:.0f}"


def tenths(value: float) -> str:
    """One decimal, none where it is 0; two figures below 1."""
    return number(value, 2) if value < 1 else f"{value:.1f}".removesuffix(".0")


def amps(quantity: Quantity) -> str:
    """ "10", "150–175" or "?" (no unit: for a column that has it in its head)."""
    if quantity is None:
        return UNKNOWN
    ends = quantity if isinstance(quantity, tuple) else (quantity,)
    return "–".join(number(end, 4) for end in ends)


def amps_unit(quantity: Quantity) -> str:
    """ "10 A", "150–175 A" or "?"."""
    return format_quantity(quantity, "A")


def drawn(draw: Draw) -> str:
    """A current: a number, a range, "≥ 3" where only part of it is known, "?" where nothing is."""
    if draw.unknown:
        return f"≥ {number(draw.least_a)}" if draw.least_a > 0 else UNKNOWN
    if draw.most_a - draw.least_a < 1e-9:
        return number(draw.most_a)
    return f"{number(draw.least_a)}–{number(draw.most_a)}"


def carried(demand: Demand | None) -> str:
    """The current of one core in service, written like `drawn`."""
    if demand is None:
        return UNKNOWN
    open_end = bool(demand.unknown) or demand.most_a == float("inf")
    return drawn(Draw(demand.least_a, demand.least_a if open_end else demand.most_a, int(open_end)))


def length(run: Run, units: UnitSystem) -> str:
    """The length one way in the boat's unit with the other beside it: "36.1 ft (11 m)"."""
    bound = one_way_m(run)
    if bound.most == float("inf"):
        return UNKNOWN
    ends = (bound.least,) if bound.least == bound.most else (bound.least, bound.most)
    metres = "–".join(tenths(end) for end in ends) + " m"
    feet = "–".join(tenths(end * FEET) for end in ends) + " ft"
    return f"{feet} ({metres})" if units == "us" else f"{metres} ({feet})"


def size(run: Run) -> str:
    """The size as stated, the earth's beside it where it differs."""
    shown = sizes_shown(run.size) or UNKNOWN
    return f"{shown}, PE {sizes_shown(run.pe_size)}" if run.pe_size else shown


def area_mm2(text: str) -> float | None:
    """The area of a size, mm²; None where it is unknown or cannot be read."""
    try:
        return parse_size(text).area_mm2
    except ElectricsError:
        return None


def colours(run: Run) -> str:
    """Colour codes of the cores in the order of the poles: "RD/YE", "?" for each that is not known."""
    return "/".join(colour_codes(run))


def colour_codes(run: Run) -> tuple[str, ...]:
    """A code for each core."""
    given = (*run.colours, *("",) * len(run.poles))[: len(run.poles)]
    return tuple(code or UNKNOWN for code in given)


def poles(run: Run) -> str:
    """ "+ −", "L N PE"."""
    return " ".join(run.poles).replace("-", "−")


def position_device(position: Position) -> str:
    """What sits in a way: "Breaker", "Fuse" …"""
    words = {"breaker": tr("Breaker"), "fuse": tr("Fuse"), "switch": tr("Switch"), "none": tr("None")}
    residual = f" {amps(position.residual_ma)} mA" if position.residual_ma is not None else ""
    return words[position.device] + residual


def name(part: Part) -> str:
    """Designation and label."""
    return f"{part.designation} {part.label}".strip() or part.id


def natural_key(text: str) -> tuple[tuple[int, str], ...]:
    """A key that puts A2 before A10."""
    return tuple(
        (int(piece), "") if piece.isdecimal() else (-1, piece.casefold()) for piece in re.findall(r"\d+|\D+", text)
    )


def mid_sentence(title: str) -> str:
    """A title inside a sentence: "Bolt-down fuse" becomes small, "DC load" stays."""
    return title if title[1:2].isupper() else title[:1].lower() + title[1:]


def joined(words: Iterable[str], last: str = "") -> str:
    """ "a, b and c"; "a, x; b; c" where one of them has a comma of its own."""
    told = list(dict.fromkeys(words))
    if len(told) < 2 or any("," in word for word in told):
        return enumerated(told)
    return ", ".join(told[:-1]) + f" {last or tr('and')} {told[-1]}"
