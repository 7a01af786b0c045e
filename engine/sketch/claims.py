"""Condition, evidence and answer lines: what is switched how, what is known from where, what an inspection found."""

from __future__ import annotations

from typing import get_args

from engine.model.house import Deviation
from engine.model.network import Answer, Condition, Evidence, EvidenceKind, Part, Position, Run
from engine.model.quantity import Value
from engine.sketch.fields import FieldReader, read_fields, text
from engine.sketch.parts import value_reader
from engine.sketch.scene import Scene
from engine.sketch.tokens import Token, show
from engine.sketch.words import read_any, read_handle, read_quantity, sort_words

_KINDS = get_args(EvidenceKind)


def read_condition(tokens: tuple[Token, ...], scene: Scene) -> Condition:
    """A condition: part=position for a switch, part=number for the duty of anything else."""
    label = ""
    switches: dict[str, str] = {}
    duty: dict[str, float] = {}
    for token in tokens[2:]:
        pair = token.cut("=")
        if token.quoted:
            label = token.text
        elif pair is None:
            scene.faults.add(token, f"{show(token.text)} says nothing", "write part=position or part=duty")
        elif part := scene.find_part(pair[0]):
            states = scene.kind(part).states
            if pair[1].text in states:
                switches[part.id] = pair[1].text
            elif isinstance(share := _duty(pair[1], states, scene), float):
                duty[part.id] = share
    return Condition(id=tokens[1].text, name=label, switches=switches, duty=duty)


def _duty(token: Token, states: tuple[str, ...], scene: Scene) -> object:
    if not token.text[:1].isdigit() and states:
        scene.faults.unknown(token, "switch position", states)
        return None
    share = read_quantity(token, scene.faults)
    if not isinstance(share, float):
        scene.faults.add(token, f"{show(token.text)} is no duty", "write one number, 0 to 1")
    return share


def read_evidence(tokens: tuple[Token, ...], scene: Scene) -> None:
    """A statement about one field of a part or run into the scene."""
    if len(tokens) < 3:
        scene.faults.add(tokens[0], "evidence without subject or kind", "write: evidence G1.capacity_ah measured 92")
        return
    found = _subject(tokens[1], scene)
    if found is None:
        return
    subject, field = found
    if tokens[2].text not in _KINDS:
        scene.faults.unknown(tokens[2], "kind of evidence", _KINDS)
        return
    given = tokens[3:4] if len(tokens) > 3 and "=" not in tokens[3].mask else ()
    words = sort_words(tokens[3 + len(given) :], scene.faults)
    read = _reader(subject, field, scene)
    value: Value = read(given[0], scene.faults) if given else None
    fields = read_fields(words, {"by": text, "date": text, "note": text}, scene.faults)
    statement = Evidence(kind=tokens[2].text, value=value, **fields)  # type: ignore[arg-type]  # one of _KINDS
    said = scene.evidence.setdefault(subject.id, {})
    said[field.text] = (*said.get(field.text, ()), statement)


def _subject(token: Token, scene: Scene) -> tuple[Part | Run, Token] | None:
    """The part and field of `G1.capacity_ah`, the run and field of `W1:length_m` (or `W1.length_m`)."""
    pair = token.cut(":") or token.cut(".")
    if pair is None:
        scene.faults.add(token, f"{show(token.text)} names no field", "write part.field or wire:field")
        return None
    handle = read_handle(pair[0])
    if handle in scene.run_of and (token.cut(":") or handle not in scene.part_of):
        return scene.runs[scene.run_of[handle]], pair[1]
    if token.cut(":"):
        scene.faults.unknown(pair[0], "wire", [number for number, _ in scene.run_of])
        return None
    part = scene.find_part(pair[0])
    return (part, pair[1]) if part else None


def _reader(subject: Part | Run, field: Token, scene: Scene) -> FieldReader:
    """How the stated value is read: as the field itself; a field that the subject does not have is a fault."""
    if isinstance(subject, Run):
        known = [*Run.__struct_fields__]
    else:
        specs = {spec.name: spec for spec in scene.kind(subject).value}
        if field.text in specs:
            return value_reader(specs[field.text])
        ways = [f"{way.key}.{name}" for way in subject.positions for name in Position.__struct_fields__]
        known = [*specs, *Part.__struct_fields__, *ways]
    if field.text not in known:
        scene.faults.unknown(field, "field", known)
    return read_any


def read_answer(tokens: tuple[Token, ...], scene: Scene) -> Answer | None:
    """An answer of an inspection: `answer chafe @class:dc yes`, `answer battery-hold-down G1 no`, `answer sheath-exit W4: 500`."""
    if len(tokens) < 4:
        scene.faults.add(
            tokens[0], "an answer without question, subject or finding", "write: answer chafe @class:dc yes"
        )
        return None
    subject = _answered(tokens[2], scene)
    value = read_any(tokens[3], scene.faults)
    if not isinstance(value, (bool, float)):
        scene.faults.add(tokens[3], f"{show(tokens[3].text)} is no answer", "write yes, no or one number")
        return None
    fields = read_fields(sort_words(tokens[4:], scene.faults), {"by": text, "date": text, "note": text}, scene.faults)
    return Answer(item=tokens[1].text, subject=subject, answer=value, **fields) if subject else None


def read_deviation(tokens: tuple[Token, ...], scene: Scene) -> Deviation | None:
    """What is left as it is by decision: `deviation untinned-conductor W4: code=bare reason="…" by="…" date=2026-05-01`."""
    words = {"code": text, "reason": text, "by": text, "date": text}
    fields = read_fields(sort_words(tokens[3:], scene.faults), words, scene.faults)
    if len(tokens) < 3 or len(fields) < len(words):
        fault = "a deviation without rule, subject, code, reason, name or date"
        scene.faults.add(tokens[0], fault, 'write: deviation rule-id W4: code=… reason="…" by="…" date=…')
        return None
    subject = _answered(tokens[2], scene)
    return Deviation(rule=tokens[1].text, subject=subject, **fields) if subject else None


def _answered(token: Token, scene: Scene) -> str:
    """The key of what is spoken of: `@boat`, `@class:dc`, a wire `W4:`, a part `G1`, or the way of a panel `A1.3`."""
    if token.mask.startswith("@"):
        return token.text[1:]
    way = token.cut(".") if ":" not in token.mask else None
    if way is not None:
        panel = scene.find_part(way[0])
        return f"position:{panel.id}/{way[1].text}" if panel else ""
    pair = token.cut(":", last=True)
    if pair is None:
        part = scene.find_part(token)
        return f"part:{part.id}" if part else ""
    handle = read_handle(pair[0])
    if handle not in scene.run_of:
        scene.faults.unknown(pair[0], "wire", [number for number, _ in scene.run_of])
        return ""
    return f"run:{scene.runs[scene.run_of[handle]].id}"
