"""What the yard has on its shelves: conductor sizes and ratings of devices, smallest first."""

from __future__ import annotations

from collections.abc import Iterator

import msgspec

from engine.electrics.protection import standard_ratings
from engine.electrics.sizes import ConductorSize, parse_size, standard_sizes
from engine.electrics.sources import ElectricsError
from engine.model.house import House


class Stock(msgspec.Struct, frozen=True):
    """Conductor sizes by name; empty: every standard size of the system that the boat's own wires are in."""

    sizes: tuple[str, ...] = ()


def stock_of(house: House) -> Stock:
    """The sizes that the house rules say are in stock; any where they say nothing."""
    return Stock(house.sizes)


def sizes_from(size: str, stock: Stock) -> Iterator[str]:
    """The sizes larger than one, smallest first, in its own system; from the smallest where it is not known."""
    known = _parsed(size)
    system = known.system if known else "AWG"
    for each in _all_of(stock, known):
        if each.system == system and (known is None or each.area_mm2 > known.area_mm2 + 1e-9):
            yield each.name


def sizes_below(size: str, stock: Stock) -> Iterator[str]:
    """The sizes smaller than one, smallest first, in its own system; none where it is not known."""
    known = _parsed(size)
    for each in _all_of(stock, known) if known else ():
        if each.system == known.system and each.area_mm2 < known.area_mm2 - 1e-9:  # type: ignore[union-attr]
            yield each.name


def ratings_below(rating_a: float, family: str) -> Iterator[float]:
    """The standard ratings below one, largest first."""
    yield from (each for each in reversed(standard_ratings(family)) if each < rating_a)


def _all_of(stock: Stock, known: ConductorSize | None) -> list[ConductorSize]:
    if stock.sizes:
        return sorted(parse_size(name) for name in stock.sizes)
    return sorted(standard_sizes(known.system if known else "AWG"))


def _parsed(size: str) -> ConductorSize | None:
    try:
        return parse_size(size)
    except ElectricsError:
        return None
