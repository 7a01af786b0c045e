"""Room in the batteries: Ah a day that a bank may still give, and what a further battery in a bank asks of everything else.

A further battery is one more of the same kind in parallel: capacity and cranking amperes grow, the internal resistance
falls, a fault draws more. Charger, fuses, switches, cables and fault level are asked again. Knows no edit.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from typing import Literal

import msgspec

from engine.electrics.sources import Source, number_text
from engine.graph.boat import Boat, quantity
from engine.graph.paths import reach
from engine.library.device import Library
from engine.messages import tr
from engine.model.network import Network, Part
from engine.model.quantity import Quantity, high, is_exact, low
from engine.pipeline import Analysis, analyse
from engine.remedies.addition import new_findings
from engine.remedies.limit_words import lacking
from engine.remedies.limits import shown
from engine.rules.api import Finding
from engine.rules.bounds import Bound, rulebook, size_of
from engine.rules.devices import Device, contacts, devices, first_devices, flow_through, is_cranking
from engine.rules.overcurrent.weak_interrupting_capacity import interrupting_of
from engine.rules.permitted import allowed_of
from engine.rules.wording import formula, key_text, sentence
from engine.studies.banks import acceptance, charger_span, usable
from engine.studies.energy import BankDay, anchor_conditions, capacity_of, chemistry_of, energy
from engine.studies.estimate import Estimate, text_of
from engine.studies.faults import fault_levels

Verdict = Literal["holds", "must-change", "cannot-tell", "look"]
SUMMED = ("capacity_ah", "cca_a", "short_circuit_a")
INTERRUPTING = "weak-interrupting-capacity"


class BankRoom(msgspec.Struct, frozen=True):
    """Ah a day that a bank may still give in a condition and yet last the days that are wanted."""

    day: BankDay
    days: float
    room: Bound
    formula: str
    sources: tuple[Source, ...]
    kept_for_starting: bool = False
    """It starts an engine and the boat has another bank: nothing is added to it."""


class Answer(msgspec.Struct, frozen=True):
    """One thing asked again with the further battery aboard."""

    verdict: Verdict
    what: str
    says: str
    formula: str = ""
    sources: tuple[Source, ...] = ()
    rule: str = ""
    """The rule that says so, where one does."""


class FurtherBattery(msgspec.Struct, frozen=True):
    """The bank before and after, and the answers, what must change first."""

    before: Part
    after: Part
    answers: tuple[Answer, ...]


def bank_rooms(boat: Boat, days: float = 1.0) -> tuple[BankRoom, ...]:
    """Every bank in the boat's conditions at anchor; () where it has no condition."""
    found = [day for condition in anchor_conditions(boat) for day in energy(boat, condition)]
    several = len({tuple(part.id for part in day.batteries) for day in found}) > 1
    return tuple(_bank_room(day, days, several and _starts(boat, day)) for day in found)


def _starts(boat: Boat, day: BankDay) -> bool:
    """Whether a starter's cable lands on one of its batteries."""
    return any(run.cranking for part in day.batteries for run in boat.runs_at.get((part.id, "pos"), ()))


def _bank_room(day: BankDay, days: float, starting: bool) -> BankRoom:
    """Usable Ah over the days, plus what comes in, less what goes out; what is usable is the share of common practice."""
    least = day.usable.least / days + day.into.least - day.out.most
    most = day.usable.most / days + day.into.most - day.out.least
    text = tr("{usable} / {days} d + {into} − {out}").format(
        usable=text_of(day.usable), days=number_text(days), into=text_of(day.into), out=text_of(day.out)
    )
    sources = tuple(dict.fromkeys((*day.usable.sources, *day.out.sources, *day.into.sources)))
    return BankRoom(day, days, Bound(least, most, day.lacks), text, sources, starting)


def further_battery(analysis: Analysis, library: Library, bank: Part) -> FurtherBattery:
    """What holds and what must change with one more battery like those of the bank."""
    network = analysis.boat.network
    grown = one_more(bank)
    after = analyse(_with(network, grown), library, analysis.report.books)
    answers = _said_once((
        *_capacity(after.boat, grown, bank),
        *_chargers(after.boat, grown),
        *_breaking_capacity(analysis, after),
        *_carrying(after, grown),
        *_switches(after.boat, grown),
        *_other_findings(analysis, after),
        *_to_look_at(after.boat, grown),
    ))  # fmt: skip
    order: Mapping[Verdict, int] = {"must-change": 0, "cannot-tell": 1, "holds": 2, "look": 3}
    return FurtherBattery(bank, grown, tuple(sorted(answers, key=lambda answer: order[answer.verdict])))


def _said_once(answers: Iterable[Answer]) -> list[Answer]:
    """Where a check finds fault with a thing, a sum of this study that it holds is left out, and that it fails as well."""
    listed = list(answers)
    found = {answer.what for answer in listed if answer.rule}
    return [answer for answer in listed if answer.rule or answer.what not in found or answer.verdict == "look"]


def house_bank(boat: Boat) -> Part | None:
    """The battery of the largest known capacity."""
    known = [part for part in boat.with_role("battery") if quantity(part, "capacity_ah") is not None]
    return max(known, key=lambda part: low(quantity(part, "capacity_ah")), default=None)


def one_more(bank: Part) -> Part:
    """The bank with a further battery in parallel; a single battery becomes a bank of two."""
    now = quantity(bank, "in_parallel")
    count = int(low(now)) if bank.kind == "battery_bank" and is_exact(now) else 1
    factor = (count + 1) / count
    values = dict(bank.values)
    for name in SUMMED:
        values |= {name: _times(quantity(bank, name), factor)} if name in values else {}
    if "internal_mohm" in values:
        values["internal_mohm"] = _times(quantity(bank, "internal_mohm"), 1 / factor)
    values["in_parallel"] = float(count + 1)
    return msgspec.structs.replace(bank, kind="battery_bank", values=values, evidence={})


def _times(value: Quantity, factor: float) -> Quantity:
    if value is None:
        return None
    return (value[0] * factor, value[1] * factor) if isinstance(value, tuple) else value * factor


def _with(network: Network, grown: Part) -> Network:
    parts = tuple(grown if part.id == grown.id else part for part in network.parts)
    return msgspec.structs.replace(network, parts=parts)


def _capacity(boat: Boat, grown: Part, bank: Part) -> Iterator[Answer]:
    before, after = (shown(_bound(quantity(part, "capacity_ah"))) for part in (bank, grown))
    use = usable(capacity_of(boat, [grown]), chemistry_of([grown]))
    text = tr("{before} Ah become {after} Ah, of which {usable} are used").format(
        before=before, after=after, usable=text_of(use)
    )
    yield Answer("holds" if use.exact else "cannot-tell", tr("Capacity"), text, use.formula, use.sources)


def _bound(value: Quantity) -> Bound:
    return Bound(low(value, 0.0), high(value))


def _chargers(boat: Boat, grown: Part) -> Iterator[Answer]:
    """A charger gives the least that suits the bank, or more; what charges while the engine runs is told beside it."""
    takes = acceptance(capacity_of(boat, [grown]), chemistry_of([grown]))
    for part in boat.network.parts:
        charged = _charged_by(boat, part)
        if grown not in charged:
            continue
        if part.kind in ("shore_charger", "inverter_charger"):
            name = "output_a" if part.kind == "shore_charger" else "charge_a"
            span = charger_span(capacity_of(boat, charged), chemistry_of(charged))
            yield _charger(boat, part, quantity(part, name), span, charged)
        elif part.kind == "alternator":
            yield _alternator(boat, part, takes)


def _charged_by(boat: Boat, part: Part) -> list[Part]:
    """The batteries that hang together with its positive terminals, every contact closed."""
    near = {node[0] for node in reach(boat.wires, boat.terminals_of(part, "+")) if node[2] == "+"}
    return [battery for battery in boat.with_role("battery") if battery.id in near]


def _charger(boat: Boat, part: Part, output: Quantity, span: Estimate, charged: list[Part]) -> Answer:
    text = tr("it gives {amps} A; {least} to {most} A suit {banks}").format(
        amps=shown(_bound(output)), least=number_text(span.least), most=number_text(span.most),
        banks=" + ".join(each.designation for each in charged),
    )  # fmt: skip
    small, good = high(output) < span.least, low(output, 0.0) >= span.least
    verdict: Verdict = "must-change" if small else "holds" if good and not span.lacks else "cannot-tell"
    return Answer(verdict, boat.name(part), text, span.formula, span.sources)


def _alternator(boat: Boat, part: Part, takes: Estimate) -> Answer:
    """It is never too small; but a larger bank keeps it at full output longer, and that heats it."""
    gives = quantity(part, "hot_a") if quantity(part, "hot_a") is not None else quantity(part, "rated_a")
    text = tr("it gives {amps} A, the bank takes up to {takes}: it works at full output until the bank is nearly charged; "
              "see that it stands that (hot rating, regulator with a temperature sensor)").format(
        amps=shown(_bound(gives)), takes=text_of(takes))  # fmt: skip
    return Answer("look", boat.name(part), text, takes.formula, takes.sources)


def _breaking_capacity(before: Analysis, after: Analysis) -> Iterator[Answer]:
    """Every DC fuse and breaker must interrupt what a fault then draws."""
    broken, open_ = _weak(after, "breaks"), _weak(after, "cannot-tell")
    known = {"breaks": _weak(before, "breaks"), "cannot-tell": _weak(before, "cannot-tell")}
    for verdict, found in (("breaks", broken), ("cannot-tell", open_)):
        for key, finding in found.items():
            if key not in known[verdict]:
                yield Answer(
                    _verdict(finding), key_text(key, after.boat), _says(finding, after.boat), rule=finding.rule.id
                )
    live = [each for each in devices(after.boat) if each.a[2] == "+"]
    first = after.boat.carry_wiring(first_devices)
    firm = [each for each in live if each.key not in broken and each.key not in open_]
    yield from (_level(before.boat, after.boat, device) for device in firm if device.key in first)
    yield from _counted(len([each for each in firm if each.key not in first]), "holds", tr(
        "{count} further fuses and breakers interrupt what is wanted of them"))  # fmt: skip
    stay = [each for each in live if each.key in {**known["breaks"], **known["cannot-tell"]}]
    yield from _counted(len([each for each in stay if each.key in broken]), "must-change", tr(
        "{count} fuses and breakers were too weak for a fault before, and are so the more"))  # fmt: skip
    yield from _counted(len([each for each in stay if each.key in open_]), "cannot-tell", tr(
        "of {count} fuses and breakers it could not be told before whether they open a fault, and cannot now"))  # fmt: skip


def _counted(count: int, verdict: Verdict, text: str) -> Iterator[Answer]:
    if count:
        yield Answer(verdict, tr("Fuses and breakers"), text.format(count=count))


def _weak(analysis: Analysis, verdict: str) -> dict[str, Finding]:
    """The devices of which the check says so, under whichever rulebook."""
    return {
        finding.outcome.subjects[0]: finding
        for finding in analysis.findings
        if finding.rule.id == INTERRUPTING and finding.outcome.verdict == verdict
    }


def _says(finding: Finding, boat: Boat) -> str:
    if finding.outcome.verdict == "breaks":
        return sentence(finding, boat)
    fields = lacking(boat, finding.outcome.lacks)
    return tr("{title}? Not known is {fields}").format(title=tr(finding.rule.title), fields=fields)


def _verdict(finding: Finding) -> Verdict:
    return "must-change" if finding.outcome.verdict == "breaks" else "cannot-tell"


def _level(before: Boat, after: Boat, device: Device) -> Answer:
    levels = [fault_levels(boat).get(device.a) or fault_levels(boat).get(device.b) for boat in (before, after)]
    was, now = (_amps(level.most_a) if level else "?" for level in levels)
    rated = interrupting_of(after, device)
    text = tr("a fault there draws up to {now} A (before: {was} A); it interrupts {rated} A").format(
        now=now, was=was, rated=shown(_bound(rated))
    )
    return Answer("holds", key_text(device.key, after), text, levels[1].formula if levels[1] else "")


def _amps(value: float) -> str:
    return "?" if math.isinf(value) else f"{value:.0f}"


def _carrying(analysis: Analysis, grown: Part) -> Iterator[Answer]:
    """The cables of the bank carry what the loads draw, not what the bank could give: its fuse holds that."""
    boat = analysis.boat
    for run in boat.runs_at.get((grown.id, "pos"), ()):
        demand = boat.demand.get((run.id, "+"))
        if demand is not None and not run.cranking:
            load = Bound(demand.least_a, demand.most_a)
            cores = [allowed_of(boat, rulebook(book))[run.id, "+"] for book in analysis.report.books if book != "any"]
            core = min(cores, key=lambda each: each.least_a)
            text = tr("{load} A in service, {allowed} A allowed: a larger bank changes neither").format(
                load=shown(load), allowed=shown(Bound(core.least_a, core.most_a))
            )
            verdict = _judged(load, Bound(core.least_a, core.most_a))
            yield Answer(
                verdict, tr("Wire {number}").format(number=run.number or run.id), text, core.formula, core.sources
            )


def _judged(load: Bound, limit: Bound) -> Verdict:
    if load.most <= limit.least:
        return "holds"
    return "must-change" if load.least > limit.most else "cannot-tell"


def _switches(boat: Boat, grown: Part) -> Iterator[Answer]:
    """The switches that the bank feeds first."""
    near = reach(boat.wires, [(grown.id, "pos", "+")], lambda edge: edge.kind == "contact")
    for contact in boat.carry_wiring(contacts):
        if (contact.a in near or contact.b in near) and contact.edge.part is not None:
            if is_cranking(boat, contact) or "battery_s" not in contact.edge.part.kind:
                continue
            yield _switch(boat, contact)


def _switch(boat: Boat, contact: Device) -> Answer:
    load = flow_through(boat, contact)
    rated = _bound(boat.rating_of(contact.edge))
    text = tr("{load} A in service, rated {rated} A: a larger bank changes neither").format(
        load=shown(load), rated=shown(rated)
    )
    return Answer(_judged(load, rated), key_text(contact.key, boat), text)


def _other_findings(before: Analysis, after: Analysis) -> Iterator[Answer]:
    """Whatever else the checks now say that they did not say before."""
    for finding in new_findings(before, after):
        if finding.rule.id != INTERRUPTING:
            subject = finding.outcome.subjects[:1]
            what = key_text(subject[0], after.boat) if subject else tr("The boat")
            yield Answer(_verdict(finding), what, _says(finding, after.boat), formula(finding), rule=finding.rule.id)


def _to_look_at(boat: Boat, grown: Part) -> Iterator[Answer]:
    posts = [run for port in ("pos", "neg") for run in boat.runs_at.get((grown.id, port), ())]
    sizes = {run.size: size.area_mm2 for run in posts if (size := size_of(run, run.poles[0])) is not None}
    thickest = max(sizes, key=lambda name: sizes[name], default="?")
    yield Answer("look", tr("Aboard"), tr(
        "room, hold-down and ventilation of the battery space; a battery of the same make, kind, size and age, joined in both "
        "poles with cables like the thickest of the bank ({size}), the load taken off at opposite corners; at most four "
        "terminals on a post").format(size=thickest))  # fmt: skip


__all__ = ["Answer", "BankRoom", "FurtherBattery", "bank_rooms", "further_battery", "house_bank", "one_more"]
