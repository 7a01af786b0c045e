"""Sketch text into a document: the statements in the order in which they need each other."""

from __future__ import annotations

import re
from typing import Any

import msgspec

from engine.library.device import Library
from engine.model.document import Document
from engine.model.network import Compartment, Enclosure, Network, Option, Particulars, Revision
from engine.sketch.claims import read_answer, read_condition, read_deviation, read_evidence
from engine.sketch.fields import BOAT, BOX, OPTION, REVISION, SPACE, read_fields
from engine.sketch.house import read_house
from engine.sketch.parts import read_part
from engine.sketch.runs import read_run
from engine.sketch.scene import Scene
from engine.sketch.tokens import Faults, SketchError, Statement, Token, show, split_statements
from engine.sketch.words import KEYWORDS, read_list, sort_words

Tokens = tuple[Token, ...]
_NOTHING = Token("", "", 0, 0)


def read_sketch(text: str, library: Library, name: str = "sketch") -> Document:
    """The boat the text describes, without places on its sheet. Ids follow from the order: p1 …, w1 …

    Raises SketchError with everything that is wrong, each with line, column and what to write instead.
    """
    faults = Faults()
    outline = _sort_statements(split_statements(text, faults), faults)
    network = _network(outline, Scene(library, faults))
    if faults.problems:
        raise SketchError(name, faults.problems)
    return Document(network=network, next_id=_next_id(network))


def _next_id(network: Network) -> int:
    """One more than any number in an id, so that the editor's new ids are new."""
    groups = (network.parts, network.runs, network.compartments, network.enclosures, network.options)
    ids = [record.id for group in (*groups, network.conditions) for record in group]
    numbers = (one.lstrip("abcdefghijklmnopqrstuvwxyz") for one in ids)
    return max([1, *(int(number) for number in numbers if number.isdecimal())]) + 1


class _Outline(msgspec.Struct):
    """The statements by what they are; a part with the ways below it."""

    heads: dict[str, list[Tokens]]
    parts: list[tuple[Tokens, list[Tokens]]] = []
    runs: list[Tokens] = []


def _sort_statements(statements: list[Statement], faults: Faults) -> _Outline:
    outline = _Outline({word: [] for word in KEYWORDS})
    ways: list[Tokens] | None = None
    for statement in statements:
        head = statement.tokens[0]
        if statement.indented:
            if ways is None:
                faults.add(head, "an indented line with no part above it", "begin the line at the margin")
            else:
                ways.append(statement.tokens)
            continue
        ways = None
        if head.mask in KEYWORDS:
            outline.heads[head.mask].append(statement.tokens)
        elif head.mask.endswith(":"):
            outline.runs.append(statement.tokens)
        else:
            ways = []
            outline.parts.append((statement.tokens, ways))
    return outline


def _network(outline: _Outline, scene: Scene) -> Network:
    heads = outline.heads
    particulars = _particulars(heads["boat"], heads["revision"], scene.faults)
    _declare(heads, scene)
    for tokens, ways in outline.parts:
        read_part(tokens, ways, scene)
    for tokens in outline.runs:
        read_run(tokens, scene)
    for tokens in heads["evidence"]:
        read_evidence(tokens, scene)
    said = scene.evidence
    return Network(
        particulars=particulars,
        parts=tuple(msgspec.structs.replace(part, evidence=said.get(part.id, {})) for part in scene.parts),
        runs=tuple(msgspec.structs.replace(run, evidence=said.get(run.id, {})) for run in scene.runs),
        compartments=tuple(_space(tokens, scene) for tokens in heads["space"] if len(tokens) > 1),
        enclosures=tuple(_box(tokens, scene) for tokens in heads["box"] if len(tokens) > 1),
        options=tuple(_option(tokens, scene) for tokens in heads["option"] if len(tokens) > 1),
        conditions=tuple(read_condition(tokens, scene) for tokens in heads["condition"] if len(tokens) > 1),
        answers=tuple(found for tokens in heads["answer"] if (found := read_answer(tokens, scene))),
        deviations=tuple(stated for tokens in heads["deviation"] if (stated := read_deviation(tokens, scene))),
        house=read_house(heads, scene.faults),
    )


def _particulars(boats: list[Tokens], revisions: list[Tokens], faults: Faults) -> Particulars:
    for again in boats[1:]:
        faults.add(again[0], "a second boat", "one boat a sketch")
    fields: dict[str, Any] = {}
    for tokens in boats[:1]:
        words = sort_words(tokens[1:], faults)
        fields = {"name": words.label} if words.label else {}
        fields |= read_fields(words, BOAT, faults)
    if "rules" in fields:
        fields["rulebooks"] = fields.pop("rules")
    listed = tuple(_revision(tokens, faults) for tokens in revisions)
    return Particulars(revisions=listed, **fields)


def _revision(tokens: Tokens, faults: Faults) -> Revision:
    if len(tokens) < 2:
        faults.add(tokens[0], "a revision without an index", "write: revision A date=… by=… text=…")
        return Revision(index="")
    return Revision(index=tokens[1].text, **read_fields(sort_words(tokens[2:], faults), REVISION, faults))


def _declare(heads: dict[str, list[Tokens]], scene: Scene) -> None:
    """Note the ids of spaces, boxes, options and conditions; an id is one thing's only."""
    lines: dict[str, int] = {}
    known = {"space": scene.spaces, "box": scene.boxes, "option": scene.options, "condition": lines}
    for word, ids in known.items():
        for tokens in heads[word]:
            if len(tokens) < 2:
                scene.faults.add(tokens[0], f"a {word} without an id", f'write: {word} id "Name" …')
            elif tokens[1].text in lines or re.fullmatch(r"[pws]\d+", tokens[1].text):
                scene.faults.add(tokens[1], f"the id {show(tokens[1].text)} is taken", "choose another id")
            else:
                lines[tokens[1].text] = ids[tokens[1].text] = tokens[1].line


def _space(tokens: Tokens, scene: Scene) -> Compartment:
    words = sort_words(tokens[2:], scene.faults)
    return Compartment(id=tokens[1].text, name=words.label, **read_fields(words, SPACE, scene.faults))


def _box(tokens: Tokens, scene: Scene) -> Enclosure:
    words = sort_words(tokens[2:], scene.faults)
    home = scene.homes(words)
    return Enclosure(id=tokens[1].text, name=words.label, **home, **read_fields(words, BOX, scene.faults))


def _option(tokens: Tokens, scene: Scene) -> Option:
    words = sort_words(tokens[2:], scene.faults)
    for name in (name for key in ("needs", "excludes") for name in read_list(words.pairs.get(key, _NOTHING))):
        if name.text not in scene.options:
            scene.faults.unknown(name, "option", scene.options)
    return Option(id=tokens[1].text, name=words.label, **read_fields(words, OPTION, scene.faults))
