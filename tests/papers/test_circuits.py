"""What a device protects and how large it may be, against values of the tables (E-11 and ISO 13297, 105 °C)."""

from __future__ import annotations

import pytest

from engine.model.network import UnitSystem
from engine.papers.circuits import largest_rating, smallest_wire
from engine.papers.devices import Device, devices_of, short_name
from engine.papers.panels import panels_of
from engine.rules.api import Book
from tests.papers.boats import SMALL, sample, sketched


def devices(text: str = SMALL) -> dict[str, Device]:
    subject = sketched(text)
    return {short_name(device.edge, subject.boat): device for device in devices_of(subject.boat, subject.books)}


def test_a_way_is_held_to_the_stricter_rulebook() -> None:
    """14 AWG at 105 °C: 35 A in E-11 (a cable maker's print of it), but 25 A in ISO 13297 as 1.5 mm² (from memory)."""
    way = devices()["A1 way 1"]
    assert way.limit.rating_a == 25
    only_e11 = devices(SMALL.replace("rules=us,iso", "rules=us"))["A1 way 1"]
    assert only_e11.limit.rating_a == 35


def test_a_wire_of_unknown_size_allows_nothing_that_can_be_named() -> None:
    way = devices()["A1 way 7"]
    assert way.limit.rating_a is None
    assert way.limit.lacks
    assert not way.too_large, "not known is not broken"


def test_a_thinner_wire_further_on_counts() -> None:
    text = SMALL.replace(
        "105: A1.5 -", "106: ~1.s1 - E9.supply +- 18 AWG RD,YE 1 m 105 C bundled=2 via=saloon\n105: A1.5 -"
    )
    text = text.replace('E2 load_dc "To be', 'E9 lamp "Chart" running_a=1\nE2 load_dc "To be').replace(
        "prepared", "used"
    )
    text = text.replace("5 fuse 5/20 A used", "5 fuse 5/20 A")
    whole, thin = (panels_of(subject.boat, subject.books)[0].ways[4] for subject in (sketched(SMALL), sketched(text)))
    assert whole.limit.rating_a is not None
    assert thin.limit.rating_a is not None
    assert thin.limit.rating_a < whole.limit.rating_a


def test_a_fuse_beside_an_unlimited_source_has_no_number() -> None:
    """Position both lets the start battery push into the wire of F1, and no device holds that."""
    limit = devices()["F1"].limit
    assert limit.rating_a is None
    assert limit.beside_a == float("inf")


def test_what_other_sources_push_is_taken_off() -> None:
    """samples.md: 330 A of cable less relay, alternator and charger leave exactly the 200 A that are fitted."""
    subject = sample("quill_34")
    devices = devices_of(subject.boat, subject.books)
    battery_fuse = next(device for device in devices if short_name(device.edge, subject.boat) == "F2")
    assert battery_fuse.limit.limit_a == pytest.approx(200)
    assert battery_fuse.limit.beside_a == pytest.approx(130)
    assert not battery_fuse.too_large


def test_no_device_of_the_sound_sample_is_too_large_and_some_of_the_refit_are() -> None:
    sound, refit = sample("quill_34"), sample("marguerite_as_built")
    assert [short_name(d.edge, sound.boat) for d in devices_of(sound.boat, sound.books) if d.too_large] == []
    found = {short_name(d.edge, refit.boat) for d in devices_of(refit.boat, refit.books) if d.too_large}
    assert {"F2", "F3"} <= found


def wire_for(rating_a: float, book: Book, units: UnitSystem) -> str:
    size = smallest_wire(rating_a, (book,), "blade", units, False)
    return size.name if size else ""


def test_the_wire_for_a_spare_way() -> None:
    """In the thickest bundle E-11 takes half: 12 AWG has 45 A, so 22.5 A (cable makers' prints, second hand).

    No wire is named that is thinner than the rulebook's least size.
    """
    assert wire_for(20, "e11", "us") == "12 AWG"
    assert wire_for(1, "e11", "us") == "16 AWG"
    assert wire_for(1, "iso13297", "metric") == "1 mm²"
    assert wire_for(9999, "e11", "us") == ""


def test_breakers_go_on_where_their_series_ends() -> None:
    assert largest_rating(270, "panel-breaker") == 250
    assert largest_rating(45, "panel-breaker") <= 45  # type: ignore[operator]
    assert largest_rating(0.1, "blade") is None


def test_panel_sums_and_what_is_left() -> None:
    subject = sample("quill_34")
    panel = next(each for each in panels_of(subject.boat, subject.books) if each.part.label == "DC panel")
    assert panel.used("+").most_a == pytest.approx(78.9)
    loads = [way.draw("+").most_a for way in panel.ways if way.in_use]
    assert sum(loads) == pytest.approx(78.9)
    assert panel.with_spares("+").most_a == pytest.approx(78.9 + 5 * 0.8 * 20)
    assert panel.ceiling_a == (80.0, "feed")
    assert panel.left_a == pytest.approx(1.1)


def test_a_sum_with_an_unknown_load_is_open() -> None:
    panel = panels_of(sketched(SMALL).boat, ("e11",))[0]
    assert panel.used("+").unknown == 1
    assert panel.used("+").least_a == 10
    assert panel.left_a is None
