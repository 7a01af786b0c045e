"""Room to grow as lines that a person reads: each way, stud and bank; one way with all its limits; a further battery."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from engine.electrics.sources import Rulebook, number_text
from engine.graph.boat import Boat
from engine.messages import enumerated, tr
from engine.model.network import Particulars
from engine.remedies.bank_growth import BankRoom, FurtherBattery
from engine.remedies.choosing import Ask, NoFit, fit
from engine.remedies.growth import Room
from engine.remedies.limit_words import amps_text, distance_text, lacking, limit_text, room_text
from engine.remedies.limits import shown
from engine.remedies.stock import Stock
from engine.rules.bounds import Bound, source_text

VERDICTS = {"must-change": "must change", "cannot-tell": "cannot tell", "holds": "holds", "look": "look aboard"}
AT_ONCE = "All circuits are counted as on at once, at their running current, as the check counts them."
ANY_BUNDLE = "Wires: 105 °C insulation, in any bundle, {engine}; sized for the largest fuse that the way takes."


def place_name(boat: Boat, room: Room) -> str:
    """ "A1.22", "W2"."""
    name = room.part.designation or room.part.label
    return f"{name}.{room.position.key}" if room.position else name


def sizes_text(room: Room, ask: Ask, books: Sequence[Rulebook], boat: Particulars, stock: Stock) -> str:
    """ "fuse at most 20 A, wire at least 10 AWG at 16.4 ft (5 m)"; where none serves, why."""
    try:
        found = fit(room, ask, books, boat, stock)
    except NoFit as refused:
        return str(refused)
    device = tr("fuse") if room.position and room.position.device == "fuse" else tr("breaker")
    return tr("{device} at most {largest} A, wire at least {size} at {distance}").format(
        device=device, largest=number_text(found.largest_fuse_a), size=found.size.name,
        distance=distance_text(ask.distance_m, boat.units),
    )  # fmt: skip


def room_lines(boat: Boat, found: Iterable[Room], ask: Ask, books: Sequence[Rulebook], stock: Stock) -> Iterator[str]:
    """One line for each place; ways of a panel that are alike in one."""
    alike: dict[tuple[str, str], list[str]] = {}
    for room in found:
        text = room_text(boat, room)
        if room.amps.least > 0 and room.position is not None:
            asked = Ask(room.amps.least, ask.distance_m, ask.critical, ask.engine_space)
            text += "; " + sizes_text(room, asked, books, boat.network.particulars, stock)
        alike.setdefault((room.part.id, text), []).append(place_name(boat, room))
    for (_, text), names in alike.items():
        yield f"{', '.join(names)}: {text}"


def limit_lines(boat: Boat, room: Room) -> Iterator[str]:
    """Every limit of a place, the tightest first, with its sum and its sources."""
    for limit in room.limits:
        yield f"  {amps_or_none(limit.room):>10}  {limit_text(boat, limit)}"
        yield f"              {limit.formula}"
        yield from (f"              {source_text(source)}" for source in limit.sources)


def amps_or_none(amps: Bound) -> str:
    """What one limit leaves."""
    return tr("{amps} A").format(amps=shown(Bound(max(0.0, amps.least), max(0.0, amps.most))))


def bank_line(boat: Boat, room: BankRoom) -> str:
    """ "G2 House bank, At anchor: 12 Ah more a day and it still lasts 1 d; …"."""
    name = room.day.name or enumerated(boat.name(part) for part in room.day.batteries)
    head = tr("{bank}, {condition}: ").format(bank=name, condition=room.day.condition)
    if room.kept_for_starting:
        return head + tr("it starts the engine; nothing is added to it")
    if room.room.lacks:
        return head + tr("cannot be told, not known is {fields}").format(fields=lacking(boat, room.room.lacks))
    tail = f"{room.formula} = {shown(room.room)} Ah"
    if room.room.least <= 0:
        return head + tr("nothing more if it is to last {days} d; {sum}").format(days=number_text(room.days), sum=tail)
    return head + tr("{ah} Ah a day more, and it still lasts {days} d; {sum}").format(
        ah=amps_text(room.room), days=number_text(room.days), sum=tail
    )


def battery_lines(boat: Boat, growth: FurtherBattery) -> Iterator[str]:
    """What holds and what must change."""
    yield tr("A further battery in {bank}, like those it has:").format(bank=boat.name(growth.before))
    for answer in growth.answers:
        yield f"  {tr(VERDICTS[answer.verdict]):<12} {answer.what}: {answer.says}"
        if answer.formula and answer.verdict != "holds":
            yield f"               {answer.formula}"
        if answer.verdict in ("must-change", "cannot-tell"):
            yield from (f"               {source_text(source)}" for source in answer.sources)


def assumption_lines(ask: Ask) -> tuple[str, ...]:
    """What the lines rest on."""
    engine = tr("through the engine space too") if ask.engine_space else tr("not in the engine space")
    return tr(AT_ONCE), tr(ANY_BUNDLE).format(engine=engine)


__all__ = ["assumption_lines", "bank_line", "battery_lines", "limit_lines", "place_name", "room_lines", "sizes_text"]
