"""Figures: what is drawn, what is said beside it, and that each can stand in a page with others."""

import re
from concurrent.futures import ThreadPoolExecutor
from itertools import combinations

import matplotlib as mpl
import numpy as np
import pytest
from result_factory import make_result, roof_detail, with_gaps

from edgecheck.outputs.figures.balance import heat_balance
from edgecheck.outputs.figures.causes import CLASSES, KEYS, class_of_hours, picture
from edgecheck.outputs.figures.outage import crossing, loss_curves
from edgecheck.outputs.figures.roof import greatest_a_foot, roof_plan
from edgecheck.outputs.figures.spell import spell_trajectory
from edgecheck.outputs.figures.year import duration_curve, headroom_share, sorted_headroom, year_map
from edgecheck.outputs.pages import drawings


@pytest.fixture(scope="module")
def result():
    return make_result()


@pytest.fixture(scope="module")
def drawn(result):
    return drawings(result)


def test_all_figures_of_a_full_result_are_drawn(drawn):
    assert list(drawn) == [
        "balance-1", "balance-2", "year-map", "duration", "liquid-year", "energy", "hot-spell", "cold-spell", "outage",
        "roof-plan", "climatogram",
    ]  # fmt: skip


def test_every_figure_has_caption_and_text_with_a_number_and_unit(drawn):
    for drawing in drawn.values():
        for text in (drawing.caption, drawing.alt):
            assert re.search(r"\d (kWh?|h|°C|min|kN)", text), (drawing.key, text)
        assert str(drawing.svg).count("<svg") == 1
        assert f'aria-label="{drawing.alt}"' in str(drawing.svg)


def test_ids_are_the_figures_own_and_all_references_lead_somewhere(drawn):
    every = [name for drawing in drawn.values() for name in re.findall(r'\sid="([^"]+)"', drawing.svg)]
    assert len(every) == len(set(every))
    for drawing in drawn.values():
        ids = set(re.findall(r'\sid="([^"]+)"', drawing.svg))
        wanted = set(re.findall(r'(?:url\(#|href="#)([^")]+)', drawing.svg))
        assert all(name.startswith(f"{drawing.key}-") for name in ids)
        assert wanted
        assert wanted <= ids


def test_figures_name_nothing_outside_the_page(drawn):
    for drawing in drawn.values():
        assert "http" not in drawing.svg
        assert "<metadata" not in drawing.svg
        assert len(drawing.svg.encode()) < 60_000


def test_axes_carry_units_and_local_time(drawn):
    assert "hour, local standard time" in drawn["year-map"].svg
    assert "local standard time" in drawn["hot-spell"].svg
    assert "service headroom, kW" in drawn["duration"].svg
    assert "liquid, °C" in drawn["outage"].svg


def test_a_users_settings_file_changes_nothing(result, drawn):
    with mpl.rc_context({"font.size": 22, "axes.grid": True, "lines.linewidth": 9, "svg.fonttype": "path"}):
        again = drawings(result)
    assert again == drawn


def test_threads_draw_the_same_bytes(result, drawn):
    with ThreadPoolExecutor(3) as pool:
        assert all(found == drawn for found in pool.map(drawings, [result] * 3))


def test_classes_follow_the_headroom_and_open_limits_come_first():
    share = np.array([0.6, 0.5, 0.3, 0.1, 0.05, 0.0, -0.01, np.nan, 0.4, np.nan])
    binding = np.array(["none"] * 8 + ["condensing", "beyond-table"])
    found = [KEYS[index] for index in class_of_hours(share, binding)]
    assert found == [
        "ample", "ample", "good", "some", "tight", "tight", "capacity", "unknown", "condensing", "beyond-table",
    ]  # fmt: skip


def test_unknown_headroom_never_gets_a_class_of_known_headroom(result):
    gaps = with_gaps(result.hourly)
    share = headroom_share(gaps)
    classes = class_of_hours(share, gaps["binding"].to_numpy().astype(str))
    assert np.isnan(share).any()
    assert set(classes[np.isnan(share)]) == {KEYS.index("beyond-table")}


def test_classes_can_be_told_apart_without_colour():
    # Grey value of a printer, ITU-R BT.601 luma: 0.299 R + 0.587 G + 0.114 B.
    weights = np.array([0.299, 0.587, 0.114])
    patches = [picture(np.array([[index]]), wide=40, high=40) @ weights for index in range(len(CLASSES))]
    for first, second in combinations(range(len(CLASSES)), 2):
        same_place = np.abs(patches[first] - patches[second]).mean()
        assert same_place > 12, (CLASSES[first].label, CLASSES[second].label)


def test_pattern_runs_through_from_cell_to_cell():
    index = KEYS.index("condensing")
    whole = picture(np.full((2, 3), index), wide=7, high=5)
    assert whole.shape == (10, 21, 3)
    np.testing.assert_array_equal(
        whole[5:, 7:14], picture(np.array([[index]]), wide=7, high=5, row_start=5, column_start=7)
    )


def test_map_counts_hours_short_and_names_the_worst_hour(result):
    gaps = with_gaps(result.hourly)
    drawing = year_map(gaps, gaps["time"].to_numpy()[4800])
    assert "220 h of 8760 h are short of headroom" in drawing.caption
    for text in (
        "60 h capacity short",
        "40 h condensing limit",
        "20 h inlet air too hot",
        "70 h air too cold",
    ):
        assert text in drawing.caption
    assert "20 Jul, 00:00" in drawing.caption
    assert "air too cold: 70 h" in drawing.svg


def test_duration_puts_unknown_hours_with_the_short_ones(result):
    gaps = with_gaps(result.hourly)
    ordered, unknown = sorted_headroom(gaps["service_headroom"].to_numpy())
    assert unknown == 30
    assert (np.diff(ordered) >= 0).all()
    caption = duration_curve(gaps, 0.1).caption
    assert "220 h are short" in caption
    assert "In 30 h it is not known" in caption


@pytest.mark.parametrize(
    ("limit", "minutes"), [(70.0, 14.0), (42.0, 0.0), (40.0, 0.0), (500.0, None), (None, None)]
)
def test_crossing_of_a_straight_line(limit, minutes):
    minute = np.arange(0.0, 31.0, 2.5)
    assert crossing(minute, 42.0 + 2.0 * minute, limit) == (
        None if minutes is None else pytest.approx(minutes)
    )


def test_loss_curves_say_where_shutdown_is_not_reached(result):
    outage = result.outage.copy(deep=True)
    outage["liquid_cooling_lost"][:] = 45.0
    caption = loss_curves(outage, {"shutdown": 70.0}, 70.0).caption
    assert "with the pump running the shutdown temperature is not reached within 60.0 min" in caption


def test_spell_counts_hours_of_unknown_capacity_as_short(result):
    spell = result.hot_spell.copy(deep=True)
    spell["capacity"][:5] = np.nan
    assert "5 h in which the capacity" in spell_trajectory("s", "hot spell", spell, {"alarm": 55.0}).caption


def test_spell_with_nothing_known_is_still_drawn(result):
    spell = result.hot_spell.copy(deep=True)
    for name in ("liquid", "capacity", "temp_air", "inlet_air"):
        spell[name][:] = np.nan
    drawing = spell_trajectory("s", "hot spell", spell, {})
    assert "not known" in drawing.caption


def test_balance_shows_an_unknown_capacity_as_unknown(result):
    values = {**result.worst_hours[0].values, "capacity": None}
    drawing = heat_balance("b", "the hour", values)
    assert "capacity not known, headroom not known" in drawing.caption
    assert ">not known<" in drawing.svg.replace("\n", "")


def test_balance_states_the_sum_it_draws(result):
    values = result.worst_hours[0].values
    spare = values["capacity"] - values["load"]
    assert f"headroom {spare / 1000.0:.2f} kW" in heat_balance("b", "the hour", values).caption


def test_plan_needs_feet_and_body_and_labels_each_foot():
    roof = roof_detail()
    assert greatest_a_foot(roof["reactions"], 4) == [0.71, 1.40, 0.80, 1.42]
    drawing = roof_plan(roof)
    for text in ("1: 0.710", "2: 1.40", "3: 0.800", "4: 1.42", "greatest load, kN", "1.2 m, front", "0.5 m"):
        assert text in drawing.svg
    assert roof_plan({**roof, "feet_m": None}) is None
    assert (
        "on a spreader of 2 m by 1.5 m (dashed)"
        in roof_plan({**roof, "spreader": {"plan_m": [2.0, 1.5]}}).caption
    )


def test_classes_of_hours_stay_apart_on_a_grey_print():
    # relative luminance of sRGB, IEC 61966-2-1 (weights of Rec. 709), of the mean of ground and pattern
    def grey(index):
        shades = picture(np.array([[index]]), wide=48, high=48).reshape(-1, 3) / 255.0
        linear = np.where(shades <= 0.04045, shades / 12.92, ((shades + 0.055) / 1.055) ** 2.4)
        return float((linear @ (0.2126, 0.7152, 0.0722)).mean())

    known = [grey(KEYS.index(key)) for key in ("ample", "good", "some", "tight")]
    assert known == sorted(known, reverse=True)
    assert np.diff(known).max() < -0.04
    # the reasons why there is none differ by their patterns
    signs = {
        tuple((picture(np.array([[index]]), wide=24, high=24) == CLASSES[index].mark).all(axis=-1).ravel())
        for index in (
            KEYS.index(key) for key in ("capacity", "condensing", "inlet-high", "inlet-low", "beyond-table")
        )
    }
    assert len(signs) == 5
