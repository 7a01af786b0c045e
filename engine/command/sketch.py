"""loomwright sketch: a boat sketched in a few lines of text into a boat file, or a boat file into a sketch."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from engine.messages import tr

if TYPE_CHECKING:
    from engine.library.device import Library
    from engine.model.document import Document

TEXT_SUFFIXES = frozenset({".txt", ".sketch"})


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """sketch TEXTFILE --out BOAT | sketch BOAT --out TEXTFILE"""
    parser.add_argument("file", type=Path, help="a sketch (.txt), or a boat file (.boat)")
    parser.add_argument(
        "--out", type=Path, required=True, metavar="FILE", help="file to write: .boat from a sketch, .txt from a boat"
    )


def run(asked: argparse.Namespace) -> int:
    """0 written, 2 it cannot be read or written."""
    from engine.files.errors import SaveError
    from engine.files.opening import OpenError, open_boat
    from engine.library.device import load_library

    library = load_library()
    try:
        document = open_boat(asked.file, library)
    except OpenError as error:
        print(f"{asked.file}: {error}", file=sys.stderr)
        return 2
    try:
        if asked.out.suffix.lower() in TEXT_SUFFIXES:
            from engine.files.save import write_safely
            from engine.sketch import write_sketch

            write_safely(asked.out, write_sketch(document, library).encode("utf-8"))
        else:
            from engine.files.save import save_boat

            save_boat(_laid_out(document, library), asked.out)
    except (SaveError, OSError) as error:
        print(f"{asked.out}: {error}", file=sys.stderr)
        return 2
    print(tr("Wrote {path}").format(path=asked.out))
    return 0


def _laid_out(document: Document, library: Library) -> Document:
    """With every part placed, where none is: a sketch says nothing of sheets."""
    if any(sheet.places for sheet in document.sheets):
        return document
    from engine.drawing.layout import lay_out
    from engine.library.symbol import load_symbols

    return lay_out(document, library, load_symbols())
