"""Sketch text into statements of words that know their line and column. Knows no boat: no parts, no runs."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

import msgspec

QUOTED = "\0"
"""Stands in a token's mask for each character that was between quotes."""

_PIECE = re.compile(r'"((?:[^"\\]|\\.)*)"|[^\s"]+')
_ESCAPES = {"n": "\n", "r": "\r", "t": "\t"}


class SketchProblem(msgspec.Struct, frozen=True):
    """One thing that cannot be read: where (lines and columns count from 1), what, and what to write instead."""

    line: int
    column: int
    what: str
    instead: str = ""


class SketchError(Exception):
    """A sketch that cannot be read; `problems` holds every reason, in the order of the text."""

    def __init__(self, name: str, problems: Iterable[SketchProblem]) -> None:
        self.problems = tuple(sorted(problems, key=lambda problem: (problem.line, problem.column)))
        super().__init__("\n".join(_sentence(name, problem) for problem in self.problems))


def _sentence(name: str, problem: SketchProblem) -> str:
    remedy = f"; {problem.instead}" if problem.instead else ""
    return f"{name}:{problem.line}:{problem.column}: {problem.what}{remedy}"


class Token(msgspec.Struct, frozen=True):
    """One word. `mask` is its text with every quoted character replaced, so that separators in quotes do not count."""

    text: str
    mask: str
    line: int
    column: int

    @property
    def quoted(self) -> bool:
        """Whether the whole word was between quotes (or is empty)."""
        return not self.mask.strip(QUOTED)

    def cut(self, separator: str, last: bool = False) -> tuple[Token, Token] | None:
        """The word before and after the first (or last) bare separator; None when there is none."""
        at = self.mask.rfind(separator) if last else self.mask.find(separator)
        if at < 0:
            return None
        return self._slice(0, at), self._slice(at + len(separator), len(self.text))

    def split(self, separator: str) -> list[Token]:
        """The words between the bare separators."""
        pair = self.cut(separator)
        return [self] if pair is None else [pair[0], *pair[1].split(separator)]

    def _slice(self, start: int, end: int) -> Token:
        return Token(self.text[start:end], self.mask[start:end], self.line, self.column + start)


class Statement(msgspec.Struct, frozen=True):
    """One statement: its words, and whether it was indented, that is: belongs to the one above."""

    tokens: tuple[Token, ...]
    indented: bool


class Faults:
    """Collects what is wrong, so that a reader can go on and report everything at once."""

    def __init__(self) -> None:
        self.problems: list[SketchProblem] = []

    def add(self, token: Token, what: str, instead: str = "") -> None:
        """Note a problem at the token."""
        self.problems.append(SketchProblem(token.line, token.column, what, instead))

    def unknown(self, token: Token, what: str, known: Iterable[str]) -> None:
        """Note a word that is not known, with the nearest known ones."""
        self.add(token, f"unknown {what} {show(token.text)}", suggest(token.text, known))


def show(text: str) -> str:
    """The text as it is named in a message."""
    return f"“{text}”"


def suggest(word: str, known: Iterable[str]) -> str:
    """What to write instead of the word: the nearest known one, or all of them when there are few."""
    from difflib import get_close_matches

    names = list(known)
    by_lower = {name.lower(): name for name in names}
    near = get_close_matches(word.lower(), by_lower, n=1, cutoff=0.5)
    if near:
        return f"did you mean {by_lower[near[0]]}?"
    return f"write one of: {', '.join(names)}" if 0 < len(names) <= 24 else ""


def split_statements(text: str, faults: Faults) -> list[Statement]:
    """The statements of the text; an indented line of pairs is joined to the statement above it."""
    statements: list[Statement] = []
    lines = text.replace("\r\n", "\n").split("\n")
    margin = _margin(lines)
    for number, line in enumerate(lines, start=1):
        tokens = tuple(_tokens(line, number, faults))
        if not tokens:
            continue
        statement = Statement(tokens, tokens[0].column - 1 > margin)
        if statement.indented and statements and "=" in tokens[0].mask:
            statement = Statement(statements[-1].tokens + tokens, statements.pop().indented)
        statements.append(statement)
    return statements


def _margin(lines: list[str]) -> int:
    """The indent all statements share, as in a text set in from the margin of a test."""
    written = [line for line in lines if line.strip() and not line.lstrip().startswith("#")]
    return min((len(line) - len(line.lstrip()) for line in written), default=0)


def _tokens(line: str, number: int, faults: Faults) -> Iterator[Token]:
    at = 0
    while at < len(line):
        if line[at].isspace():
            at += 1
        elif line[at] == "#":
            return
        else:
            token, at = _token(line, at, number, faults)
            yield token


def _token(line: str, start: int, number: int, faults: Faults) -> tuple[Token, int]:
    text = mask = ""
    at = start
    while at < len(line) and not line[at].isspace():
        piece = _PIECE.match(line, at)
        if piece is None:
            faults.add(Token("", "", number, at + 1), "a quoted text is not closed", 'end it with "')
            return Token(text + line[at + 1 :], mask + QUOTED * (len(line) - at - 1), number, start + 1), len(line)
        inner = piece[1]
        plain = piece[0] if inner is None else _unescape(inner)
        text += plain
        mask += plain if inner is None else QUOTED * len(plain)
        at = piece.end()
    return Token(text, mask, number, start + 1), at


def _unescape(text: str) -> str:
    return re.sub(r"\\(.)", lambda found: _ESCAPES.get(found[1], found[1]), text)
