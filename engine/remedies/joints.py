"""Remedies that move a joint, add a core or feed a circuit from elsewhere: neutral and earth joined once and in the right
place, an earth that reaches, a pump that stays live."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

import msgspec

from engine.electrics.sizes import parse_size
from engine.electrics.sources import ElectricsError
from engine.library.expand import ports_of
from engine.messages import tr
from engine.model.document import Document
from engine.model.edits.fields import set_run_fields, set_values
from engine.model.edits.placing import delete
from engine.model.edits.records import run_of
from engine.model.edits.wiring import reconnect
from engine.model.network import End, Part, Run
from engine.remedies.devices import NEAR_M, putting, spot_at, worse
from engine.remedies.edits import run_edit
from engine.remedies.record import Ask, Edit, Remedy
from engine.remedies.stock import sizes_from

BATTERY_RATINGS_A = (30.0, 25.0, 20.0, 15.0, 10.0, 7.5, 5.0, 3.0)
"""Blade fuses that are tried for a pump, largest first."""


def _joint_out(ask: Ask) -> Iterator[Remedy]:
    """The joint of neutral and earth that the finding names, taken out."""
    named = ask.finding.outcome.subjects[1:2]
    for key in named:
        edit = _without_joint(key)
        what = ask.boat.runs.get(key[4:]) if key.startswith("run:") else None
        part = ask.boat.parts.get(key.partition(":")[2])
        if what is not None:
            yield Remedy(tr("take wire {number} out").format(number=what.number or what.id), edit)
        elif part is not None and _can_bond(ask, part):
            yield Remedy(tr("take the joint of neutral and earth in {part} out").format(part=ask.boat.name(part)), edit)


def _can_bond(ask: Ask, part: Part) -> bool:
    kind = ask.boat.kind(part)
    return kind is not None and any(value.name == "bonds_neutral" for value in kind.value)


def _without_joint(key: str) -> Edit:
    if key.startswith("run:"):
        return lambda document: delete(document, {key})
    return lambda document: set_values(document, key.partition(":")[2], {"bonds_neutral": False})


def _earthed_once(ask: Ask) -> Iterator[Remedy]:
    """Joined at the source itself and nowhere else."""
    if ask.code == "earthed-twice":
        yield from _joint_out(ask)
        return
    for source in ask.parts()[:1]:
        title = tr("join neutral and earth in {source}")
        if ask.code == "earthed-elsewhere":
            key = ask.finding.outcome.subjects[1]
            out = _without_joint(key)
            title = tr("join neutral and earth in {source} and take the joint at {joint} out")
        else:
            key, out = "", lambda document: document
        joint = str(ask.finding.outcome.values.get("joint", ""))
        told = title.format(source=ask.boat.name(source), joint=joint)
        yield Remedy(told, _joined_at(source.id, out))


def _joined_at(source_id: str, first: Edit) -> Edit:
    return lambda document: set_values(first(document), source_id, {"bonds_neutral": True})


def _earth_core(ask: Ask) -> Iterator[Remedy]:
    """The supply cable led anew with a protective earth in it."""
    yield from _with_core(ask, "PE", tr("lead wire {number} with a protective earth"))


def _return_core(ask: Ask) -> Iterator[Remedy]:
    """The supply cable led anew with its return in it."""
    pole = str(ask.finding.outcome.values.get("pole", "-"))
    yield from _with_core(ask, pole, tr("lead wire {number} with its return"))


def _with_core(ask: Ask, pole: str, title: str) -> Iterator[Remedy]:
    for part in ask.parts()[:1]:
        for port in ask.boat.ports(part):
            for run in ask.boat.runs_at.get((part.id, port.name), ()):
                if pole not in run.poles and all(_takes(ask, end, pole) for end in (run.a, run.b)):
                    poles = (*run.poles, pole)
                    edit = run_edit(run.id, poles=poles)
                    yield Remedy(title.format(number=run.number or run.id), edit)


def _takes(ask: Ask, end: End, pole: str) -> bool:
    part = ask.boat.parts.get(end.part)
    kind = ask.boat.kind(part) if part else None
    ports = ports_of(part, kind) if part and kind else ()
    return any(port.name == end.port and pole in port.poles for port in ports)


def _thicker_core(ask: Ask) -> Iterator[Remedy]:
    """The smallest protective earth that serves, the other cores left as they are."""
    for run in ask.runs()[:1]:
        with_lines = "PE" in run.poles and len(run.poles) > 1
        now = run.pe_size if with_lines and run.pe_size else run.size
        for size in sizes_from(now, ask.stock):
            fields = _earth_fields(run, size) if with_lines else {"size": size}
            title = tr("the protective earth of wire {number}: {size}").format(number=run.number or run.id, size=size)
            yield Remedy(title, run_edit(run.id, **fields))
            if _at_least(size, run.size) and with_lines:
                return


def _earth_fields(run: Run, size: str) -> dict[str, str]:
    return {"pe_size": "" if _at_least(size, run.size) else size}


def _at_least(size: str, other: str) -> bool:
    try:
        return parse_size(size).area_mm2 >= parse_size(other).area_mm2
    except ElectricsError:
        return False


def _ahead_of_the_switch(ask: Ask) -> Iterator[Remedy]:
    """The feed of a pump or alarm taken to a battery's post, with the largest fuse that protects it there."""
    for part in ask.parts()[:1]:
        feed = _feed_of(ask, part)
        for battery in ask.boat.with_role("battery") if feed else ():
            yield from _fed_from(ask, part, feed, battery)  # type: ignore[arg-type]


def _feed_of(ask: Ask, part: Part) -> tuple[Run, End] | None:
    """The run that feeds it, past its own float switch and fuse, and the end of it towards the source."""
    at, seen = part.id, {part.id}
    for _ in range(6):
        runs = [
            (run, end)
            for port in ask.boat.ports(ask.boat.parts[at])
            for run in ask.boat.runs_at.get((at, port.name), ())
            for end in (run.a, run.b)
            if "+" in run.poles and end.part != at and end.part not in seen
        ]
        if len(runs) != 1:
            return None
        run, end = runs[0]
        if ask.boat.parts[end.part].kind not in ("float_switch", "bilge_switch", "fuse_blade", "switch"):
            return run, end
        at = end.part
        seen.add(at)
    return None


def _fed_from(ask: Ask, part: Part, feed: tuple[Run, End], battery: Part) -> Iterator[Remedy]:
    run, end = feed
    if tuple(run.poles) != ("+",) or end.part == battery.id:
        return
    moved = _moved(run, end, battery)
    there = msgspec.structs.replace(ask, document=moved(ask.document))
    new = run_of(there.document, run.id)
    near = End(part=battery.id, port="pos")
    spot = spot_at(there, new, near)
    for rating_a in BATTERY_RATINGS_A:
        put = putting(there, new, near, "fuse_blade", {"rating_a": rating_a}, NEAR_M, spot)
        edit = _both(moved, put)
        if not worse(ask, edit):
            title = tr("feed {part} from {battery}, ahead of the switch, through a {rating} A fuse at its post")
            yield Remedy(
                title.format(part=ask.boat.name(part), battery=ask.boat.name(battery), rating=f"{rating_a:g}"), edit
            )
            return


def _moved(run: Run, end: End, battery: Part) -> Edit:
    """How long the wire is when it begins at the battery is not known."""
    which = "a" if run.a == end else "b"

    def edit(document: Document) -> Document:
        made = reconnect(document, run.id, which, End(part=battery.id, port="pos"))  # type: ignore[arg-type]
        return set_run_fields(made, run.id, length_m=None)

    return edit


def _both(first: Edit, second: Edit) -> Edit:
    return lambda document: second(first(document))


JOINTS: Mapping[str, Callable[[Ask], Iterator[Remedy]]] = {
    "neutral-earthed-aboard": _joint_out,
    "neutral-not-earthed-once": _earthed_once,
    "unearthed-case": _earth_core,
    "load-without-return": _return_core,
    "switched-bilge-pump": _ahead_of_the_switch,
    "pump-cut-by-protection": _ahead_of_the_switch,
}
"""By rule: the joints, cores and feeds that are worth trying."""
CORES: Mapping[str, Callable[[Ask], Iterator[Remedy]]] = {"thin-earth": _thicker_core}
"""By rule: what a thicker core may cure."""
