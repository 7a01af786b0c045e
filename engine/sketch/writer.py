"""A document as sketch text. Writes what differs from what the reader assumes; leaves the sheets out."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping

import msgspec

from engine.library.device import DeviceKind, Library
from engine.model.defaults import default_values
from engine.model.document import Document
from engine.model.house import Deviation
from engine.model.network import (
    Answer,
    Compartment,
    Condition,
    Enclosure,
    End,
    Evidence,
    Network,
    Option,
    Part,
    Particulars,
    Position,
    Run,
)
from engine.model.quantity import Value
from engine.sketch.house import write_house
from engine.sketch.parts import MAY_STAY_ON
from engine.sketch.runs import COLOURS, FLAGS
from engine.sketch.words import quote, write_name, write_number, write_quantity, write_value, write_word

Names = Mapping[str, str]
"""What each part and run is called in the sketch, by id."""


def write_sketch(document: Document, library: Library) -> str:
    """The network in the sketch notation; `read_sketch` gives it back, with ids numbered in order."""
    network = document.network
    part_names = _handles((part.id, part.designation) for part in network.parts)
    run_names = _handles((run.id, run.number) for run in network.runs)
    sections = (
        _particulars(network.particulars),
        [_space(space) for space in network.compartments],
        [_box(box) for box in network.enclosures],
        [_option(option) for option in network.options],
        [line for part in network.parts for line in _part(part, part_names, library)],
        [_run(run, part_names, run_names) for run in network.runs],
        [_condition(condition, part_names, network, library) for condition in network.conditions],
        list(_all_evidence(network, part_names, run_names)),
        [_answer(each, part_names, run_names) for each in network.answers],
        [_deviation(each, part_names, run_names) for each in network.deviations],
        list(write_house(network.house)),
    )
    return "\n\n".join("\n".join(lines) for lines in sections if lines) + "\n"


def _handles(named: Iterable[tuple[str, str]]) -> dict[str, str]:
    """A word for each id: its designation, tagged where that is missing or carried twice."""
    handles: dict[str, str] = {}
    seen: Counter[str] = Counter()
    for identity, name in named:
        seen[name] += 1
        tag = f"~{seen[name]}" if seen[name] > 1 or not name else ""
        handles[identity] = (write_name(name) if name else "") + tag
    return handles


def _line(*words: str) -> str:
    return " ".join(word for word in words if word)


def _pairs(record: msgspec.Struct, names: Mapping[str, str], write: Callable[[Value], str] = write_value) -> list[str]:
    """key=value of the fields that are not at their default, by the key each has in the notation."""
    defaults = dict(zip(record.__struct_fields__[::-1], record.__struct_defaults__[::-1], strict=False))
    fields = ((key, getattr(record, field), defaults.get(field)) for field, key in names.items())
    return [f"{key}={write(value)}" for key, value, default in fields if value != default]


def _same(*names: str) -> dict[str, str]:
    return {name: name for name in names}


def _label(text: str) -> str:
    return quote(text) if text else ""


def _names(names: Iterable[str]) -> str:
    return ",".join(write_name(name) for name in names)


def _particulars(boat: Particulars) -> list[str]:
    fields = [name for name in Particulars.__struct_fields__ if name not in ("name", "revisions", "rulebooks")]
    rules = "rules=" + (",".join(boat.rulebooks) or "none")
    named = quote(boat.name) if boat.name else 'name=""'
    lines = [_line("boat", named, rules, *_pairs(boat, _same(*fields)))]
    for entry in boat.revisions:
        lines.append(_line("revision", write_name(entry.index), *_pairs(entry, _same("date", "by", "text"))))
    return lines


def _space(space: Compartment) -> str:
    corners = ";".join(f"{write_number(x)},{write_number(y)}" for x, y in space.outline_m)
    outline = f"outline_m={corners}" if corners else ""
    pairs = _pairs(space, _same("kind", "petrol_vapour", "ambient_c"))
    return _line("space", write_name(space.id), _label(space.name), *pairs, outline)


def _place(compartment: str) -> str:
    return f"@{write_name(compartment)}" if compartment else ""


def _box(box: Enclosure) -> str:
    pairs = _pairs(box, _same("opens", "ac_guard", "partition"))
    return _line("box", write_name(box.id), _label(box.name), *pairs, _place(box.compartment))


def _option(option: Option) -> str:
    needs = f"needs={_names(option.needs)}" if option.needs else ""
    excludes = f"excludes={_names(option.excludes)}" if option.excludes else ""
    return _line("option", write_name(option.id), _label(option.name), needs, excludes)


def _part(part: Part, names: Names, library: Library) -> Iterator[str]:
    kind = library[part.kind]
    homes = _pairs(part, {"enclosure": "in", "option": "opt"}, lambda text: write_name(str(text)))
    words = (_label(part.label), *_values(part, kind), _place(part.compartment), *homes, *_pairs(part, _same("note")))
    yield _line(names[part.id], write_name(part.kind), *words)
    for position in part.positions:
        yield "  " + _position(position)


def _values(part: Part, kind: DeviceKind) -> Iterator[str]:
    """The values that differ from the defaults; rating and largest fuse in the short form."""
    left = dict(part.values)
    defaults = default_values(kind)
    if left.get("rating_a") is not None and left["rating_a"] != defaults.get("rating_a"):
        yield _ratings(left, defaults)
    worded = {spec.name for spec in kind.value if spec.type in ("text", "choice")}
    for name in [*left, *(name for name in defaults if name not in part.values)]:
        value = left.get(name)
        if name not in left or name not in defaults or value != defaults[name]:
            text = write_name(value) if isinstance(value, str) and name in worded else write_value(value)
            yield f"{write_name(name)}={text}"


def _ratings(left: dict[str, Value], defaults: Mapping[str, Value]) -> str:
    """The short form; takes out of `left` what it says."""
    text = write_value(left.pop("rating_a"))
    largest = left.get("holder_largest_a")
    if largest is not None and largest != defaults.get("holder_largest_a"):
        text += f"/{write_value(left.pop('holder_largest_a'))}"
    return f"{text} A"


def _position(position: Position) -> str:
    state = "" if position.state == "used" else position.state
    device = "" if position.state == "blank" and position.device == "none" else position.device
    rating = "" if position.rating_a is None else write_quantity(position.rating_a)
    if position.holder_largest_a is not None:
        rating = f"{rating or '?'}/{write_quantity(position.holder_largest_a)}"
    return _line(
        write_name(position.key),
        device,
        f"{rating} A" if rating else "",
        f"{position.poles}P" if position.poles != 1 else "",
        f"{write_quantity(position.residual_ma)} mA" if position.residual_ma is not None else "",
        _label(position.label),
        state,
        MAY_STAY_ON if position.may_stay_on else "",
        *_pairs(position, _same("interrupting_a")),
    )


def _end(end: End, names: Names) -> str:
    return f"{names.get(end.part, end.part)}.{write_name(end.port)}"


def _run(run: Run, parts: Names, runs: Names) -> str:
    plain_size = run.size.split(" ")[-1] in ("AWG", "SAE", "mm2")
    return _line(
        f"{runs[run.id]}:",
        f"{_end(run.a, parts)} - {_end(run.b, parts)}",
        ("" if set(run.poles) <= {"+", "-"} else ",").join(run.poles),
        run.size if plain_size else "",
        "" if plain_size or not run.size else f"size={quote(run.size)}",
        _colours(run.colours),
        f"{write_quantity(run.length_m)} m" if run.length_m is not None else "",
        f"{write_quantity(run.insulation_c)} C" if run.insulation_c is not None else "",
        *_flags(run),
        *_pairs(run, {"pe_size": "pe"}),
        f"via={_names(run.route)}" if run.route else "",
        *_pairs(run, _same("bundled")),
        _label(run.label),
        f"opt={write_name(run.option)}" if run.option else "",
        *_pairs(run, _same("note")),
    )


def _colours(colours: tuple[str, ...]) -> str:
    def known(code: str) -> bool:
        return all(code[at : at + 2] in COLOURS for at in range(0, len(code), 2))

    if all(known(code) for code in colours):
        return ",".join(code or "?" for code in colours)
    return "colours=" + ",".join(write_word(code) if code else "?" for code in colours)


def _flags(run: Run) -> Iterator[str]:
    """The words for cover, basis and build; those that differ from the reader's assumptions."""
    words = {meaning: word for word, meaning in FLAGS.items()}
    fields = {"cover": "cover", "length_basis": "basis", "tinned": "tinned", "stranded": "stranded"}
    usual = Run(id="", a=run.a, b=run.b, poles=())
    for field, key in (*fields.items(), ("cranking", "cranking")):
        value = getattr(run, field)
        if value != getattr(usual, field):
            yield words[field, value] if value is not None else f"{key}=?"


def _condition(condition: Condition, names: Names, network: Network, library: Library) -> str:
    states = {part.id: library[part.kind].states for part in network.parts}
    switches = [f"{names.get(part, part)}={write_name(state)}" for part, state in condition.switches.items()]
    duty = [f"{names.get(part, part)}={_duty(share, states.get(part, ()))}" for part, share in condition.duty.items()]
    return _line("condition", write_name(condition.id), _label(condition.name), *switches, *duty)


def _duty(share: float, states: tuple[str, ...]) -> str:
    """The duty; with a decimal where it could be taken for a switch position."""
    text = write_number(share)
    return f"{text}.0" if text in states else text


def _all_evidence(network: Network, parts: Names, runs: Names) -> Iterator[str]:
    for part in network.parts:
        yield from _evidence(f"{parts[part.id]}.", part.evidence)
    for run in network.runs:
        yield from _evidence(f"{runs[run.id]}:", run.evidence)


def _evidence(subject: str, evidence: Mapping[str, tuple[Evidence, ...]]) -> Iterator[str]:
    for field, statements in evidence.items():
        for said in statements:
            value = write_value(said.value)
            name = field if "." in field else write_name(field)
            yield _line("evidence", f"{subject}{name}", said.kind, value, *_pairs(said, _same("by", "date", "note")))


def _answer(given: Answer, parts: Names, runs: Names) -> str:
    pairs = _pairs(given, _same("by", "date", "note"))
    subject = _about(given.subject, parts, runs)
    return _line("answer", write_name(given.item), subject, write_value(given.answer), *pairs)


def _deviation(stated: Deviation, parts: Names, runs: Names) -> str:
    pairs = _pairs(stated, _same("code", "reason", "by", "date"))
    return _line("deviation", write_name(stated.rule), _about(stated.subject, parts, runs), *pairs)


def _about(key: str, parts: Names, runs: Names) -> str:
    """What an answer or a deviation is about."""
    sort, _, rest = key.partition(":")
    if sort == "position":
        part, _, way = rest.partition("/")
        return f"{parts.get(part, part)}.{way}"
    return {"part": parts.get(rest, ""), "run": f"{runs.get(rest, '')}:"}.get(sort, f"@{key}")
