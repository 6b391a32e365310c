"""A day drawn."""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction
from xml.etree import ElementTree as ET

import pytest

from benchproof.renderers.day.timeline import cut_short, timeline_svg
from tests.renderers.day import samples

SVG = "{http://www.w3.org/2000/svg}"


def texts(svg: str) -> list[str]:
    return [one.text or "" for one in ET.fromstring(svg).iter(f"{SVG}text")]


@pytest.mark.parametrize("name", samples.ALL)
def test_it_is_xml_with_a_title_and_a_description_and_asks_for_nothing(name: str) -> None:
    svg = timeline_svg(samples.ALL[name]())
    root = ET.fromstring(svg)
    assert root.get("role") == "img"
    named = (root.get("aria-labelledby") or "").split()
    ids = {one.get("id"): one.text for one in root.iter() if one.get("id")}
    assert list(ids) == named
    assert all(ids.values())
    assert not re.search(r"href|url\(|<script|<style|<image|<foreignObject| on\w+=", svg)
    assert svg == timeline_svg(samples.ALL[name]())


@pytest.mark.parametrize("name", samples.ALL)
@pytest.mark.parametrize("width", [300, 360, 549])
def test_nothing_stands_outside_the_drawing(name: str, width: int) -> None:
    root = ET.fromstring(timeline_svg(samples.ALL[name](), width))
    left, top, wide, high = (float(one) for one in (root.get("viewBox") or "").split())
    for box in root.iter(f"{SVG}rect"):
        x, y, w, h = (float(box.get(key) or "nan") for key in ("x", "y", "width", "height"))
        assert left <= x <= x + w <= left + wide
        assert top <= y <= y + h <= top + high
    for text in root.iter(f"{SVG}text"):
        assert left <= float(text.get("x") or "nan") <= left + wide
        assert top <= float(text.get("y") or "nan") <= top + high


def test_there_is_a_lane_a_recipe_and_one_for_the_oven() -> None:
    found = texts(timeline_svg(samples.supper()))
    headings = ["A Lamplighter's chicken", "B Jetty crumble", "C Low tide bean stew", "Oven"]
    assert [text for text in found if text in headings] == headings
    assert {"A1", "A3", "B3"} <= set(found), "in the oven a step goes by its recipe's letter and its number"
    assert "Hob" not in found, "what one recipe alone uses is in its own lane"


def test_work_waiting_and_heating_differ_without_colour_and_so_does_what_decides() -> None:
    svg = timeline_svg(samples.supper())
    colours = set(re.findall(r'(?:fill|stroke)="(#[0-9a-f]+)"', svg))
    assert colours <= {"#000", "#fff", "#999"}
    hatched = re.findall(r'<path d="(?:M[\d. -]+L[\d. -]+){3,}" stroke="#000" stroke-width="0.7"', svg)
    assert len(hatched) == 4, "two ovens to heat, each in its recipe's lane and in the oven's"
    under = svg.count('stroke-width="1.8"')
    decides = [one for one in samples.supper().activities if one.critical and not one.attends]
    in_oven = [one for one in decides if one.place == "oven"]
    assert under == len(decides) + len(in_oven)


def test_the_clock_is_the_one_on_the_wall_whatever_the_zone_does() -> None:
    day = samples.night()
    found = texts(timeline_svg(day))
    assert "Sat 2026-09-26" in found
    assert "Sun 2026-09-27" in found
    assert "08:00" in found
    # 11 h 20 min after 20:40 it is 08:00, an hour later than without the change of the clocks.
    axis = ET.fromstring(timeline_svg(day))
    eight = next(one for one in axis.iter(f"{SVG}text") if one.text == "08:00")
    seven = next(one for one in axis.iter(f"{SVG}text") if one.text == "07:00")
    assert float(seven.get("x") or "nan") < float(eight.get("x") or "nan")


def test_a_long_night_is_cut_short() -> None:
    assert cut_short(samples.night())
    assert not cut_short(samples.supper())


def test_names_of_every_sort_leave_it_xml() -> None:
    day = samples.renamed(samples.supper(), "<b>&\"'\x1b\x00\ufffe" + "very long " * 30)
    root = ET.fromstring(timeline_svg(day))
    assert any((one.text or "").endswith("…") for one in root.iter(f"{SVG}text"))


def test_a_day_without_any_time_is_an_axis_alone() -> None:
    day = replace(samples.rounds(), activities=(), length=Fraction(0))
    assert texts(timeline_svg(day)) == []
