"""Rule wrong-colour."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from engine.electrics.colours import Pole, Region, colour_name, colour_verdict, is_colour
from engine.graph.boat import Boat
from engine.model.network import AC_LINES, Run
from engine.rules.api import Basis, Book, Outcome, Wording, breaks, cannot_tell, meets, rule
from engine.rules.each import Turn, every_run, of_each

REGIONS: Mapping[Book, Region] = {"e11": "us", "iso13297": "iso"}
GRAVE = {"PE", "BOND", "-", "N"}


def _touched(turn: Turn, book: Book) -> Collection[str] | None:
    return turn.runs_about if turn.same(_has_black_line) else None


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
@of_each(every_run, _touched)
def wrong_colour(boat: Boat, book: Book, run: Run) -> Iterator[Outcome]:
    """Red on a negative, or a black that is neutral to one hand and line to the next: colour is what a person believes with
    the cover off. The pole is never inferred from the colour; the colour must follow the pole."""
    if not run.colours:
        yield cannot_tell("wrong", f"run:{run.id}", lacks=(f"run:{run.id} colours",))
    for pole, colour in zip(run.poles, run.colours, strict=False):
        yield _answer(boat, run, pole, colour, REGIONS[book])


def _has_black_line(boat: Boat) -> bool:
    return any("BK" in run.colours and _black_pole(run) in AC_LINES for run in boat.network.runs)


def _black_pole(run: Run) -> str:
    return run.poles[run.colours.index("BK")]


def _answer(boat: Boat, run: Run, pole: str, colour: str, region: Region) -> Outcome:
    key = f"run:{run.id}"
    if not colour or not is_colour(colour):
        return cannot_tell("wrong", key, lacks=(f"{key} colours",))
    verdict = colour_verdict(colour, _pole(pole), region)
    if verdict == "permitted":
        clash = pole == "-" and colour == "BK" and boat.derive(_has_black_line)
        return breaks("black-twice", key, run=boat.name_run(run)) if clash else meets("wrong", key)
    code = "wrong" if verdict == "reserved" or pole in GRAVE else "unlisted"
    told = {"run": boat.name_run(run), "pole": pole, "colour": colour_name(colour)}
    return breaks(code, key, **told, permitted=_permitted(pole, region))


def _pole(pole: str) -> Pole:
    return pole  # type: ignore[return-value]


def _permitted(pole: str, region: Region) -> str:
    from engine.electrics.colours import permitted_colours

    return " or ".join(colour_name(use.code) for use in permitted_colours(_pole(pole), region)[:3])
