"""Limits and rooms in plain words: which thing binds, how much it leaves, what to find out. Knows no edit."""

from __future__ import annotations

from collections.abc import Iterable

from engine.electrics.sources import number_text
from engine.graph.boat import Boat
from engine.messages import tr
from engine.model.network import UnitSystem
from engine.remedies.growth import Room
from engine.remedies.limits import Limit, shown
from engine.rules.bounds import Bound
from engine.rules.wording import field_of, key_text

FOOT_M = 0.3048


def lacking(boat: Boat, lacks: Iterable[str]) -> str:
    """The missing fields by name."""
    listed = []
    for lack in lacks:
        key, _, field = lack.partition(" ")
        thing = key_text(key, boat)
        listed.append(tr("{what} of {thing}").format(what=field_of(key, field, boat), thing=thing) if field else lack)
    return "; ".join(dict.fromkeys(listed))


def binds_text(boat: Boat, limit: Limit) -> str:
    """What binds, with its numbers: "F5 Panel feed binds: 78.9 A of 80 A already"."""
    if limit.sort == "no-device":
        return tr("the way has neither fuse nor breaker")
    if limit.sort in ("stud", "several"):
        return limit.formula
    if limit.sort == "holder":
        return tr("its own device binds: {sum}").format(sum=limit.formula)
    return tr("{thing} binds: {load} of {most} already").format(thing=thing_text(boat, limit), **_amounts(limit))


def limit_text(boat: Boat, limit: Limit) -> str:
    """A limit that need not bind: "F5 Panel feed: 78.9 A of 80 A"."""
    if limit.sort in ("no-device", "stud", "several", "holder"):
        return binds_text(boat, limit) if limit.sort != "holder" else tr("its own device, loaded to 80 %")
    return tr("{thing}: {load} of {most}").format(thing=thing_text(boat, limit), **_amounts(limit))


def _amounts(limit: Limit) -> dict[str, str]:
    unit = "%" if limit.sort == "drop" else "A"
    return {"load": f"{shown(limit.load)} {unit}", "most": f"{shown(limit.limit)} {unit}"}


def thing_text(boat: Boat, limit: Limit) -> str:
    """What a limit is about, in words."""
    words = {
        "panel": tr("the bus of {thing}"),
        "conductor": tr("wire {thing}"),
        "drop": tr("the voltage drop in the feed of {thing}"),
    }
    name = words.get(limit.sort, "{thing}").format(thing=key_text(limit.key, boat))
    return name if limit.count == 1 else tr("{thing} with {count} more").format(thing=name, count=limit.count - 1)


def amps_text(amps: Bound) -> str:
    """ "12", or both ends; nothing above what is sure is promised."""
    if amps.least == amps.most or not amps.lacks:
        return _number(amps.least)
    if amps.most == float("inf"):
        return tr("{least} or more").format(least=_number(amps.least))
    return tr("{least} to {most}").format(least=_number(amps.least), most=_number(amps.most))


def _number(value: float) -> str:
    """Never more than there is: rounded down to a tenth."""
    return number_text(int(value * 10 + 1e-6) / 10)


def room_text(boat: Boat, room: Room) -> str:
    """ "up to 1.1 A (13 W) more; F5 Panel feed binds: 78.9 A of 80 A already"."""
    if room.amps.most <= 0:
        return tr("nothing more; {binds}").format(binds=binds_text(boat, room.binding))
    if room.binding.sort == "several":
        return tr("not told: {why}").format(why=binds_text(boat, room.binding))
    if room.amps.least <= 0:
        return tr("not known how much: find out {fields}").format(fields=lacking(boat, room.amps.lacks))
    text = tr("up to {amps} A ({watts} W) more; {binds}").format(
        amps=amps_text(room.amps), watts=_watts(room), binds=binds_text(boat, room.binding)
    )
    return text + (
        tr("; not known is {fields}").format(fields=lacking(boat, room.amps.lacks)) if room.amps.lacks else ""
    )


def distance_text(distance_m: float, units: UnitSystem) -> str:
    """ "5 m", on a boat in US units "16.4 ft (5 m)"."""
    metres = f"{round(distance_m, 1):g} m"
    return metres if units == "metric" else f"{distance_m / FOOT_M:.3g} ft ({metres})"


def _watts(room: Room) -> str:
    return f"{int(room.watts.least + 1e-6):d}"
