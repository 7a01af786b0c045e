"""loomwright symbols: check every symbol and device file, or write the contact sheet."""

from __future__ import annotations

import argparse
from pathlib import Path


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """symbols check | symbols sheet --out FOLDER"""
    parser.add_argument("action", choices=["check", "sheet"])
    parser.add_argument("--out", type=Path, default=Path(), help="folder for contact_sheet.svg and contact_sheet.pdf")


def run(asked: argparse.Namespace) -> int:
    """0: all is well; 1: problems were found and printed."""
    if asked.action == "sheet":
        from engine.papers.symbol_sheet import write_contact_sheet

        print("\n".join(f"Wrote {path}" for path in write_contact_sheet(asked.out)))
        return 0
    from engine.library.symbol_check import check_symbols

    problems = check_symbols()
    print("\n".join(problems) if problems else "Every symbol and device is in order.")
    return 1 if problems else 0
