"""The device files: every kind is there, and what lies inside each is electrically true."""

from __future__ import annotations

import csv
import re
from importlib.resources import files

import pytest

from engine.library.device import DeviceKind, load_library
from engine.library.expand import links_of
from engine.library.symbol import load_symbols
from engine.model.network import Part

LIBRARY = load_library()
KINDS = pytest.mark.parametrize("kind", LIBRARY.values(), ids=LIBRARY)

WANTED = """battery battery_bank alternator shore_charger inverter inverter_charger dc_dc_charger dc_dc_isolated solar_array
charge_controller wind_generator dc_genset shore_inlet shore_inlet_split generator isolation_transformer
galvanic_isolator bus_positive bus_negative main_ground_point bus_earth bus_neutral bus_bonding terminal_block dc_panel
ac_panel sub_panel fuse_blade fuse_carrier fuse_bolt fuse_class_t fuse_post breaker breaker_2 breaker_ac breaker_ac_2 rcd
rcbo surge_protector battery_switch battery_selector dual_switch remote_battery_switch combining_relay diode_isolator
ac_selector ac_selector_3 transfer_relay contactor bms_disconnect low_voltage_disconnect float_switch ignition_switch
bilge_switch switch dimmer shunt voltmeter ammeter battery_monitor polarity_indicator lamp navigation_light motor pump
bilge_pump windlass thruster fan blower refrigerator electronics radio heater water_heater air_conditioner dc_outlet
ac_outlet ac_outlet_residual engine_starter engine_block engine_control alarm_bilge alarm_gas alarm_smoke horn load_dc
load_ac bond_point anode lightning_terminal"""

GROUPS = {
    "Sources", "Charging", "Shore and AC sources", "Buses and grounds", "Panels", "Fuses and breakers", "Switches",
    "Meters", "Loads", "Bonding",
}  # fmt: skip
LETTERS = "ABCEFGKMPQRSTUWX"
"""Class letters of IEC 81346-2 (from memory) that mean something; D and Z are reserved."""

SWITCHING = {"fuse", "breaker", "contact"}
SAFETY_POLES = {"PE", "BOND"}


def poles(link_end: str) -> str:
    return link_end.partition(":")[2]


def test_every_kind_that_a_boat_needs_is_there() -> None:
    assert sorted(set(WANTED.split()) - set(LIBRARY)) == []


@KINDS
def test_group_and_letter_are_known(kind: DeviceKind) -> None:
    assert kind.group in GROUPS
    assert kind.letter in LETTERS


@KINDS
def test_protective_earth_and_bonding_are_never_switched_or_fused(kind: DeviceKind) -> None:
    broken = [link for link in kind.link if link.kind in SWITCHING and SAFETY_POLES & set(map(poles, link.between))]
    assert broken == []


@KINDS
def test_a_conductor_stays_on_its_pole(kind: DeviceKind) -> None:
    for link in kind.link:
        if link.kind in {"through", "blocking", "residual", *SWITCHING}:
            assert poles(link.between[0]) == poles(link.between[1]), link
        if link.kind == "bond":
            assert SAFETY_POLES & set(map(poles, link.between)), link


@KINDS
def test_protective_earth_goes_through_whatever_ac_goes_through(kind: DeviceKind) -> None:
    """A device between two AC ports carries the protective earth, a transformer's ends at its shield."""
    ac_ports = {port.name for port in kind.port if {"L", "PE"} <= set(port.poles)}
    passing = {link.between for link in kind.link if poles(link.between[0]) == "PE" == poles(link.between[1])}
    joined = {end.partition(":")[0] for pair in passing for end in pair}
    if len(ac_ports) > 1 and kind.role != "transformer":
        assert ac_ports <= joined


@KINDS
def test_sources_push_out_of_their_live_pole_and_say_whether_they_limit_themselves(kind: DeviceKind) -> None:
    sources = [link for link in kind.link if link.kind == "source"]
    assert bool(sources) == (kind.role in ("battery", "generator_dc", "ac_source"))
    for link in sources:
        assert (poles(link.between[0]), poles(link.between[1])) in {("-", "+"), ("N", "L"), ("N", "L1"), ("N", "L2")}
        assert bool(link.rating) == (kind.role != "battery"), "a battery limits no fault current"
    if sources and kind.role != "battery":
        assert "self_limiting" in {value.name for value in kind.value}


@KINDS
def test_what_a_converter_gives_comes_back(kind: DeviceKind) -> None:
    """For the live side a link, and one for the return with the same rating, unless the negative is common."""
    converters = [link for link in kind.link if link.kind == "converter"]
    live = {link.rating for link in converters if poles(link.between[1]) in ("+", "L")}
    back = {link.rating for link in converters if poles(link.between[1]) in ("-", "N")}
    assert bool(converters) == (kind.role in ("converter", "transformer"))
    assert live == back or kind.id == "dc_dc_charger"


@KINDS
def test_a_consumer_has_a_negative_of_its_own(kind: DeviceKind) -> None:
    ports = {port.name: port.poles for port in kind.port}
    if ports.get("supply") == ("+", "-"):
        assert ports.get("neg") == ("-",)
        assert any(link.kind == "through" and link.between == ("supply:-", "neg:-") for link in kind.link)


@KINDS
def test_only_what_the_kind_implies_has_a_grave_default(kind: DeviceKind) -> None:
    implied = {("battery_bank", "in_parallel"), ("solar_array", "self_limiting")}
    given = {(kind.id, value.name) for value in kind.value if value.grave and value.default is not None}
    assert given <= implied


@KINDS
def test_in_line_devices_take_the_same_poles_on_both_sides(kind: DeviceKind) -> None:
    taken = {port.poles for port in kind.port if port.name in kind.inline}
    assert len(taken) <= 1


@KINDS
def test_no_position_of_a_source_selector_joins_two_sources(kind: DeviceKind) -> None:
    if kind.id.startswith(("ac_selector", "transfer_relay")):
        for state in kind.states:
            closed = {link.between[0].partition(":")[0] for link in kind.link if state in link.states}
            assert len(closed) <= 1, state


def test_the_battery_selector_joins_what_its_positions_say() -> None:
    closed = {
        state: {link.between[0] for link in LIBRARY["battery_selector"].link if state in link.states}
        for state in LIBRARY["battery_selector"].states
    }
    assert closed == {"off": set(), "1": {"b1:+"}, "2": {"b2:+"}, "both": {"b1:+", "b2:+"}}


def test_two_pole_devices_break_both() -> None:
    for name, broken in (("breaker_2", "+-"), ("breaker_ac_2", "LN"), ("battery_switch_2", "+-"), ("rcbo", "LN")):
        switched = [poles(link.between[0]) for link in LIBRARY[name].link if link.kind in SWITCHING]
        assert "".join(switched) == broken


def test_a_residual_element_sums_every_live_pole_and_no_earth() -> None:
    for name in ("rcd", "rcbo", "rcbo_split"):
        (element,) = (link for link in LIBRARY[name].link if link.kind == "residual")
        (outgoing,) = (port for port in LIBRARY[name].port if port.name == "b")
        assert element.spans == tuple(f"b:{pole}" for pole in outgoing.poles)


@pytest.mark.parametrize(("flag", "joined"), [(True, True), (None, True), (False, False)])
def test_an_inverter_said_not_to_bond_its_neutral_has_no_bond(flag: bool | None, joined: bool) -> None:
    part = Part(id="p1", kind="inverter", values={"bonds_neutral": flag})
    links = links_of(part, LIBRARY["inverter"])
    assert joined == any(link.kind == "bond" and link.a == ("ac", "N") for link in links)


def test_every_symbol_serves_a_device_or_is_the_general_fuse() -> None:
    assert set(load_symbols()) - {kind.symbol for kind in LIBRARY.values()} == {"fuse"}


MAKERS_WORDS = re.compile(
    r"\b(ANL|MEGA|MIDI|MAXI|MINI|MRBF|AMI|AMG|ATO|ATC|ACR|VSR|MPPT|JJN|T-105)\b|https?:|www\.", re.IGNORECASE
)


def test_no_file_speaks_a_makers_language() -> None:
    for folder in ("shapes", "devices"):
        for entry in (files("symbols") / folder).iterdir():
            assert not MAKERS_WORDS.search(entry.read_text("utf-8")), entry.name


def presets(kind: str) -> dict[str, dict[str, object]]:
    return {preset.title: dict(preset.values) for preset in LIBRARY[kind].preset}


def contains(held: object, number: float) -> bool:
    low, high = held if isinstance(held, tuple) else (held, held)
    return bool(low <= number <= high)


@pytest.mark.parametrize(("title", "about_ah"), [("Group 4D flooded", 225), ("Group 27 flooded", 90)])
def test_battery_sizes_of_common_practice(title: str, about_ah: float) -> None:
    """Common practice, no source: a flooded 4D battery is about 225 Ah, a group 27 about 90 Ah."""
    assert contains(presets("battery")[title]["capacity_ah"], about_ah)


@pytest.mark.parametrize("group", ["24", "27", "31", "4D", "8D"])
@pytest.mark.parametrize("what", ["capacity", "CCA"])
def test_flooded_batteries_hold_what_the_reference_table_says(group: str, what: str) -> None:
    """engine/data/batteries.csv: capacities quoted second hand, cold cranking amps second hand or from memory."""
    rows = csv.DictReader((files("engine.data") / "batteries.csv").read_text("utf-8").splitlines())
    (row,) = (r for r in rows if r["topic"].startswith(what) and r["item"] == f"BCI {group}")
    held = presets("battery")[f"Group {group} flooded"]["capacity_ah" if what == "capacity" else "cca_a"]
    assert contains((float(held[0]), float(held[1])), float(row["low"]))  # type: ignore[index]
    assert contains((float(held[0]), float(held[1])), float(row["high"]))  # type: ignore[index]


def test_batteries_come_in_every_chemistry_and_group() -> None:
    held = [preset.values for preset in LIBRARY["battery"].preset]
    lead = {(v["chemistry"], v["size_group"]) for v in held if "size_group" in v}
    assert lead >= {(c, g) for c in ("flooded", "AGM", "gel") for g in ("24", "27", "31", "4D", "8D")}
    assert any(v["chemistry"] == "LiFePO4" for v in held)


def test_shore_services_are_those_of_the_harbours() -> None:
    """Shore services: US and Canada and Europe, quoted second hand (63 A and 120 V 50 A from memory)."""
    offered = {(v["nominal_v"], v["service_a"]) for v in presets("shore_inlet").values()}
    assert offered == {(120, 30), (120, 50), (230, 16), (230, 32), (230, 63)}
    assert (250, 50) in {(v["nominal_v"], v["service_a"]) for v in presets("shore_inlet_split").values()}


@pytest.mark.parametrize(("kind", "family"), [
    ("fuse_blade", "blade"), ("fuse_blade", "mini-blade"), ("fuse_blade", "maxi-blade"), ("fuse_bolt", "midi"),
    ("fuse_bolt", "mega"), ("fuse_bolt", "anl"), ("fuse_post", "battery-terminal"), ("fuse_class_t", "class-t"),
])  # fmt: skip
def test_the_largest_fuse_of_a_pattern_is_the_largest_of_its_series(kind: str, family: str) -> None:
    """engine/data/ocpd_standard_ratings.csv: rating series, nearly all from memory."""
    from engine.electrics.protection import standard_ratings

    largest = {values["holder_largest_a"] for values in presets(kind).values()}
    assert standard_ratings(family)[-1] in largest
