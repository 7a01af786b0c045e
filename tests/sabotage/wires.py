"""Faults of conductors: thin, long, bare, solid, of the wrong colour, unnumbered, cut, with a pole too many."""

from __future__ import annotations

from collections.abc import Iterator

from engine.model.network import AC_POLES, DC_POLES, Evidence, Run
from engine.model.quantity import low
from tests.sabotage.fault import Fault, changed_run, without_run
from tests.sabotage.sample import Sample

THIN = frozenset({
    "undersized-conductor", "oversized-device", "oversized-holder-fuse", "below-minimum-size", "excessive-voltage-drop",
    "thin-return", "weak-cranking-cable", "thin-earth", "ungrounded-case", "oversized-panel-device",
})  # fmt: skip
RESERVED = {"+": "YE", "-": "RD", "L": "WH", "N": "BK", "PE": "BK", "BOND": "RD"}


def thinned(sample: Sample) -> Iterator[Fault]:
    """Every conductor in three sizes that are too thin for it."""
    for run in sample.network.runs:
        for size in ("20 AWG", "0.5 mm2"):
            network = changed_run(sample.network, run, size=size, pe_size="")
            yield Fault(f"{run.number} thinned to {size}", network, _key(run), THIN)


def too_long(sample: Sample) -> Iterator[Fault]:
    """Every conductor that feeds a DC load of some current, forty times as long as it was."""
    for run in sample.weighty_branches():
        network = changed_run(sample.network, run, length_m=low(run.length_m) * 40)
        yield Fault(f"{run.number} forty times as long", network, _key(run), frozenset({"excessive-voltage-drop"}))


def bare(sample: Sample) -> Iterator[Fault]:
    """Every conductor untinned."""
    for run in sample.network.runs:
        network = changed_run(sample.network, run, tinned=False)
        yield Fault(f"{run.number} untinned", network, _key(run), frozenset({"untinned-conductor"}))


def solid(sample: Sample) -> Iterator[Fault]:
    """Every conductor solid."""
    for run in sample.network.runs:
        network = changed_run(sample.network, run, stranded=False)
        yield Fault(f"{run.number} solid", network, _key(run), frozenset({"solid-conductor"}))


def miscoloured(sample: Sample) -> Iterator[Fault]:
    """Every core in a colour that is kept for another pole."""
    for run in sample.network.runs:
        for index, pole in enumerate(run.poles):
            colours = tuple(RESERVED[pole] if at == index else colour for at, colour in enumerate(run.colours))
            network = changed_run(sample.network, run, colours=colours)
            yield Fault(f"{run.number} {pole} in {RESERVED[pole]}", network, _key(run), frozenset({"wrong-colour"}))


def misnumbered(sample: Sample) -> Iterator[Fault]:
    """Every wire with the number of another, and with none."""
    runs = sample.network.runs
    for run, other in zip(runs, (*runs[1:], runs[0]), strict=True):
        for number in (other.number, ""):
            network = changed_run(sample.network, run, number=number)
            keys = _key(run) | _key(other)
            yield Fault(f"{run.number} numbered “{number}”", network, keys, frozenset({"shared-wire-number"}))


def cut(sample: Sample) -> Iterator[Fault]:
    """Every cable of a load taken out."""
    for run in sample.branches():
        keys = _key(run) | {f"part:{run.a.part}", f"part:{run.b.part}"}
        rules = frozenset({"unfed-load", "load-without-return", "unearthed-case"})
        yield Fault(f"{run.number} taken out", without_run(sample.network, run), keys, rules)


def earth_cut(sample: Sample) -> Iterator[Fault]:
    """Every protective earth and every case ground broken."""
    for run in sample.network.runs:
        if {"PE", "BOND"} & set(run.poles):
            kept = [index for index, pole in enumerate(run.poles) if pole not in ("PE", "BOND")]
            poles = tuple(run.poles[index] for index in kept)
            colours = tuple(run.colours[index] for index in kept)
            network = (
                changed_run(sample.network, run, poles=poles, colours=colours)
                if kept
                else without_run(sample.network, run)
            )
            rules = frozenset({"unearthed-case", "earth-not-tied", "ungrounded-case", "galvanic-isolator-unfit"})
            yield Fault(f"earth of {run.number} broken", network, sample.everything, rules)


def strange_pole(sample: Sample) -> Iterator[Fault]:
    """A line conductor in every cable of the DC side, and a positive in every cable of the AC side."""
    for run in sample.network.runs:
        poles = set(run.poles)
        extra = ("L", "BK") if poles & DC_POLES else ("+", "RD") if poles & AC_POLES else None
        if extra is not None:
            network = changed_run(sample.network, run, poles=(*run.poles, extra[0]), colours=(*run.colours, extra[1]))
            keys = _key(run)
            yield Fault(f"{run.number} with {extra[0]} in it", network, keys, frozenset({"joined-ac-dc"}))


def contradicted(sample: Sample) -> Iterator[Fault]:
    """A measured length that is not the one on the drawing."""
    for run in sample.network.runs:
        said = Evidence(
            kind="measured", value=low(run.length_m) + 1.7, by="R. Thorne", date=sample.network.particulars.date
        )
        network = changed_run(sample.network, run, evidence={**run.evidence, "length_m": (said,)})
        yield Fault(f"{run.number} measured otherwise", network, _key(run), frozenset({"contradicting-statements"}))


def _key(run: Run) -> frozenset[str]:
    return frozenset({f"run:{run.id}"})
