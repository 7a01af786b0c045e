"""loomwright size: conductors and devices made to serve, each change with its reason; the file itself is left alone."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from engine.messages import tr


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """size FILE [--out FILE] [--stock SIZE,…]"""
    parser.add_argument("file", type=Path, help="boat file, or sketch (.txt)")
    parser.add_argument("--out", type=Path, help="where the sized boat goes; without it the changes are only shown")
    parser.add_argument("--stock", default="", help='sizes in stock: "14 AWG,12 AWG"; else those of the house rules')


def run(asked: argparse.Namespace) -> int:
    """0 all that is about size meets, 1 something is left, 2 a file cannot be read or written."""
    from engine.files.errors import SaveError
    from engine.files.opening import OpenError, open_boat
    from engine.files.save import save_boat
    from engine.library.device import load_library
    from engine.remedies.sizing import explanation, size_boat
    from engine.remedies.stock import Stock

    library = load_library()
    try:
        document = open_boat(asked.file, library)
        sizes = tuple(size.strip() for size in asked.stock.split(",") if size.strip())
        sizing = size_boat(document, library, Stock(sizes) if sizes else None)
        print(explanation(sizing, document.network.particulars.name))
        if asked.out:
            save_boat(sizing.document, asked.out)
            print(tr("Wrote {path}").format(path=asked.out))
    except (OpenError, SaveError) as error:
        print(error, file=sys.stderr)
        return 2
    return 1 if sizing.left else 0
