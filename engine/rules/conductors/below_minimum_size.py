"""Is every conductor at least as thick as the rulebook wants any conductor to be, whatever it carries?"""

from __future__ import annotations

from collections.abc import Collection, Iterator

from engine.electrics.minimum_sizes import MinimumSize, minimum_size
from engine.electrics.sizes import ConductorSize
from engine.electrics.sources import RULEBOOKS, Rulebook
from engine.graph.boat import Boat
from engine.model.network import Run
from engine.rules.api import Basis, Book, Outcome, Parameter, Wording, rule
from engine.rules.bounds import judged, one_way_m, rulebook, size_field, size_of
from engine.rules.each import Turn, demand_of, every_run, of_each, runs_of

CODE = "too-thin"
PIGTAIL_M = 0.178
ISO_SHORT_M = 0.2
ELECTRONICS = frozenset({"electronics", "radio"})


def _touched(turn: Turn, book: Book) -> Collection[str]:
    return turn.runs_about | runs_of(turn.differing(demand_of))


BASIS = (
    Basis("33cfr183", "33 CFR 183.425(d), (e), (g), 2015 edition", "At least 16 AWG on its own and 18 AWG in a sheath; not for "
          "cranking conductors, pigtails under 7 in, and electronic circuits under 1 A.", "published"),
    Basis("e11", "ABYC E-11", "At least 16 AWG; 18 AWG in a sheath with other conductors and inside panels; not for electronic "
          "circuits under 1 A below 50 V and pigtails under 7 in.", "secondary"),
    Basis("iso13297", "ISO 10133:2012, 7.7 (now ISO 13297:2020)", "At least 1 mm² on its own where longer than 200 mm, 0.75 mm² "
          "in a sheath with others.", "published"),
)  # fmt: skip


@rule(
    "below-minimum-size",
    title="Conductor thinner than the smallest that is allowed",
    books=RULEBOOKS,
    basis=BASIS,
    wordings={
        CODE: Wording(
            severity="requirement",
            sentence="{run} is {size}; the smallest allowed {situation} is {least}.",
            remedy="Run {least} or thicker.",
            formula="{size} < {least}",
        )
    },
    parameters=(
        Parameter("on its own", 16, "AWG", "33 CFR 183.425(e)", "published"),
        Parameter("in a sheath", 18, "AWG", "33 CFR 183.425(d)", "published"),
        Parameter("ISO on its own", 1, "mm²", "ISO 10133:2012, 7.7", "published"),
        Parameter("ISO in a sheath", 0.75, "mm²", "ISO 10133:2012, 7.7", "published"),
        Parameter("pigtail", 7, "in", "33 CFR 183.425(g)", "published"),
    ),
    needs="Size and covering of each run.",
)
@of_each(every_run, _touched)
def below_minimum_size(boat: Boat, book: Book, run: Run) -> Iterator[Outcome]:
    """A very thin conductor carries its few milliamperes well, and then breaks: vibration, a pull at a terminal, a knee
    behind the panel. So each rulebook has a smallest size, smaller inside a sheath where the cores hold each other."""
    if not (run.cranking or is_short(run, book) or is_small_electronics(boat, run)):
        for pole in dict.fromkeys((run.poles[0], run.poles[-1]) if run.pe_size else run.poles[:1]):
            yield _judge(boat, run, pole, rulebook(book))


def _is_sheathed(run: Run) -> bool:
    return run.cover in ("sheath", "conduit") and len(run.poles) > 1


def is_short(run: Run, book: Book) -> bool:
    """A pigtail, or a piece that ISO does not count."""
    return one_way_m(run).most < (ISO_SHORT_M if book == "iso13297" else PIGTAIL_M)


def is_small_electronics(boat: Boat, run: Run) -> bool:
    """A lead of electronic equipment that carries less than 1 A for certain."""
    ends = [boat.parts[end.part].kind for end in (run.a, run.b) if end.part in boat.parts]
    if not any(kind in ELECTRONICS for kind in ends):
        return False
    return (
        max((boat.demand[run.id, pole].most_a for pole in run.poles if (run.id, pole) in boat.demand), default=0.0)
        < 1.0
    )


def _judge(boat: Boat, run: Run, pole: str, book: Rulebook) -> Outcome:
    sheathed = _is_sheathed(run)
    maybe = run.cover is None and len(run.poles) > 1
    strict = minimum_size(book, "in-sheath" if sheathed else "alone")
    mild = minimum_size(book, "in-sheath" if sheathed or maybe else "alone")
    size = size_of(run, pole)
    lacks = (size_field(run, pole),) if size is None else (f"run:{run.id} cover",)
    return judged(
        CODE,
        (f"run:{run.id}",),
        safe=size is not None and _reaches(size, strict),
        hopeless=size is not None and not _reaches(size, mild),
        lacks=lacks,
        values=lambda: {
            "run": boat.name_run(run),
            "size": size.name if size else "?",
            "least": mild.size.name,
            "situation": "in a sheath" if sheathed or maybe else "on its own",
        },
        sources=(mild.source,),
    )


def _reaches(size: ConductorSize, least: MinimumSize) -> bool:
    """At least the size; an SAE conductor counts by its gauge, as in the standard's table."""
    same_gauge = size.system == "SAE" and size.name.replace("SAE", "AWG") == least.size.name
    return same_gauge or size.area_mm2 >= least.size.area_mm2 - 1e-9
