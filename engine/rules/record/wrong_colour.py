"""Rule wrong-colour."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from engine.electrics.colours import Pole, Region, colour_name, colour_verdict, is_colour
from engine.graph.boat import Boat
from engine.model.kept import Kept
from engine.model.network import AC_LINES, Run
from engine.rules.api import Basis, Book, Outcome, Wording, breaks, cannot_tell, meets, rule

REGIONS: Mapping[Book, Region] = {"e11": "us", "iso13297": "iso"}
GRAVE = {"PE", "BOND", "-", "N"}


@rule(
    "wrong-colour",
    title="Conductor of the wrong colour for its pole",
    books=("e11", "iso13297"),
    basis=(
        Basis("e11", "ABYC E-11 colour tables, as a dealer prints them", "Each pole has its colours.", "secondary"),
        Basis(
            "iso13297",
            "ISO 10133:2012 7.9 and ISO 13297",
            "DC positive red, negative black or yellow; AC after IEC 60445.",
            "secondary",
        ),
    ),
    wordings={
        "wrong": Wording(
            "requirement",
            "{run}: the {pole} conductor is {colour}, a colour that is kept for another pole.",
            "Use {permitted} for {pole}; where the cable stays, sleeve both ends in the right colour.",
        ),
        "unlisted": Wording(
            "advice",
            "{run}: the {pole} conductor is {colour}, which is not among the colours listed for that pole.",
            "Use {permitted} for {pole}, or state the colour code in the boat's own wiring diagram.",
        ),
        "black-twice": Wording(
            "advice",
            "{run}: the DC negative is black on a boat whose AC line is black.",
            "Use yellow for DC negative where the AC line is black.",
        ),
    },
)
def wrong_colour(boat: Boat, book: Book) -> Iterator[Outcome]:
    """Red on a negative, or a black that is neutral to one hand and line to the next: colour is what a person believes with
    the cover off. The pole is never inferred from the colour; the colour must follow the pole."""
    black_line = any("BK" in run.colours and _black_pole(run) in AC_LINES for run in boat.network.runs)
    for run in boat.network.runs:
        yield from _MET.of((run.id, book), (run, REGIONS[book], black_line)) or _answers(
            boat, run, REGIONS[book], black_line
        )


def _met(facts: tuple[Run, Region, bool]) -> tuple[Outcome, ...]:
    """The answers about a run where all of its cores meet the rule, else none."""
    run, region, black_line = facts
    for pole, colour in zip(run.poles, run.colours, strict=False):
        known = bool(colour) and is_colour(colour) and colour_verdict(colour, _pole(pole), region) == "permitted"
        if not known or _clashes(pole, colour, black_line):
            return ()
    return tuple(meets("wrong", f"run:{run.id}") for _ in zip(run.poles, run.colours, strict=False))


_MET = Kept(_met)


def _clashes(pole: str, colour: str, black_line: bool) -> bool:
    return pole == "-" and colour == "BK" and black_line


def _answers(boat: Boat, run: Run, region: Region, black_line: bool) -> Iterator[Outcome]:
    if not run.colours:
        yield cannot_tell("wrong", f"run:{run.id}", lacks=(f"run:{run.id} colours",))
    for pole, colour in zip(run.poles, run.colours, strict=False):
        yield _answer(boat, run, pole, colour, region, black_line)


def _black_pole(run: Run) -> str:
    return run.poles[run.colours.index("BK")]


def _answer(boat: Boat, run: Run, pole: str, colour: str, region: Region, black_line: bool) -> Outcome:
    key = f"run:{run.id}"
    if not colour or not is_colour(colour):
        return cannot_tell("wrong", key, lacks=(f"{key} colours",))
    verdict = colour_verdict(colour, _pole(pole), region)
    told = {"run": boat.name_run(run), "pole": pole, "colour": colour_name(colour)}
    if verdict == "permitted":
        clash = _clashes(pole, colour, black_line)
        return breaks("black-twice", key, run=told["run"]) if clash else meets("wrong", key)
    code = "wrong" if verdict == "reserved" or pole in GRAVE else "unlisted"
    return breaks(code, key, **told, permitted=_permitted(pole, region))


def _pole(pole: str) -> Pole:
    return pole  # type: ignore[return-value]


def _permitted(pole: str, region: Region) -> str:
    from engine.electrics.colours import permitted_colours

    return " or ".join(colour_name(use.code) for use in permitted_colours(_pole(pole), region)[:3])
