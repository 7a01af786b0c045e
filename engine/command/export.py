"""loomwright export: write the papers of a boat into a folder."""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from engine.messages import tr

if TYPE_CHECKING:
    from engine.papers.catalogue import Paper
    from engine.papers.subject import Subject

NAMES = (
    "panel-schedule",
    "owners-drawing",
    "run-list",
    "load-list",
    "sheets-svg",
    "inspection-list",
    "energy-balance",
    "protection-curves",
    "sizing-proposal",
    "report",
)
SIZES = ("A4", "A3", "letter", "tabloid")
PATIENCE_S = 1.0


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """export FILE --out DIR [--only NAME,…] [--paper A4|A3|letter|tabloid]"""
    parser.add_argument("file", type=Path, help="boat file, or sketch (.txt)")
    parser.add_argument("--out", type=Path, required=True, metavar="DIR", help="folder for the papers; made if missing")
    parser.add_argument("--only", metavar="NAME,…", help="only these papers: " + ", ".join(NAMES))
    parser.add_argument("--paper", choices=SIZES, help="paper size; without it A4, or letter for a boat in US units")


def run(asked: argparse.Namespace) -> int:
    """0 written, 2 the boat cannot be read, a name is unknown or a file cannot be written."""
    wanted = _wanted(asked.only)
    unknown = [name for name in wanted if name not in NAMES]
    if unknown or not wanted:
        print(tr("There is no paper “{names}”; there are {known}.").format(
            names=", ".join(unknown) or asked.only, known=", ".join(NAMES)), file=sys.stderr)  # fmt: skip
        return 2
    subject = _subject(asked.file, asked.paper)
    if isinstance(subject, str):
        print(f"{asked.file}: {subject}", file=sys.stderr)
        return 2
    return _write_all(subject, wanted, asked.file.stem, asked.out)


def _wanted(only: str | None) -> list[str]:
    return list(NAMES) if only is None else [name.strip() for name in only.split(",") if name.strip()]


def _subject(path: Path, size: str | None) -> Subject | str:
    from engine.drawing.layout import lay_out
    from engine.files.opening import OpenError, open_boat
    from engine.library.device import load_library
    from engine.library.symbol import load_symbols
    from engine.papers.catalogue import subject_of
    from engine.pipeline import analyse

    library, symbols = load_library(), load_symbols()
    try:
        document = open_boat(path, library)
    except OpenError as error:
        return str(error)
    if not any(sheet.places for sheet in document.sheets):
        document = lay_out(document, library, symbols)
    usual = "letter" if document.network.particulars.units == "us" else "A4"
    return subject_of(document, analyse(document.network, library, slow=True), library, symbols, size or usual)


def _write_all(subject: Subject, wanted: Sequence[str], stem: str, folder: Path) -> int:
    from engine.files.errors import SaveError
    from engine.papers.catalogue import paper_named

    progress = _Progress(len(wanted))
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for number, name in enumerate(wanted, 1):
            paper = paper_named(name)
            progress.say(number, paper)
            for path in _write(paper, subject, stem, folder):
                print(tr("Wrote {path}").format(path=path))
    except (OSError, SaveError) as error:
        what = error.strerror or str(error) if isinstance(error, OSError) else str(error)
        print(tr("{folder}: cannot be written: {what}").format(folder=folder, what=what), file=sys.stderr)
        return 2
    return 0


def _write(paper: Paper, subject: Subject, stem: str, folder: Path) -> Iterator[Path]:
    """Write the files of one paper; each is whole or not there."""
    from engine.files.save import write_safely

    for made in paper.files(subject):
        path = folder / f"{stem}-{made.ending}"
        write_safely(path, made.content, keep_previous=False)
        yield path


class _Progress:
    """Says on standard error what is being made, once more than a second has gone by."""

    def __init__(self, count: int) -> None:
        self._count = count
        self._began = time.monotonic()

    def say(self, number: int, paper: Paper) -> None:
        """The paper that is begun."""
        if time.monotonic() - self._began > PATIENCE_S:
            print(f"[{number}/{self._count}] {tr(paper.title)} …", file=sys.stderr, flush=True)
