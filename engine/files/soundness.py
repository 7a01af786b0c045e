"""What the invariants find in a file, in words, with the record named as a person knows it."""

from __future__ import annotations

from collections.abc import Mapping

from engine.files.record import ARRAYS, BoatFile
from engine.files.where import place_of_record
from engine.messages import tr
from engine.model.invariants import Problem

SENTENCES: Mapping[str, str] = {
    "id-twice": "its id stands twice",
    "id-not-counted": "its id is not below next_id, {found}",
    "poles": "its poles are none, unknown or repeated: {found}",
    "colours": "it has not one colour for each pole: {found}",
    "both-ends-on-one-port": "both ends land on the port {found}",
    "end-on-no-part": "an end lands on the part {found}, which is not there",
    "end-on-no-port": "an end lands on the port {found}, which is not there",
    "position-twice": "the way {found} stands twice",
    "place-of-no-part": "it places the part {found}, which is not there",
    "route-of-no-run": "it leads the run {found}, which is not there",
    "place-twice": "it places the part {found} twice",
    "route-twice": "it leads the run {found} twice",
    "no-such-compartment": "the space {found} is not there",
    "no-such-enclosure": "the box {found} is not there",
    "no-such-option": "the option {found} is not there",
    "answer-twice": "it is answered twice",
    "answer-of-nothing": "it is about {found}, which is not there",
    "deviation-twice": "it stands twice",
    "deviation-of-nothing": "it is about {found}, which is not there",
    "condition-of-no-part": "it speaks of the part {found}, which is not there",
}


def tell(problem: Problem, file: BoatFile) -> str:
    """One sentence: runs[4] (W5): an end lands on the part p9, which is not there."""
    sentence = tr(SENTENCES.get(problem.code, f"{problem.code} {{found}}"))
    return f"{_named(problem.record, file)}: {sentence.format(found=problem.found)}"


def _named(identity: str, file: BoatFile) -> str:
    for array in ARRAYS:
        for index, record in enumerate(getattr(file, array)):
            if getattr(record, "id", None) == identity:
                fields = {name: getattr(record, name) for name in record.__struct_fields__}
                return f"{array}[{index}] ({place_of_record(fields).strip('“”')})"
    return identity
