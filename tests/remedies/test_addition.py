"""Add a circuit: either it is refused with a reason, or the check finds nothing that it did not find before."""

from __future__ import annotations

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.drawing.bounds import overlap
from engine.drawing.sheet import draw_sheet
from engine.electrics.sizes import parse_size
from engine.library.symbol import load_symbols
from engine.model.document import Document
from engine.model.edits.fields import set_run_fields, set_values
from engine.model.edits.records import EditRefused
from engine.model.invariants import problems
from engine.pipeline import analyse
from engine.remedies.addition import Plan, Wanted, add_circuit, finding_name, planned
from engine.remedies.stock import Stock
from tests.samples.boats import document, library

SYMBOLS = load_symbols()


def roomy() -> Document:
    """Quill 34 with a larger feed of its panel, which is full to 1 A in the sample."""
    boat = document("quill_34")
    fuse = next(each for each in boat.network.parts if each.designation == "F5")
    boat = set_values(boat, fuse.id, {"rating_a": 100.0, "holder_largest_a": 100.0})
    for run in boat.network.runs:
        if run.number in ("21", "22", "37"):
            boat = set_run_fields(boat, run.id, size="2/0 AWG")
    return boat


ROOMY = roomy()


def plan(boat: Document, **fields) -> Plan:  # type: ignore[no-untyped-def]
    told = {"label": "Reading lamp", "distance_m": 5.0, **fields}
    return planned(boat, Wanted(**told), library(), SYMBOLS)


def broken(boat: Document) -> set[tuple[str, ...]]:
    found = analyse(boat.network, library()).findings
    return {finding_name(each) for each in found if each.outcome.verdict == "breaks"}


def refusal(boat: Document, **fields) -> str:  # type: ignore[no-untyped-def]
    with pytest.raises(EditRefused) as refused:
        plan(boat, **fields)
    assert refused.value.code == "no-addition"
    return str(refused.value.values["why"])


@given(
    watts=st.floats(0.5, 400),
    distance_m=st.floats(0.3, 40),
    critical=st.booleans(),
    engine_space=st.booleans(),
    compartment=st.sampled_from(["", *(space.id for space in ROOMY.network.compartments)]),
    place=st.sampled_from(["", "22", "23", "20"]),
)
@settings(max_examples=20, deadline=None)
def test_either_refused_or_nothing_new_is_found(
    watts: float, distance_m: float, critical: bool, engine_space: bool, compartment: str, place: str
) -> None:
    panel = next(part for part in ROOMY.network.parts if part.designation == "A1")
    wanted = Wanted(
        "Something new", distance_m, power_w=watts, critical=critical, engine_space=engine_space,
        compartment=compartment, position=f"position:{panel.id}/{place}" if place else "",
    )  # fmt: skip
    try:
        made = add_circuit(ROOMY, wanted, library(), SYMBOLS)
    except EditRefused as refused:
        why = str(refused.values["why"])
    else:
        why = ""
    if why:
        assert "A1 DC panel" in why or "A2 24-hour block" in why
        return
    assert broken(made) <= broken(ROOMY)
    assert not problems(made, library_ports(made))


def library_ports(boat: Document):  # type: ignore[no-untyped-def]
    from engine.library.expand import ports_of

    return lambda part: {port.name for port in ports_of(part, library()[part.kind])}


def test_the_whole_circuit_is_there() -> None:
    made = plan(ROOMY, power_w=60, compartment=space("Saloon"), critical=True)
    boat = made.document
    run = next(each for each in boat.network.runs if each.id == made.run_id)
    load = next(each for each in boat.network.parts if each.id == made.part_id)
    way = next(each for each in panel(boat).positions if each.key == made.room.key[-2:])
    assert (way.state, way.label) == ("used", "Reading lamp")
    assert way.rating_a == 7.5  # the smallest blade fuse not below 1.25 × 5 A
    assert load.values["running_a"] == pytest.approx(5)
    assert load.values["power_w"] == 60
    assert load.values["drop_class"] == "critical"
    assert run.number == "122"  # after the last of the panel's own, 121
    assert run.colours == ("RD", "YE")
    assert (run.length_m, run.length_basis, run.cover, run.tinned) == (5.0, "one-way", "sheath", True)
    assert run.route == (space("Nav station"), space("Saloon"))
    assert run.bundled is None
    assert made.open == ()


def space(name: str) -> str:
    return next(each.id for each in ROOMY.network.compartments if each.name == name)


def panel(boat: Document):  # type: ignore[no-untyped-def]
    return next(part for part in boat.network.parts if part.designation == "A1")


def test_it_stands_in_the_column_of_the_others_level_with_its_way_and_on_nothing() -> None:
    made = plan(ROOMY, current_a=2, position=f"position:{panel(ROOMY).id}/24")
    drawing = draw_sheet(made.document, made.sheet_id, library(), SYMBOLS)
    own = drawing.boxes[f"part:{made.part_id}"]
    others = {
        key: box for key, box in drawing.boxes.items() if key.startswith("part:") and key != f"part:{made.part_id}"
    }
    assert not [key for key, box in others.items() if overlap(own, box)]
    places = {place.part: place for sheet in made.document.sheets for place in sheet.places}
    column = [
        places[run.b.part].x_mm for run in ROOMY.network.runs if run.a.part == panel(ROOMY).id and run.b.part in places
    ]
    assert places[made.part_id].x_mm == max(set(column), key=column.count)
    path = drawing.paths[made.run_id]
    assert len({round(y, 3) for _, y in path}) == 1  # a straight line from the way to the load
    assert made.run_id not in drawing.unclear


def _under(own, made: Plan, drawing) -> list[str]:  # type: ignore[no-untyped-def]
    others = {key: box for key, box in drawing.boxes.items() if key.startswith(("part:", "note:"))}
    return [key for key, box in others.items() if key != f"part:{made.part_id}" and overlap(own, box)]


def test_one_after_the_other_they_stand_on_nothing_and_not_on_a_note() -> None:
    boat = ROOMY
    for n in range(3):
        made = plan(boat, current_a=1, label=f"Lamp {n + 1}", kind="lamp")
        boat = made.document
        drawing = draw_sheet(boat, made.sheet_id, library(), SYMBOLS)
        assert not _under(drawing.boxes[f"part:{made.part_id}"], made, drawing)
        assert made.run_id not in drawing.unclear
    assert "no spare way" in refusal(boat, current_a=1) or "battery switch" in refusal(boat, current_a=1)


def test_the_wire_grows_with_the_distance_and_the_class() -> None:
    areas = [size_of(plan(ROOMY, current_a=8, distance_m=far, compartment=space("Saloon"))) for far in (2, 30, 60)]
    assert areas == sorted(areas)
    assert areas[0] < areas[-1]
    assert size_of(plan(ROOMY, current_a=8, distance_m=12, critical=True)) > size_of(
        plan(ROOMY, current_a=8, distance_m=12)
    )


def size_of(made: Plan) -> float:
    return parse_size(next(run.size for run in made.document.network.runs if run.id == made.run_id)).area_mm2


def test_only_what_the_yard_stocks_is_used() -> None:
    wanted = Wanted("Lamp", 5.0, current_a=2)
    made = planned(ROOMY, wanted, library(), SYMBOLS, Stock(("16 AWG", "6 AWG", "1/0 AWG")))
    assert made.fit.size.name == "6 AWG"
    with pytest.raises(EditRefused) as refused:
        planned(ROOMY, wanted, library(), SYMBOLS, Stock(("16 AWG",)))
    assert "no size in stock" in str(refused.value.values["why"])


def test_the_refusals_say_what_binds() -> None:
    text = refusal(document("quill_34"), power_w=60)
    assert "F5 Panel feed binds: 78.9 A of 80 A already" in text
    assert "takes 1.1 A more, 5 A are wanted" in text
    assert "1.25" in refusal(ROOMY, current_a=17, position=f"position:{panel(ROOMY).id}/22")
    assert "no spare way" in refusal(document("marguerite_as_built"), current_a=1)
    assert "name" in refusal(ROOMY, label=" ", current_a=1)
    assert "distance" in refusal(ROOMY, distance_m=0.0, current_a=1)
    assert "current or the power" in refusal(ROOMY)
    assert "no spare way" in refusal(ROOMY, current_a=1, position=f"position:{panel(ROOMY).id}/3")


def test_a_circuit_of_a_24_hour_block_is_refused_where_a_check_speaks() -> None:
    block = next(part for part in ROOMY.network.parts if part.designation == "A2")
    assert "battery switch" in refusal(ROOMY, current_a=2, position=f"position:{block.id}/6")


def test_a_prepared_way_is_led_on_from_where_its_wire_ends() -> None:
    made = plan(ROOMY, current_a=2, position=f"position:{panel(ROOMY).id}/20")
    run = next(each for each in made.document.network.runs if each.id == made.run_id)
    assert (
        made.document.network.parts[[p.id for p in made.document.network.parts].index(run.a.part)].designation == "X20"
    )


def test_what_is_not_known_of_the_load_is_told() -> None:
    made = planned(document("quill_26_launch"), Wanted("Radio", 5, current_a=4), library(), SYMBOLS)
    assert {each.rule.id for each in made.open} == {"unprotected-ignition-source"}


def test_an_unknown_load_makes_the_room_unknown() -> None:
    load = next(part for part in ROOMY.network.parts if part.designation == "E5")
    values = {name: value for name, value in load.values.items() if name != "running_a"}
    parts = tuple(
        msgspec.structs.replace(each, values=values) if each is load else each for each in ROOMY.network.parts
    )
    boat = msgspec.structs.replace(ROOMY, network=msgspec.structs.replace(ROOMY.network, parts=parts))
    assert "not known is running current of E5 Instruments" in refusal(boat, current_a=5)
