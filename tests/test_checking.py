"""The check in a process of its own: what goes through the pipe, and that it says what a check here says."""

from __future__ import annotations

import subprocess
import sys

import msgspec
import pytest

from engine.checking import LENGTH, Asked, Line, Told, analysis_of, first_body, message, told
from engine.files.opening import open_boat
from engine.library.device import Library, load_library
from engine.model.network import Network
from engine.model.slices import Change
from engine.pipeline import analyse
from engine.rules.runner import SupersededError, load_rules
from tests.samples.boats import SAMPLES


@pytest.fixture(scope="module")
def library() -> Library:
    return load_library()


@pytest.fixture(scope="module")
def marguerite(library: Library) -> Network:
    return open_boat(SAMPLES / "marguerite_as_built.boat", library).network


def test_what_comes_back_says_what_a_check_here_says(library: Library, marguerite: Network) -> None:
    here = analyse(marguerite, library)
    body = first_body(message(told(1, here.report)))
    assert body is not None
    there = analysis_of([msgspec.msgpack.decode(body, type=Told)], marguerite, library)
    assert there.boat.network is marguerite
    assert there.report.tallies == here.report.tallies
    assert there.report.meets == len(here.report.met) > 0
    for ours, theirs in zip(here.findings, there.findings, strict=True):
        assert (ours.rule, ours.book, ours.severity) == (theirs.rule, theirs.book, theirs.severity)
        assert dict(ours.outcome.values) == dict(theirs.outcome.values)
        assert msgspec.structs.replace(ours.outcome, values={}) == msgspec.structs.replace(theirs.outcome, values={})


def test_a_message_is_taken_only_when_it_is_whole() -> None:
    whole = message(Asked(7, Change(Network())))
    assert all(first_body(whole[:length]) is None for length in range(len(whole)))
    body = first_body(whole + b"more")
    assert body is not None
    assert msgspec.msgpack.decode(body, type=Asked) == Asked(7, Change(Network()))


def test_the_newest_boat_that_waits_is_answered_and_the_process_ends_with_its_asker(marguerite: Network) -> None:
    with subprocess.Popen(
        [sys.executable, "-m", "engine.checking"], stdin=subprocess.PIPE, stdout=subprocess.PIPE
    ) as process:
        assert process.stdin is not None
        assert process.stdout is not None
        line = Line()
        process.stdin.write(b"".join(line.asking(number, marguerite) for number in (1, 2, 3)))
        process.stdin.flush()
        numbers = []
        while numbers[-1:] != [3]:
            (length,) = LENGTH.unpack(process.stdout.read(LENGTH.size))
            numbers.append(msgspec.msgpack.decode(process.stdout.read(length), type=Told).number)
        process.stdin.close()
        assert process.wait(20) == 0
    assert numbers in ([3], [1, 3], [2, 3])


def test_a_check_that_nobody_waits_for_is_given_up(marguerite: Network, library: Library) -> None:
    asked = iter([False, False, True])
    with pytest.raises(SupersededError):
        analyse(marguerite, library, superseded=lambda: next(asked))


def test_slow_rules_are_asked_only_where_they_are_waited_for(library: Library, marguerite: Network) -> None:
    quick, whole = (analyse(marguerite, library, slow=slow).report for slow in (False, True))
    more = {tally.rule_id for tally in whole.tallies} - {tally.rule_id for tally in quick.tallies}
    assert set() != more <= {rule.id for rule in load_rules() if rule.slow}
