"""From one boat to the next by what is not as it was."""

from __future__ import annotations

from random import Random

import msgspec
import pytest

from engine.model.network import Network, Part, Run
from engine.model.slices import Change, change_of, changed_by
from tests.samples.boats import document


def random_boat(random: Random, like: Network) -> Network:
    """Some of its parts and runs, a few of them with another label, now and then in another order."""

    def some(records: tuple[Part, ...] | tuple[Run, ...]) -> tuple[Part | Run, ...]:
        kept = [each for each in records if random.random() < 0.9]
        if random.random() < 0.2:
            random.shuffle(kept)
        return tuple(msgspec.structs.replace(each, label="Z") if random.random() < 0.1 else each for each in kept)

    return msgspec.structs.replace(like, parts=some(like.parts), runs=some(like.runs))


@pytest.mark.parametrize("seed", range(40))
def test_who_had_the_boat_before_has_the_one_after(seed: int) -> None:
    random, like = Random(seed), document("quill_34").network
    before, now = random_boat(random, like), random_boat(random, like)
    change = msgspec.msgpack.decode(msgspec.msgpack.encode(change_of(before, now)), type=Change)
    assert changed_by(change, before) == now
    assert changed_by(change_of(None, now), before) == now


def test_of_an_edit_only_what_it_touched_is_told() -> None:
    network = document("quill_34").network
    thicker = msgspec.structs.replace(network.runs[7], size="1 AWG")
    edited = msgspec.structs.replace(network, runs=(*network.runs[:7], thicker, *network.runs[8:]))
    change = change_of(network, edited)
    assert (change.whole, change.parts.come, change.runs.come) == (None, (), (thicker,))
    after = changed_by(msgspec.msgpack.decode(msgspec.msgpack.encode(change), type=Change), network)
    assert after == edited
    assert after.parts is network.parts
    assert [one is other for one, other in zip(after.runs, network.runs, strict=True)].count(False) == 1
    assert change_of(network, network) == Change()


def test_where_anything_else_differs_all_is_told() -> None:
    network = document("quill_34").network
    renamed = msgspec.structs.replace(network, particulars=msgspec.structs.replace(network.particulars, name="Other"))
    assert change_of(network, renamed) == Change(renamed)
