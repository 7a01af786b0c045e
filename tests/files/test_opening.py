"""Opening from disk: boat files and sketches, and every reason a file cannot be opened."""

from __future__ import annotations

from pathlib import Path

import msgspec
import pytest

from engine.files.codec import encode_boat
from engine.files.opening import OpenError, open_boat
from engine.files.save import save_boat
from tests.files.boats import LIBRARY
from tests.files.test_codec import DOCUMENT
from tests.test_sketch import BOAT


def refusal(path: Path) -> OpenError:
    with pytest.raises(OpenError) as caught:
        open_boat(path, LIBRARY)
    return caught.value


def test_what_was_saved_opens(tmp_path: Path) -> None:
    save_boat(DOCUMENT, tmp_path / "a.boat")
    assert open_boat(tmp_path / "a.boat", LIBRARY) == DOCUMENT


def test_a_sketch_opens(tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_text(BOAT, encoding="utf-8-sig")
    assert open_boat(tmp_path / "a.txt", LIBRARY).network == DOCUMENT.network


def test_a_sketch_with_mistakes_says_where(tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_text("G1 battry\n", encoding="utf-8")
    assert "a.txt:1:4: unknown kind “battry”; did you mean battery?" in str(refusal(tmp_path / "a.txt"))


def test_files_that_cannot_be_read(tmp_path: Path) -> None:
    assert refusal(tmp_path / "gone.boat").code == "missing"
    assert refusal(tmp_path).code in ("folder", "denied")
    (tmp_path / "a.boat").write_bytes(b"GIF89a")
    assert refusal(tmp_path / "a.boat").code == "malformed"
    (tmp_path / "b.txt").write_bytes(b"\xff\xfe")
    assert refusal(tmp_path / "b.txt").code == "encoding"


def test_an_endless_file_is_not_read_to_its_end() -> None:
    zero = Path("/dev/zero")
    if not zero.exists():
        pytest.skip("needs /dev/zero")
    assert refusal(zero).code == "oversized"


def test_a_kind_that_the_library_does_not_have_is_named(tmp_path: Path) -> None:
    (tmp_path / "a.boat").write_bytes(encode_boat(DOCUMENT).replace(b'"kind":"lamp"', b'"kind":"lamq"'))
    refused = refusal(tmp_path / "a.boat")
    assert (refused.code, refused.where, refused.remedy) == ("kind", "parts[5] (E1)", "Did you mean lamp?")


def test_a_run_to_a_port_that_is_not_there_is_named(tmp_path: Path) -> None:
    (tmp_path / "a.boat").write_bytes(encode_boat(DOCUMENT).replace(b'"port":"supply"', b'"port":"mains"'))
    assert "runs[1] (W2): an end lands on the port p6.mains" in str(refusal(tmp_path / "a.boat"))


def test_a_count_beyond_reason_does_not_fill_the_memory(tmp_path: Path) -> None:
    bus = msgspec.structs.replace(DOCUMENT.network.parts[5], kind="bus", values={"studs": 1e12})
    network = msgspec.structs.replace(DOCUMENT.network, parts=(*DOCUMENT.network.parts[:5], bus))
    (tmp_path / "a.boat").write_bytes(encode_boat(msgspec.structs.replace(DOCUMENT, network=network)))
    assert refusal(tmp_path / "a.boat").code == "unsound"
