"""What a sketch has named so far, so that later words can be looked up. Mutable, and lives only while one is read."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from engine.library.device import DeviceKind, Library
from engine.library.expand import ports_of
from engine.model.network import End, Evidence, Part, Run
from engine.sketch.fields import reference
from engine.sketch.tokens import Faults, Token, show
from engine.sketch.words import Handle, Words, read_handle


class Scene:
    """The spaces, boxes, options, parts and runs of one sketch, and the faults found."""

    def __init__(self, library: Library, faults: Faults) -> None:
        self.library: Library = library
        self.faults = faults
        self.spaces: dict[str, int] = {}
        self.boxes: dict[str, int] = {}
        self.options: dict[str, int] = {}
        self.parts: list[Part] = []
        self.runs: list[Run] = []
        self.part_of: dict[Handle, int] = {}
        self.run_of: dict[Handle, int] = {}
        self.line_of: dict[Handle, int] = {}
        self.evidence: dict[str, dict[str, tuple[Evidence, ...]]] = {}

    def kind(self, part: Part) -> DeviceKind:
        """The device kind of a part read."""
        return self.library[part.kind]

    def find_part(self, token: Token) -> Part | None:
        """The part a word names; None and a fault when there is none."""
        index = self.part_of.get(read_handle(token))
        if index is None:
            self.faults.unknown(token, "part", _names(self.part_of))
            return None
        return self.parts[index]

    def find_end(self, token: Token) -> End | None:
        """The port of a part that `G1.pos` names; a way of a panel may be written without its p."""
        pair = token.cut(".", last=True)
        if pair is None:
            self.faults.add(token, f"{show(token.text)} names no port", "write part.port")
            return None
        part = self.find_part(pair[0])
        if part is None:
            return None
        names = [port.name for port in ports_of(part, self.kind(part))]
        for name in (pair[1].text, f"p{pair[1].text}"):
            if name in names:
                return End(part=part.id, port=name)
        self.faults.unknown(pair[1], f"port of {pair[0].text} ({part.kind})", names)
        return None

    def homes(self, words: Words) -> dict[str, Any]:
        """The @space, in=box and opt=option of a statement; taken out of its pairs."""
        homes: dict[str, Any] = {}
        if words.place is not None:
            homes["compartment"] = reference(words.place, "space", self.spaces, self.faults)
        for key, field, known in (("in", "enclosure", self.boxes), ("opt", "option", self.options)):
            if key in words.pairs:
                homes[field] = reference(words.pairs.pop(key), "box" if key == "in" else "option", known, self.faults)
        return homes

    def remember(self, token: Token, handles: dict[Handle, int], index: int) -> None:
        """Note what the word at the head of a statement is called; the same name twice is a fault."""
        handle = read_handle(token)
        if handle in handles:
            again = f"write {handle[0]}~2 when the boat carries it twice"
            self.faults.add(token, f"{show(token.text)} is already on line {self.line_of[handle]}", again)
        handles[handle] = index
        self.line_of[handle] = token.line


def _names(handles: Iterable[Handle]) -> list[str]:
    return [f"{name}~{tag}" if tag else name for name, tag in handles]
