"""The analyst with a boat that takes long: another process checks it, a thread where there is none."""

from __future__ import annotations

from pathlib import Path

from pytestqt.qtbot import QtBot

from app.workbench import Workbench
from engine.files.opening import open_boat
from engine.model.edits.fields import set_run_fields
from engine.pipeline import analyse
from tests.app.conftest import with_boat

SAMPLE = Path(__file__).parents[2] / "sample_boats" / "quill_34.boat"
LONG_S = 10.0


def slow_boat(bench: Workbench, qtbot: QtBot) -> str:
    """The sample in the window, as if its check had taken long; a run that has a fuse before it."""
    with_boat(bench, open_boat(SAMPLE, bench.library), qtbot)
    bench.analyst._took_s = LONG_S
    return next(run.id for run in bench.store.document.network.runs if run.size == "10 AWG")


def thinned(bench: Workbench, run: str, size: str) -> None:
    bench.store.apply(lambda document: set_run_fields(document, run, size=size), "Thin")


def found(bench: Workbench) -> list[tuple[str, tuple[str, ...]]]:
    assert bench.analyst.analysis is not None
    return [(each.rule.id, each.outcome.subjects) for each in bench.analyst.analysis.findings]


def expected(bench: Workbench) -> list[tuple[str, tuple[str, ...]]]:
    report = analyse(bench.store.document.network, bench.library).report
    return [(each.rule.id, each.outcome.subjects) for each in report.findings]


def test_another_process_finds_what_is_found_here(empty_bench: Workbench, qtbot: QtBot) -> None:
    run = slow_boat(empty_bench, qtbot)
    for size in ("18 AWG", "16 AWG"):  # the second before the first is answered
        thinned(empty_bench, run, size)
        assert not empty_bench.analyst.current
    qtbot.waitUntil(lambda: empty_bench.analyst.current, timeout=20_000)
    assert empty_bench.analyst.checker.usable
    assert found(empty_bench) == expected(empty_bench) != []


def test_when_the_process_dies_a_thread_goes_on(empty_bench: Workbench, qtbot: QtBot) -> None:
    run = slow_boat(empty_bench, qtbot)
    thinned(empty_bench, run, "18 AWG")
    empty_bench.analyst.checker._askers[-1].process.kill()
    qtbot.waitUntil(lambda: empty_bench.analyst.current, timeout=20_000)
    assert not empty_bench.analyst.checker.usable
    assert found(empty_bench) == expected(empty_bench) != []


def test_a_window_that_closes_takes_the_process_with_it(empty_bench: Workbench, qtbot: QtBot) -> None:
    run = slow_boat(empty_bench, qtbot)
    thinned(empty_bench, run, "18 AWG")
    empty_bench.analyst.wait()
    assert {each.process.state().name for each in empty_bench.analyst.checker._askers} == {"NotRunning"}


def test_the_rules_that_take_long_are_asked_a_little_later(empty_bench: Workbench, qtbot: QtBot) -> None:
    with_boat(empty_bench, open_boat(SAMPLE, empty_bench.library), qtbot)
    assert empty_bench.analyst.analysis is not None
    quick = {tally.rule_id for tally in empty_bench.analyst.analysis.report.tallies}
    assert "formula-differs-from-network" not in quick
    empty_bench.analyst.ask_slowly()

    def asked() -> set[str]:
        analysis = empty_bench.analyst.analysis
        return {tally.rule_id for tally in analysis.report.tallies} if analysis else set()

    qtbot.waitUntil(lambda: "formula-differs-from-network" in asked(), timeout=20_000)
    assert quick < asked()
    assert empty_bench.analyst.current


def test_work_that_fails_does_not_keep_the_next_waiting(empty_bench: Workbench, qtbot: QtBot) -> None:
    taken: list[object] = []
    with qtbot.captureExceptions() as raised:
        empty_bench.analyst.study(lambda: 1 / 0, taken.append)
        qtbot.waitUntil(lambda: taken == [None])
        empty_bench.analyst.study(lambda: "next", taken.append)
        qtbot.waitUntil(lambda: taken == [None, "next"])
    assert [kind for kind, _error, _where in raised] == [ZeroDivisionError]
