"""A random walk over the editor: after every step the document hangs together, can be saved and read, and no step
changed what it was given. Fixed seeds: a failure can be walked again.
"""

from __future__ import annotations

import random
from collections.abc import Callable

import pytest

from app.store import Edit, Store
from engine.files.codec import decode_boat, encode_boat
from engine.library.expand import ports_of
from engine.model.clipboard import copy, paste
from engine.model.document import Document
from engine.model.edits import arranging, boat, conditions, fields, placing, sheets, wiring
from engine.model.invariants import problems
from engine.model.network import POLES, End, Part
from tests.model.boats import kind, library, port_names

STEPS = 160
LIMIT = 60
"""Parts beyond which the walk deletes rather than pastes."""


class Walk:
    """A walker with its own dice, a clipboard and a store."""

    def __init__(self, seed: int) -> None:
        self.dice = random.Random(seed)
        self.store = Store(Document(), port_names)
        self.clipboard = ""

    @property
    def document(self) -> Document:
        return self.store.document

    def part(self, fits: Callable[[Part], bool] = lambda part: True) -> Part | None:
        """Any part; one that fits, in three of four throws."""
        parts = self.document.network.parts
        fitting = [part for part in parts if fits(part)] if self.dice.random() < 0.75 else []
        return self.dice.choice(fitting or parts) if parts else None

    def run(self) -> str:
        runs = self.document.network.runs
        return self.dice.choice(runs).id if runs else "w0"

    def sheet(self) -> str:
        return self.dice.choice(self.document.sheets).id

    def part_id(self) -> str:
        part = self.part()
        return part.id if part else "p0"

    def some(self) -> frozenset[str]:
        keys = [f"part:{part.id}" for part in self.document.network.parts]
        keys += [f"run:{run.id}" for run in self.document.network.runs]
        keys += [f"note:{note.id}" for sheet in self.document.sheets for note in sheet.notes]
        return frozenset(self.dice.sample(keys, min(len(keys), self.dice.randint(1, 5))))

    def end(self, poles: tuple[str, ...] = POLES) -> tuple[End, tuple[str, ...]] | None:
        """A port that takes one of the poles, where the dice find one."""
        for _ in range(10):
            part = self.part()
            ports = ports_of(part, kind(part.kind)) if part else ()
            port = self.dice.choice(ports) if ports else None
            if part and port and wiring.shared_poles(port.poles, poles):
                return End(part=part.id, port=port.name), port.poles
        return None

    def between_two(self, part: Part) -> bool:
        """Whether an in-line device has one run on each side."""
        inline = kind(part.kind).inline
        return bool(inline) and all(
            len(arranging.ends_on(self.document, End(part=part.id, port=port))) == 1 for port in inline
        )

    def spot(self) -> tuple[float, float]:
        return self.dice.uniform(20, 390), self.dice.uniform(20, 270)


def place(walk: Walk) -> Edit:
    chosen, (x, y), sheet = kind(walk.dice.choice(sorted(library()))), walk.spot(), walk.sheet()
    return lambda document: placing.place_part(document, chosen, sheet, x, y)


def place_again(walk: Walk) -> Edit:
    part, sheet, (x, y) = walk.part_id(), walk.sheet(), walk.spot()
    return lambda document: placing.place_existing(document, part, sheet, x, y)


def take_off(walk: Walk) -> Edit:
    part, sheet = walk.part_id(), walk.sheet()
    return lambda document: placing.take_off_sheet(document, part, sheet)


def connect(walk: Walk) -> Edit:
    a = walk.end()
    b = walk.end(a[1]) if a else None
    sheet, bends = walk.sheet(), tuple(walk.spot() for _ in range(walk.dice.randint(0, 3)))
    if not a or not b:
        return lambda document: document
    poles = wiring.shared_poles(a[1], b[1])
    return lambda document: wiring.connect(document, a[0], b[0], poles, sheet, bends)


def reconnect(walk: Walk) -> Edit:
    run, end = walk.run(), walk.end()
    return lambda document: wiring.reconnect(document, run, "b", end[0]) if end else document


def insert(walk: Walk) -> Edit:
    run, (x, y), sheet = walk.run(), walk.spot(), walk.sheet()
    chosen = kind(walk.dice.choice([name for name, one in library().items() if one.inline]))
    return lambda document: wiring.insert_inline(document, run, chosen, sheet, x, y)


def take_out(walk: Walk) -> Edit:
    part = walk.part(walk.between_two)
    return lambda document: wiring.remove_inline(document, part.id, kind(part.kind).inline) if part else document


def move(walk: Walk) -> Edit:
    keys, sheet, (x, y) = walk.some(), walk.sheet(), walk.spot()
    return lambda document: arranging.move(document, sheet, keys, x - 200, y - 140)


def turn(walk: Walk) -> Edit:
    keys, sheet, mirrored = walk.some(), walk.sheet(), walk.dice.random() < 0.5
    return lambda document: (arranging.mirror if mirrored else arranging.rotate)(document, sheet, keys)


def lead(walk: Walk) -> Edit:
    run, sheet, bends = walk.run(), walk.sheet(), tuple(walk.spot() for _ in range(walk.dice.randint(0, 3)))
    return lambda document: wiring.set_route(document, sheet, run, bends)


def delete(walk: Walk) -> Edit:
    keys = walk.some()
    return lambda document: placing.delete(document, keys)


def copied(walk: Walk) -> Edit:
    keys, sheet = walk.some(), walk.sheet()

    def edit(document: Document) -> Document:
        walk.clipboard = copy(document, sheet, keys)
        return document

    return edit


def pasted(walk: Walk) -> Edit:
    text, sheet, (x, y) = walk.clipboard, walk.sheet(), walk.spot()
    if len(walk.document.network.parts) > LIMIT:
        return delete(walk)
    return lambda document: paste(document, text, sheet, x, y)


def set_value(walk: Walk) -> Edit:
    part, number = walk.part(), walk.dice.choice([None, 1.0, 3.0, 12.5, (1.0, 2.0), True])
    names = [value.name for value in kind(part.kind).value] if part else []
    name = walk.dice.choice(names) if names else "x"
    return lambda document: fields.set_value(document, part.id, name, number) if part else document


def set_run(walk: Walk) -> Edit:
    run, poles = walk.run(), tuple(walk.dice.sample(POLES, walk.dice.randint(0, 3)))
    told = walk.dice.choice(
        [{"poles": poles}, {"length_m": 3.0}, {"size": "10 AWG"}, {"number": "7"}, {"colours": ("RD",)}]
    )
    return lambda document: fields.set_run_fields(document, run, **told)


def rename(walk: Walk) -> Edit:
    part, name = walk.part_id(), walk.dice.choice(["F1", "Q7", "", "A2"])
    return lambda document: fields.rename(document, part, name)


def ways(walk: Walk) -> Edit:
    part, key = walk.part(lambda part: bool(part.positions)), str(walk.dice.randint(1, 9))
    if not part or not part.positions:
        return lambda document: document
    return walk.dice.choice(
        [
            lambda document: fields.add_position(document, part.id),
            lambda document: fields.remove_position(document, part.id, key),
            lambda document: fields.set_position(document, part.id, key, key=key + "a", label="Pump"),
            lambda document: fields.set_position(document, part.id, key, rating_a=10.0),
        ]
    )


def sheet(walk: Walk) -> Edit:
    one, with_parts, index = walk.sheet(), walk.dice.random() < 0.3, walk.dice.randint(0, 3)
    return walk.dice.choice(
        [
            lambda document: sheets.add_sheet(document) if len(document.sheets) < 4 else document,
            lambda document: sheets.remove_sheet(document, one, with_parts),
            lambda document: sheets.move_sheet(document, one, index),
            lambda document: arranging.add_note(document, one, 50, 50, "Battery locker"),
        ]
    )


def belongings(walk: Walk) -> Edit:
    one, part, run = walk.dice.choice(["compartments", "enclosures", "options"]), walk.part_id(), walk.run()
    records = getattr(walk.document.network, one)
    record = walk.dice.choice(records).id if records else "c0"
    name = f"Space {walk.dice.randint(1, 5)}"
    field = one.removesuffix("s")
    return walk.dice.choice(
        [
            lambda document: boat.add(document, one, name),
            lambda document: boat.remove(document, one, record),
            lambda document: fields.set_part_fields(document, part, **{field: record}) if records else document,
            lambda document: (
                fields.set_run_fields(document, run, route=(record,)) if records and one == "compartments" else document
            ),
        ]
    )


def condition(walk: Walk) -> Edit:
    records, part = walk.document.network.conditions, walk.part_id()
    record = walk.dice.choice(records).id if records else "k0"
    name, duty = f"Condition {walk.dice.randint(1, 4)}", walk.dice.choice([None, 0.0, 0.4, 1.0, 1.5])
    return walk.dice.choice(
        [
            lambda document: boat.add(document, "conditions", name),
            lambda document: boat.set_fields(document, "conditions", record, name=name),
            lambda document: boat.remove(document, "conditions", record),
            lambda document: conditions.set_duty(document, record, part, duty),
            lambda document: conditions.set_duty(document, record, part, duty),
            lambda document: conditions.set_switch(document, record, part, "off" if duty else None),
        ]
    )


def renumber(walk: Walk) -> Edit:
    order = [walk.run() for _ in range(3)]
    return lambda document: fields.renumber_wires(document, order)


MOVES: tuple[Callable[[Walk], Edit], ...] = (
    *(place,) * 6, *(connect,) * 8, place_again, take_off, reconnect, insert, insert, take_out, move, move, turn, lead,
    delete, copied, pasted, set_value, set_value, set_run, rename, ways, ways, sheet, *(belongings,) * 6,
    *(condition,) * 3, renumber,
)  # fmt: skip
DRAWING_ONLY = (move, turn, lead, place_again, take_off)


def step(walk: Walk) -> None:
    """One edit, undo or redo, with all that must hold before and after it."""
    before, written = walk.document, encode_boat(walk.document)
    chosen = walk.dice.choice(MOVES)
    throw = walk.dice.random()
    if throw < 0.1:
        walk.store.undo()
    elif throw < 0.15:
        walk.store.redo()
    else:
        walk.store.apply(chosen(walk), chosen.__name__)
        if chosen in DRAWING_ONLY:
            assert walk.document.network is before.network
    assert problems(walk.document, port_names) == ()
    assert encode_boat(before) == written, f"{chosen.__name__} changed what it was given"
    assert decode_boat(encode_boat(walk.document)) == walk.document


@pytest.mark.usefixtures("qapp")
@pytest.mark.parametrize("seed", range(6))
def test_a_walk_leaves_the_document_sound(seed: int) -> None:
    walk = Walk(seed)
    for _ in range(STEPS):
        step(walk)
    last, steps = walk.document, walk.store.undo_stack.index()
    assert last.network.runs
    walk.store.undo_stack.setIndex(0)
    assert walk.document == Document()
    walk.store.undo_stack.setIndex(steps)
    assert walk.document is last
