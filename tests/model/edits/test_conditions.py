"""What a condition says of one part."""

import pytest

from engine.model.edits.boat import add
from engine.model.edits.conditions import set_duty, set_switch
from engine.model.edits.records import EditRefused
from engine.model.invariants import problems
from tests.model.boats import port_names, small_boat


def test_a_duty_and_a_switch_are_said_changed_and_unsaid() -> None:
    boat = add(small_boat(), "conditions", "At anchor")
    name = boat.network.conditions[0].id
    told = set_switch(set_duty(boat, name, "p5", 1), name, "p3", "off")
    assert told.network.conditions[0].duty == {"p5": 1.0}
    assert told.network.conditions[0].switches == {"p3": "off"}
    assert problems(told, port_names) == ()
    assert set_duty(told, name, "p5", 1.0) is told
    assert set_duty(told, name, "p5", 0.4).network.conditions[0].duty == {"p5": 0.4}
    unsaid = set_switch(set_duty(told, name, "p5", None), name, "p3", None)
    assert unsaid == boat
    assert set_duty(boat, name, "p5", None) is boat


@pytest.mark.parametrize("duty", [-0.1, 1.01, float("nan")])
def test_a_duty_beyond_its_bounds_is_refused(duty: float) -> None:
    boat = add(small_boat(), "conditions", "At anchor")
    with pytest.raises(EditRefused, match="bad-duty"):
        set_duty(boat, boat.network.conditions[0].id, "p5", duty)


def test_a_part_or_condition_that_is_not_there_is_refused() -> None:
    boat = add(small_boat(), "conditions", "At anchor")
    with pytest.raises(EditRefused, match="no-such-part"):
        set_duty(boat, boat.network.conditions[0].id, "p99", 1.0)
    with pytest.raises(EditRefused, match="no-such-record"):
        set_switch(boat, "k99", "p3", "off")
