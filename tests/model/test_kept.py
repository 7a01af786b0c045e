"""What is kept by a record's identity: asked once for the same record, anew for one that only is equal."""

from __future__ import annotations

import msgspec

from engine.library.device import load_library
from engine.library.expand import links_of
from engine.model.kept import by_identity, differing_keys, made_of_each, sharing
from engine.model.network import Part
from engine.pipeline import analyse
from tests.samples.boats import document


def test_it_is_asked_once_for_the_same_record() -> None:
    asked: list[Part] = []

    @by_identity
    def made(part: Part, beside: object) -> str:
        asked.append(part)
        return part.id

    one, twin, beside, another = Part(id="p1", kind="lamp"), Part(id="p1", kind="lamp"), object(), object()
    assert [made(one, beside), made(one, beside), made(twin, beside), made(one, another)] == ["p1"] * 4
    assert [each is one for each in asked] == [True, False, True]


def test_of_a_list_only_what_is_another_is_made_again() -> None:
    asked: list[str] = []

    def made(part: Part, beside: object) -> str:
        asked.append(part.id)
        return f"{part.id} {beside}"

    a, b, c, d = (Part(id=name, kind="lamp") for name in "abcd")
    for parts, beside, again in (
        ((a, b, c), 1, "abc"), ((a, b, c), 1, ""), ((a, c), 1, ""), ((a, b, c), 1, "b"), ((a, d, c), 1, "d"), ((c, a, d), 1, "cad"),
        ((a, a), 1, "aa"), ((a,), 1, ""), ((), 1, ""), ((a, b), 1, "ab"), ((a, b), 2, "ab"),
    ):  # fmt: skip
        asked.clear()
        assert made_of_each("test", parts, beside, made) == tuple(f"{part.id} {beside}" for part in parts)
        assert "".join(asked) == again


def test_an_edit_of_a_part_is_seen_at_once() -> None:
    library, network = load_library(), document("quill_34").network
    fuse = next(part for part in network.parts if part.kind == "fuse_bolt")
    kind = library[fuse.kind]
    before = links_of(fuse, kind)
    larger = msgspec.structs.replace(fuse, values={**fuse.values, "rating_a": 500.0})
    assert links_of(larger, kind) == before
    coverless = msgspec.structs.replace(fuse, id="p900")
    assert links_of(coverless, kind) is not before
    assert links_of(fuse, kind) is before


def test_equal_records_are_taken_from_the_boat_before() -> None:
    before, library = document("quill_34").network, load_library()
    copy = msgspec.msgpack.decode(msgspec.msgpack.encode(before), type=type(before))
    thinner = msgspec.structs.replace(copy.runs[3], size="18 AWG")
    edited = msgspec.structs.replace(copy, runs=(*copy.runs[:3], thinner, *copy.runs[4:]))
    shared = sharing(edited, before)
    assert shared == edited
    assert all(now is then for now, then in zip(shared.parts, before.parts, strict=True))
    assert [now is then for now, then in zip(shared.runs, before.runs, strict=True)].count(False) == 1
    assert analyse(shared, library).report == analyse(edited, library).report


def test_the_entries_that_are_another_came_or_went_are_told() -> None:
    one, twin = Part(id="p1", kind="lamp"), Part(id="p1", kind="lamp")
    before: dict[str, object] = {"same": one, "equal": one, "other": one, "gone": one, "none": None, "no more": one}
    now: dict[str, object] = {"equal": twin, "same": one, "other": 1, "came": None, "none": None, "no more": None}
    assert differing_keys(before, now) == {"other", "gone", "came", "no more"}
    assert differing_keys(before, before) == differing_keys(before, dict(before)) == differing_keys({}, {}) == set()
    assert differing_keys(before, {}) == differing_keys({}, before) == set(before)
