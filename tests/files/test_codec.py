"""The boat file's bytes: what is written comes back; what cannot be read says why, where, and what to do."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any, Literal, get_args, get_origin

import msgspec
import pytest
from hypothesis import Phase, given, settings

from engine.files.codec import LARGEST_BYTES, decode_boat, encode_boat
from engine.files.errors import OpenError
from engine.files.migrations import migrate
from engine.files.record import BoatFile
from engine.model.document import FORMAT_VERSION, Document
from engine.model.sheets import Note, Place, Sheet
from engine.sketch import read_sketch
from tests.files.boats import LIBRARY, documents
from tests.test_sketch import BOAT

FORMATS = Path(__file__).parent.parent / "formats"
SHEET = Sheet(
    id="s1",
    title="Direct current",
    places=(Place(part="p1", x_mm=50, y_mm=62.5), Place(part="p2", x_mm=70, y_mm=62.5, rotation=90)),
    notes=(Note(id="n1", x_mm=10, y_mm=10, text="Battery locker"),),
)
DOCUMENT = msgspec.structs.replace(read_sketch(BOAT, LIBRARY), sheets=(SHEET,))
DATA = encode_boat(DOCUMENT)


def refusal(data: bytes) -> OpenError:
    with pytest.raises(OpenError) as caught:
        decode_boat(data)
    return caught.value


def changed(change: Callable[[dict[str, Any]], object]) -> bytes:
    tree = json.loads(DATA)
    change(tree)
    return json.dumps(tree).encode()


@settings(max_examples=60, deadline=None, derandomize=True, phases=[Phase.explicit, Phase.generate])
@given(documents())
def test_any_document_comes_back(document: Document) -> None:
    data = encode_boat(document)
    assert decode_boat(data) == document
    assert encode_boat(decode_boat(data)) == data


def test_one_entity_a_line() -> None:
    lines = DATA.decode().splitlines()
    for wanted in ('{"id":"p1"', '{"id":"w2"', '{"key":"3"', '{"part":"p2"', '{"id":"engine"', '{"id":"n1"'):
        assert sum(line.lstrip().startswith(wanted) for line in lines) == 1, wanted
    assert lines[0] == f'{{"loomwright": {FORMAT_VERSION},'


def test_moving_one_symbol_changes_one_line() -> None:
    places = (msgspec.structs.replace(SHEET.places[0], x_mm=52.5), SHEET.places[1])
    moved = msgspec.structs.replace(DOCUMENT, sheets=(msgspec.structs.replace(SHEET, places=places),))
    before, after = DATA.splitlines(), encode_boat(moved).splitlines()
    assert sum(a != b for a, b in zip(before, after, strict=True)) == 1


def test_the_order_in_which_values_were_set_does_not_matter() -> None:
    part = DOCUMENT.network.parts[0]
    turned = msgspec.structs.replace(part, values=dict(reversed(list(part.values.items()))))
    network = msgspec.structs.replace(DOCUMENT.network, parts=(turned, *DOCUMENT.network.parts[1:]))
    assert encode_boat(msgspec.structs.replace(DOCUMENT, network=network)) == DATA


def test_what_is_usual_is_left_out_however_it_was_made() -> None:
    """The library below omits a default text only where it is the very object: a boat read would differ from one drawn."""
    basis = "".join(["one", "-way"])
    run = msgspec.structs.replace(DOCUMENT.network.runs[0], length_basis=basis)
    network = msgspec.structs.replace(DOCUMENT.network, runs=(run, *DOCUMENT.network.runs[1:]))
    assert encode_boat(msgspec.structs.replace(DOCUMENT, network=network)) == DATA
    assert b"one-way" not in DATA


def test_a_number_is_written_as_short_as_it_can_be() -> None:
    assert b'"length_m":0.1778' in DATA


@pytest.mark.parametrize("path", sorted(FORMATS.glob("v*_*.boat")), ids=lambda path: path.name)
def test_every_version_ever_saved_still_opens(path: Path) -> None:
    document = decode_boat(path.read_bytes())
    assert document.network.parts
    assert decode_boat(encode_boat(document)) == document


def test_a_file_of_each_version_is_kept() -> None:
    versions = {int(path.name[1:].partition("_")[0]) for path in FORMATS.glob("v*_*.boat")}
    assert versions == set(range(1, FORMAT_VERSION + 1))


def test_the_file_of_this_version_is_written_as_it_was() -> None:
    """A change of the format without a new version shows here: make a new version, and a migration."""
    assert (FORMATS / "v1_cruiser.boat").read_bytes() == DATA


@pytest.mark.parametrize(
    ("change", "where", "what"),
    [
        (
            lambda boat: boat["parts"][1]["values"].update(rating_a={"a": 1}),
            "parts[1] (F1): values.rating_a",
            "expected true or false or number or text or range or list or unknown (null), got a record",
        ),
        (
            lambda boat: boat["parts"][4]["positions"][1].update(rating_a="ten"),
            "parts[4] (A1): positions[1] (2): rating_a",
            "expected number or range or list or unknown (null), got text",
        ),
        (lambda boat: boat["parts"][1].update(rated=9), "parts[1] (F1)", "it has an unknown field rated"),
        (lambda boat: boat["parts"][0].pop("kind"), "parts[0] (G1)", "it lacks kind"),
        (lambda boat: boat["runs"][1].update(length_m=[1]), "runs[1] (W2): length_m", "expected range or list of length 2"),
        (
            lambda boat: boat["parts"][0]["evidence"]["capacity_ah"][0].update(kind="seen"),
            "parts[0] (G1): evidence.capacity_ah[0]: kind",
            "invalid enum value 'seen'",
        ),
        (lambda boat: boat.update(next_id="many"), "next_id", "expected whole number, got text"),
        (lambda boat: boat.pop("sheets"), "", "it lacks sheets"),
        (lambda boat: boat.update(parts={}), "parts", "expected range or list, got a record"),
        (
            lambda boat: boat["sheets"][0]["places"][0].update(rotation=45),
            "sheets[0] (Direct current): places[0]: rotation",
            "invalid enum value 45",
        ),
        (
            lambda boat: boat["conditions"][0]["duty"].update(p6=None),
            "conditions[0] (At anchor): duty.p6",
            "expected number, got unknown (null)",
        ),
    ],
)  # fmt: skip
def test_a_wrong_record_is_named(change: Callable[[dict[str, Any]], object], where: str, what: str) -> None:
    refused = refusal(changed(change))
    assert (refused.code, refused.where, refused.what) == ("invalid", where, what)
    assert refused.remedy


@pytest.mark.parametrize(
    ("change", "what"),
    [
        (lambda boat: boat["runs"][1]["a"].update(part="p99"), "runs[1] (W2): an end lands on the part p99, which is not"),
        (lambda boat: boat["parts"][1].update(id="p1"), "parts[0] (G1): its id stands twice"),
        (lambda boat: boat["parts"][0].update(compartment="bow"), "parts[0] (G1): the space bow is not there"),
        (lambda boat: boat.update(next_id=3), "parts[2] (F2): its id is not below next_id, 3"),
        (lambda boat: boat["runs"][1].update(poles=["+", "x"]), "runs[1] (W2): its poles are none, unknown or repeated: + x"),
        (lambda boat: boat["sheets"][0]["places"][0].update(part="p77"), "sheets[0] (Direct current): it places the part p77"),
    ],
)  # fmt: skip
def test_records_that_do_not_fit_together(change: Callable[[dict[str, Any]], object], what: str) -> None:
    refused = refusal(changed(change))
    assert refused.code == "unsound"
    assert what in refused.what


def test_a_newer_file_says_so() -> None:
    refused = refusal(changed(lambda boat: boat.update(loomwright=FORMAT_VERSION + 1, new_thing=[])))
    assert refused.code == "newer"
    assert f"version {FORMAT_VERSION + 1}" in str(refused)
    assert "newer Loomwright" in refused.remedy


@pytest.mark.parametrize("length", range(0, len(DATA) - 1, 50))
def test_a_file_cut_off_anywhere_is_refused(length: int) -> None:
    refused = refusal(DATA[:length])
    assert refused.code in ("truncated", "empty", "malformed")
    assert length == 0 or "line" in refused.where


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"", "empty"),
        (b" \n ", "empty"),
        (b"{}", "foreign"),
        (b"[]", "foreign"),
        (b"null", "foreign"),
        (b'"loomwright"', "foreign"),
        (b'{"loomwright": "1"}', "foreign"),
        (b'{"loomwright": 0}', "foreign"),
        (b'{"loomwright": -1}', "foreign"),
        (b'{"loomwright": 1e400}', "foreign"),
        (b"PK\x03\x04\x00\x00", "malformed"),
        (b"\x00" * 100, "malformed"),
        (DATA + b"\x00", "truncated"),
        (DATA + DATA, "malformed"),
        (DATA.replace(b"Cruiser", b"Cru\x00ser"), "malformed"),
        (DATA.replace(b"Cruiser", b"Cruis\xe9r"), "encoding"),
        (DATA.decode().encode("utf-16"), "encoding"),
        (DATA.decode().encode("utf-16-le"), "malformed"),
        (DATA.replace(b"0.1778", b"NaN"), "malformed"),
        (DATA.replace(b"0.1778", b"Infinity"), "malformed"),
        (DATA.replace(b"0.1778", b"-Infinity"), "malformed"),
        (DATA.replace(b"0.1778", b"1e999"), "invalid"),
        (DATA.replace(b"0.1778", b"9" * 400), "invalid"),
        (DATA.replace(b"0.1778", b"9" * 100_000), "malformed"),
        (DATA.replace(b'"next_id": 7', b'"next_id": 7, "next_id": 8'), "key-twice"),
        (DATA.replace(b'"kind":"lamp"', b'"kind":"lamp","kind":"bus"'), "key-twice"),
        (DATA.replace(b'"Cruiser"', b'"\\ud800"'), "malformed"),
        (b"[" * 2_000_000, "foreign"),
        (b'{"loomwright": 1, "x": ' + b"[ " * 100_000, "nested"),
        (b'{"loomwright": 1, "x": ' + b'{"a":' * 100_000, "nested"),
        (b'{"loomwright": 1, "x": ' + b"[" * 5_000 + b"]" * 5_000 + b"}", "nested"),
        (b"x" * (LARGEST_BYTES + 1), "oversized"),
    ],
    ids=lambda value: value if isinstance(value, str) else str(value[:24]),
)
def test_hostile_files_are_refused_in_words(data: bytes, code: str) -> None:
    refused = refusal(data)
    assert refused.code == code, str(refused)
    assert len(str(refused)) < 400


def test_a_byte_order_mark_does_no_harm() -> None:
    assert decode_boat(b"\xef\xbb\xbf" + DATA) == DOCUMENT


def test_a_key_that_stands_twice_is_named_with_its_record() -> None:
    refused = refusal(DATA.replace(b'"designation":"F1"', b'"designation":"F1","label":"a","label":"b"'))
    assert "“label” stands twice" in refused.what
    assert "F1" in refused.where


GIVEN = re.compile(rb'"(\w+)":("[^"]*"|[0-9.]+|true|false)')


@pytest.mark.parametrize("at", [found.start() for found in GIVEN.finditer(DATA)])
def test_any_key_that_stands_twice_with_the_same_value_is_found(at: int) -> None:
    given = GIVEN.match(DATA, at)
    assert given is not None
    assert refusal(DATA[:at] + given[0] + b"," + DATA[at:]).code == "key-twice"


@pytest.mark.parametrize(
    ("once", "twice"),
    [
        (b'"designation":"F1"', b'"designation":"F1","label":"a","label":"b\\u003a"'),
        (b'"designation":"F1"', b'"designation":"F1","label":": a","label":"b"'),
        (b'"designation":"F1"', b'"designation":"F1","note":"","note":""'),
        (b'"designation":"F1"', b'"designation":"F1","positions":[],"positions":[]'),
        (b'"next_id": 7', b'"next_id": 7, "answers": [], "answers": []'),
        (b'"rating_a":', b'"studs":null,"studs":null,"rating_a":'),
    ],
)
def test_no_writing_hides_a_key_that_stands_twice(once: bytes, twice: bytes) -> None:
    """Counting the colons settles most files; what upsets the count must not settle any."""
    assert once in DATA
    assert refusal(DATA.replace(once, twice, 1)).code == "key-twice"


@pytest.mark.parametrize("document", [Document(), DOCUMENT], ids=["empty", "cruiser"])
def test_a_file_as_saved_is_settled_by_the_count(document: Document, monkeypatch: pytest.MonkeyPatch) -> None:
    """Asking every key in turn takes longer than all the rest."""
    monkeypatch.delattr("engine.files.codec._check_keys")
    assert decode_boat(encode_boat(document)) == document


def _records(kind: object) -> set[type[msgspec.Struct]]:
    """Every record a type speaks of."""
    if isinstance(kind, type) and issubclass(kind, msgspec.Struct):
        found = {kind}
        for field in msgspec.structs.fields(kind):
            found |= _records(field.type)
        return found
    return set().union(*map(_records, get_args(kind)))


@pytest.mark.parametrize("kind", sorted(_records(BoatFile), key=lambda kind: kind.__name__))
def test_a_record_writes_no_field_that_was_not_given(kind: type[msgspec.Struct]) -> None:
    """The count of the keys stands on this."""
    needed = {field.encode_name: field.type for field in msgspec.structs.fields(kind) if field.required}
    record = msgspec.json.decode(msgspec.json.encode({name: _some(of) for name, of in needed.items()}), type=kind)
    assert set(msgspec.json.decode(msgspec.json.encode(record))) == set(needed)


def _some(kind: object) -> object:
    """A value of the type that is no default of any field."""
    if isinstance(kind, type) and issubclass(kind, msgspec.Struct):
        needed = (field for field in msgspec.structs.fields(kind) if field.required)
        return {field.name: _some(field.type) for field in needed}
    if get_origin(kind) is Literal:
        return get_args(kind)[0]
    return [] if get_origin(kind) is tuple else "x" if kind is str else 1


def _one_to_two(tree: dict[str, Any]) -> dict[str, Any]:
    return {**tree, "parts": [{**part, "kind": f"old_{part['kind']}"} for part in tree["parts"]]}


def _two_to_three(tree: dict[str, Any]) -> dict[str, Any]:
    return {**tree, "title": tree["parts"][0]["kind"]}


def test_versions_are_led_on_step_by_step() -> None:
    """A made-up chain: each step sees what the one before it made, and none but its own version."""
    tree = {"loomwright": 1, "parts": [{"kind": "lamp"}]}
    steps = {1: _one_to_two, 2: _two_to_three}
    assert migrate(tree, 1, steps, 3) == {"loomwright": 3, "parts": [{"kind": "old_lamp"}], "title": "old_lamp"}
    assert migrate({**tree, "loomwright": 2}, 2, steps, 3)["title"] == "lamp"
    assert tree == {"loomwright": 1, "parts": [{"kind": "lamp"}]}


def test_a_missing_step_and_a_file_that_is_not_its_version_are_refused() -> None:
    with pytest.raises(OpenError, match="version 2 cannot be read"):
        migrate({"parts": []}, 1, {1: lambda tree: tree}, 3)
    with pytest.raises(OpenError, match="says it is version 1 but is not"):
        migrate({}, 1, {1: _one_to_two}, 2)
