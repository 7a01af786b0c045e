"""From how conductors are protected to the answers of the overcurrent rules: one for each run, with the numbers to show."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from engine.electrics.sources import Rulebook
from engine.graph.boat import Boat
from engine.rules.api import Book, Outcome, Shown
from engine.rules.bounds import judged, rulebook
from engine.rules.each import Turn
from engine.rules.families import family_of
from engine.rules.legs import INCH_M, Way
from engine.rules.permitted import State, allowed_of
from engine.rules.protection import PROTECTIONS, Protection, by_run, devices_by_key

Ends = tuple[Protection, ...]
"""How the ends of the live cores of a run are protected: what the overcurrent rules ask of."""


def as_fitted(boat: Boat, book: Book) -> Mapping[str, Ends]:
    """The ends of each run, with the fuses fitted."""
    return by_run(boat, rulebook(book))


def ends_touched(turn: Turn, book: Book) -> frozenset[str]:
    """Of a rule that reads nothing else of a run that meets it."""
    return turn.runs | turn.differing(PROTECTIONS[rulebook(book), False])


def answers(boat: Boat, book: Rulebook, codes: Mapping[State, str], ends: Ends) -> Iterator[Outcome]:
    """For a run the states that a rule is about, with the code of each: breaks, cannot tell, or meets."""
    if held := all_held(ends, next(iter(codes.values()))):
        yield held  # else another of the rules may speak
        return
    broken = [each for each in ends if each.best in codes]
    untold = [each for each in ends if each.best == "held" and each.worst in codes]
    if broken:
        for state in dict.fromkeys(each.best for each in broken):
            yield answer(boat, _gravest(broken, state), codes[state], book)
    elif untold:
        yield answer(boat, max(untold, key=lambda each: each.feed.current_a), codes[untold[0].worst], book)


def all_held(ends: Ends, code: str) -> Outcome | None:
    """That the rule is met, where all ends of a run are held; nobody reads the numbers of that."""
    return met_by(ends[0], code) if all(each.best == each.worst == "held" for each in ends) else None


def met_by(each: Protection, code: str) -> Outcome:
    """The answer that an end of a run meets a rule."""
    subjects = (f"run:{each.end.run.id}", *_other_subjects(each))
    return judged(code, subjects, safe=True, hopeless=False, sources=each.limit.sources)


def _gravest(broken: list[Protection], state: State) -> Protection:
    return max((each for each in broken if each.best == state), key=lambda each: each.feed.current_a)


def answer(boat: Boat, each: Protection, code: str, book: Rulebook, broken: bool = False) -> Outcome:
    """One answer about one end of a run: broken, or what the states of its protection say."""
    run = each.end.run
    return judged(
        code,
        (f"run:{run.id}", *_other_subjects(each)),
        safe=False,
        hopeless=broken or each.best != "held",
        lacks=each.lacks,
        values=lambda: values_of(boat, each, book),
        sources=(*each.limit.sources, *((each.reach.source,) if each.reach else ())),
        path=path_of(boat, each),
    )


def _other_subjects(each: Protection) -> tuple[str, ...]:
    if each.best == "far" and each.leg is not None:
        return tuple(dict.fromkeys(way.device.key for way in each.leg.ways))
    return () if each.best == "none" else tuple(dict.fromkeys(key for key, _ in each.feed.by))


def path_of(boat: Boat, each: Protection) -> tuple[str, ...]:
    """The sources or devices that push, the run, and what follows it up to the first devices."""
    ways = each.leg.ways if each.leg else ()
    onward = [key for way in ways for key in (*(f"run:{run}" for run in way.runs), way.device.key)]
    return tuple(dict.fromkeys([*(key for key, _ in each.feed.by), f"run:{each.end.run.id}", *onward]))


def values_of(boat: Boat, each: Protection, book: Rulebook) -> dict[str, Shown]:
    """What the sentences of the overcurrent rules may show."""
    run = each.end.run
    core = allowed_of(boat, book)[run.id, each.end.pole]
    return {
        "run": boat.name_run(run),
        "size": run.size or "?",
        "place": place_of(boat, each),
        "feed_a": current_text(each.feed.current_a),
        "feed": " + ".join(item_text(boat, key, amount) for key, amount in each.feed.by) or "nothing",
        "limit_a": permitted_a(boat, each),
        "sum_a": each.limit.sum_a,
        "allowed_a": core.most_a,
        "formula": each.limit.formula,
        "table": core.formula,
        **_distance_values(boat, each),
    }


def permitted_a(boat: Boat, each: Protection) -> float:
    """The largest device, A, of the series of the one that is too large; what any device may be where there is none."""
    devices = devices_by_key(boat)
    limits = [
        (each.limit.for_device(family_of(devices[key])), amount) for key, amount in each.feed.by if key in devices
    ]
    exceeded = [limit for limit, amount in limits if amount > limit]
    return min(exceeded or [limit for limit, _ in limits] or [each.limit.by_family[""]])


def place_of(boat: Boat, each: Protection) -> str:
    """The part at which the conductor's end is."""
    part = boat.parts.get(each.end.node[0])
    return boat.name(part) if part else "?"


def _distance_values(boat: Boat, each: Protection) -> dict[str, Shown]:
    if each.leg is None or each.reach is None or not each.leg.ways:
        return {"distance": "?", "permitted": "?", "device": "none", "clause": each.reach.clause if each.reach else "?"}
    way = farthest(each.leg.ways)
    permitted_m = way.permitted_m(each.reach, surely=False)
    return {
        "distance": length_text(way.distance.least),
        "permitted": length_text(permitted_m),
        "device": item_name(boat, way.device.key),
        "clause": each.reach.clause,
    }


def farthest(ways: tuple[Way, ...]) -> Way:
    """The way on which the first device is farthest."""
    return max(ways, key=lambda way: way.distance.least)


def length_text(length_m: float) -> str:
    """A short length in both unit worlds."""
    return "any length" if length_m == float("inf") else f"{length_m:.3g} m ({length_m / INCH_M:.3g} in)"


def current_text(current_a: float) -> str:
    """Amperes, or that nothing limits them."""
    return "unlimited current" if current_a == float("inf") else f"{current_a:.4g} A"


def item_name(boat: Boat, key: str) -> str:
    """A device or source by its name; a way of a panel with the panel and its key."""
    _, _, rest = key.partition(":")
    part_id, _, position = rest.partition("/")
    name = boat.name(boat.parts[part_id]) if part_id in boat.parts else part_id
    return f"{name} way {position}" if position else name


def item_text(boat: Boat, key: str, amount: float) -> str:
    """A device or source with what it lets through."""
    return f"{item_name(boat, key)} {current_text(amount)}"
