"""Remedies that change what a part, a run or a box is: another colour, number or name, a part replaced by a fit one, a
guard. Each says what is to be done aboard; none says that a thing is other than it is."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from engine.electrics.colours import Pole, Region, permitted_colours
from engine.messages import tr
from engine.model.edits.boat import set_fields
from engine.model.edits.fields import rename, set_position, set_run_fields
from engine.model.network import Part, Run
from engine.model.numbering import next_designation, next_wire_number
from engine.model.quantity import Value
from engine.remedies.edits import kind_edit, part_edit, run_edit
from engine.remedies.record import Ask, Edit, Remedy, planned

Makes = Callable[[Ask], Iterator[Remedy]]
INSULATION_C = (75.0, 90.0, 105.0)
INTERRUPTING_A = (750.0, 1500.0, 2500.0, 3000.0, 5000.0, 10_000.0, 20_000.0)
"""Steps in which devices are offered (common practice, no source; the first are those of the E-11 table)."""
RATINGS_A = (50.0, 75.0, 100.0, 125.0, 150.0, 200.0, 250.0, 300.0, 350.0, 400.0, 500.0, 600.0, 800.0, 1000.0)
"""In which switches and bars are offered (common practice, no source)."""
VOLTAGES_V = (32.0, 58.0, 80.0, 125.0, 250.0)
"""Voltage ratings in which fuses are offered (common practice, no source)."""


def _recolour(ask: Ask) -> Iterator[Remedy]:
    run = ask.runs()[0]
    region: Region = "iso" if ask.finding.book == "iso13297" else "us"
    pole = str(ask.finding.outcome.values.get("pole", "-"))
    index = run.poles.index(pole)
    usual: Pole = pole  # type: ignore[assignment]
    for colour in [use.code for use in permitted_colours(usual, region)]:
        old = run.colours or ("",) * len(run.poles)
        colours = tuple(colour if at == index else was for at, was in enumerate(old))
        yield Remedy(
            tr("{pole} of wire {number} in {colour}").format(pole=pole, number=run.number, colour=colour),
            run_edit(run.id, colours=colours),
        )


def _renumber(ask: Ask) -> Iterator[Remedy]:
    number = next_wire_number(ask.boat.network)
    yield Remedy(tr("number it {number}").format(number=number), run_edit(ask.runs()[-1].id, number=number))


def _rename(ask: Ask) -> Iterator[Remedy]:
    part = ask.parts()[-1]
    kind = ask.boat.kind(part)
    name = next_designation(ask.boat.network, kind.letter if kind else "E")
    yield Remedy(tr("call it {name}").format(name=name), lambda document: rename(document, part.id, name))


def _of_run(title: str, **fields: object) -> Makes:
    """One change of the run that the finding is about."""

    def make(ask: Ask) -> Iterator[Remedy]:
        for run in ask.runs()[:1]:
            yield Remedy(tr(title).format(number=_number(run)), run_edit(run.id, **fields))

    return make


def _number(run: Run) -> str:
    return run.number or run.id


def _hotter_insulation(ask: Ask) -> Iterator[Remedy]:
    """The least insulation that serves."""
    for run in ask.runs()[:1]:
        for rated_c in INSULATION_C:
            title = tr("replace wire {number} by one with {rated} °C insulation")
            edit = _planned_run(run.id, "insulation_c", rated_c)
            yield Remedy(title.format(number=_number(run), rated=f"{rated_c:g}"), edit)


def _planned_run(run_id: str, field: str, value: Value) -> Edit:
    return lambda document: planned(set_run_fields(document, run_id, **{field: value}), f"run:{run_id}", field, value)


def _above_the_bilge(ask: Ask) -> Iterator[Remedy]:
    for run in ask.runs()[:1]:
        bilges = {space.id for space in ask.boat.network.compartments if space.kind == "bilge"}
        dry = tuple(via for via in run.route if via not in bilges)
        yield Remedy(tr("lead wire {number} above the bilge").format(number=_number(run)), run_edit(run.id, route=dry))


def _of_part(title: str, codes: Mapping[str, Mapping[str, Value]]) -> Makes:
    """Values of the part that the finding is about, by what is said of it; {part} in the title is its name."""

    def make(ask: Ask) -> Iterator[Remedy]:
        for part in ask.parts()[:1]:
            values = codes.get(ask.code, codes.get("", {}))
            if values:
                yield Remedy(tr(title).format(part=ask.boat.name(part)), part_edit(part.id, values))

    return make


def _one_of(title: str, field: str, steps: tuple[float, ...]) -> Makes:
    """The least of the steps that serves, for the device that the finding is about."""

    def make(ask: Ask) -> Iterator[Remedy]:
        key = ask.finding.outcome.subjects[0]
        for part in ask.parts()[:1]:
            for step in steps:
                edit = _step_edit(key, part, field, step)
                yield Remedy(tr(title).format(part=ask.boat.name(part), step=f"{step:g}"), edit)

    return make


def _step_edit(key: str, part: Part, field: str, step: float) -> Edit:
    way = key.partition("/")[2]
    if way:
        return lambda document: set_position(document, part.id, way, **{field: step})
    return part_edit(part.id, {field: step})


def _guarded(ask: Ask) -> Iterator[Remedy]:
    boxes = [key[4:] for key in ask.finding.outcome.subjects if key.startswith("box:")]
    for box in [ask.boat.enclosures[box_id] for box_id in boxes]:
        for title, fields in (
            (tr("screw a guard over the AC parts in {box}"), {"ac_guard": "tool"}),
            (tr("put a fixed partition into {box}"), {"partition": True}),
            (tr("close {box} so that it opens with a tool only"), {"opens": "tool"}),
        ):
            yield Remedy(title.format(box=box.name), _box_edit(box.id, fields))
    for part in ask.parts()[:1] if not boxes else ():
        title = tr("screw a guard over the AC terminals of {part}").format(part=ask.boat.name(part))
        open_now = {field: True for field in ("back_cover", "cover") if part.values.get(field) is False}
        yield Remedy(title, part_edit(part.id, {"guard_needs_tool": True, "back_cover": True, **open_now}))


def _box_edit(box_id: str, fields: Mapping[str, object]) -> Edit:
    return lambda document: set_fields(document, "enclosures", box_id, **fields)


def _named_way(ask: Ask) -> Iterator[Remedy]:
    """The name of what the way feeds, where it feeds one thing and nothing else is called so."""
    part_id, _, way = ask.finding.outcome.subjects[0].removeprefix("position:").partition("/")
    ends = [end for run in ask.boat.runs_at.get((part_id, f"p{way}"), ()) for end in (run.a, run.b)]
    fed = {end.part: ask.boat.parts[end.part] for end in ends if end.part != part_id and end.part in ask.boat.parts}
    labels = [part.label for part in fed.values() if part.label]
    called = [part.label for part in ask.boat.network.parts]
    if len(fed) == 1 and labels and called.count(labels[0]) == 1:
        title = tr("write \u201c{label}\u201d on way {key}").format(label=labels[0], key=way)
        yield Remedy(title, lambda document: set_position(document, part_id, way, label=labels[0]))


def _outlet_with_residual(ask: Ask) -> Iterator[Remedy]:
    """The outlet replaced by one that opens by itself; its wires stay on it."""
    limit_ma = ask.number("limit")
    for part in ask.parts()[:1]:
        if part.kind in ("ac_outlet", "ac_outlet_residual") and limit_ma is not None:
            title = tr("replace {part} by an outlet with residual protection of {limit} mA")
            edit = kind_edit(part.id, "ac_outlet_residual", {"residual_ma": limit_ma})
            yield Remedy(title.format(part=ask.boat.name(part), limit=f"{limit_ma:g}"), edit)


def _two_pole_main(ask: Ask) -> Iterator[Remedy]:
    for part in ask.parts()[:1]:
        title = (
            tr("replace {part}'s main by a two-pole breaker")
            if part.positions
            else tr("replace {part} by a two-pole breaker")
        )
        if ask.boat.role(part) == "ac_panel":
            yield Remedy(title.format(part=ask.boat.name(part)), part_edit(part.id, {"main_poles": 2.0}))
        elif part.kind == "breaker_ac":
            yield Remedy(title.format(part=ask.boat.name(part)), kind_edit(part.id, "breaker_ac_2", {}))


def _larger(title: str, fields: Mapping[str, str]) -> Makes:
    """The least rating that serves, in the field that what is said of the part is about."""

    def make(ask: Ask) -> Iterator[Remedy]:
        field = fields.get(ask.code, "rating_a")
        yield from _one_of(title, field, RATINGS_A)(ask)

    return make


def _isolator(ask: Ask) -> Iterator[Remedy]:
    service_a = ask.finding.outcome.values.get("service")
    for part in ask.parts()[:1]:
        name = ask.boat.name(part)
        if ask.code.startswith("fails"):
            yield Remedy(tr("replace {part} by one that fails closed").format(part=name),
                         part_edit(part.id, {"fail_safe": True}))  # fmt: skip
        elif ask.code == "underrated" and service_a:
            rated = tr("replace {part} by one for {service} A").format(part=name, service=service_a)
            yield Remedy(rated, part_edit(part.id, {"rating_a": float(str(service_a).split()[0])}))


FIELDS: Mapping[str, Makes] = {
    "wrong-colour": _recolour,
    "shared-wire-number": _renumber,
    "shared-designation": _rename,
    "untinned-conductor": _of_run("replace wire {number} by tinned", tinned=True),
    "solid-conductor": _of_run("replace wire {number} by stranded", stranded=True),
    "distant-device": _of_run("lead wire {number} in a sheath", cover="sheath"),
    "false-cranking-mark": _of_run("take the mark of a cranking cable off wire {number}", cranking=False),
    "heat-sensitive-insulation": _hotter_insulation,
    "cranking-in-bilge": _above_the_bilge,
    "exposed-ac-parts": _guarded,
    "ac-beside-dc": _guarded,
    "bare-battery-posts": _of_part("put boots over the posts of {part}", {"": {"post_guards": True}}),
    "bare-live-bus": _of_part("put a cover over {part}", {"": {"cover": True}}),
    "uncovered-inlet": _of_part("replace {part} by one with a cap that closes by itself", {"": {"cover": True}}),
    "unmarked-24-hour-circuit": _of_part(
        "mark {part} as a 24-hour circuit, if that is meant", {"": {"around_the_clock": True}}
    ),
    "self-resetting-breaker": _of_part(
        "replace {part} by a trip-free breaker that is reset by hand",
        {"": {"manual_reset": True, "trip_free": True}},
    ),
    "low-voltage-device": _one_of("replace {part} by a device for {step} V", "voltage_v", VOLTAGES_V),
    "weak-interrupting-capacity": _one_of(
        "replace {part} by a device that interrupts {step} A", "interrupting_a", INTERRUPTING_A
    ),
    "no-residual-device": _of_part(
        "replace {part} by a residual-current device of 30 mA and 100 ms",
        {"too-coarse": {"residual_ma": 30.0, "trip_ms": 100.0}, "too-slow": {"residual_ma": 30.0, "trip_ms": 100.0}},
    ),
    "outlet-without-residual": _outlet_with_residual,
    "unlabelled-circuit": _named_way,
    "single-pole-main": _two_pole_main,
    "galvanic-isolator-unfit": _isolator,
    "overloaded-switch": _larger(
        "replace {part} by a switch for {step} A", {"over-cranking-rating": "cranking_rating_a"}
    ),
    "overloaded-bus": _larger("replace the bar of {part} by one for {step} A", {"panel": "bus_a"}),
}
"""By rule: the fields whose change is worth trying."""
