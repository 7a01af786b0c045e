"""The command line: reads the words, calls the engine, prints. Everything heavy is imported by the command that needs it."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable, Sequence
from importlib import import_module

VERSION = "0.1.0"
CAUTION = (
    "Loomwright checks a drawing, not a boat. The standards themselves, local codes and licensed marine electricians "
    "have the last word."
)
COMMANDS = {
    "check": "check boats against the rulebooks; exit 0 nothing breaks, 1 something breaks, 2 cannot be read",
    "export": "write the papers: panel schedules, owner's drawing, run list, inspection list, energy balance, report",
    "sketch": "turn a boat sketched in a few lines of text into a boat file, or back",
    "explain": "where each value of a part or wire comes from: volts, amps, fault current",
    "fault": "short-circuit currents along a wire: which fuse or breaker opens first and how soon, and on what that rests",
    "live": "which loads are live with the switches set, from which source; what one device takes with it",
    "energy": "what goes out of each bank and into it in a day, how long it lasts at anchor, how long it takes to charge",
    "loads": "what every load draws in each operating condition; what panels, banks and feeders carry, and when most",
    "size": "size conductors and devices so that they serve, and say each change with its reason",
    "grow": "what may still be added at each spare way, stud and bank, and which limit binds; add a circuit; one more battery",
    "rules": "list the rules; rules explain ID prints reason and sources",
    "symbols": "check the symbols and devices; write their contact sheet",
}

NOT_READ_TO_THE_END = 141
"""As shells count a program that ends because nobody reads it."""

OpenEditor = Callable[[str | None], int]


def main(argv: Sequence[str] | None = None, open_editor: OpenEditor | None = None) -> int:
    """Run one command; a file name, or nothing, opens the editor. Returns the exit status."""
    words = list(sys.argv[1:] if argv is None else argv)
    if words and words[0] in COMMANDS:
        return _run(words[0], words[1:])
    parser = _top_parser()
    asked = parser.parse_args(words)
    if open_editor is None:
        parser.error("the editor is not part of this command; use: " + ", ".join(COMMANDS))
    return open_editor(asked.file)


def _top_parser() -> argparse.ArgumentParser:
    listed = "\n".join(f"  {name:<9} {text}" for name, text in COMMANDS.items())
    parser = argparse.ArgumentParser(
        prog="loomwright",
        usage="loomwright [FILE]\n       loomwright COMMAND …   (loomwright COMMAND --help says more)",
        description="Draw a boat's electrical system, check it against the marine rules, print its papers.",
        epilog=f"commands:\n{listed}\n\n{CAUTION}",
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("file", nargs="?", metavar="FILE", help="boat file to open in the editor")
    parser.add_argument("--version", action="version", version=f"loomwright {VERSION}")
    return parser


def _run(name: str, words: Sequence[str]) -> int:
    module = import_module(f"engine.command.{name}")
    parser = argparse.ArgumentParser(
        prog=f"loomwright {name}", description=COMMANDS[name].capitalize() + ".", epilog=CAUTION
    )
    module.add_arguments(parser)
    run: Callable[[argparse.Namespace], int] = module.run
    asked = parser.parse_args(words)
    try:
        status = run(asked)
        sys.stdout.flush()
    except BrokenPipeError:  # whoever reads has seen enough, as `head` has
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return NOT_READ_TO_THE_END
    return status


if __name__ == "__main__":
    sys.exit(main())
