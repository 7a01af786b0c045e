"""loomwright symbols: check every symbol and device file, or write the contact sheet."""

from __future__ import annotations

import argparse
from pathlib import Path


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """symbols check | symbols sheet --out FILE"""
    parser.add_argument("action", choices=["check", "sheet"])
    parser.add_argument("--out", type=Path, default=Path("contact_sheet.svg"), help="where the sheet goes (SVG)")


def run(asked: argparse.Namespace) -> int:
    """0: all is well; 1: problems were found and printed."""
    from engine.library import symbol_check

    if asked.action == "sheet":
        asked.out.write_text(symbol_check.contact_sheet(), encoding="utf-8")
        print(f"Wrote {asked.out}")
        return 0
    problems = symbol_check.check_symbols()
    print("\n".join(problems) if problems else "Every symbol and device is in order.")
    return 1 if problems else 0
