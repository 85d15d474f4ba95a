"""Sound at the neighbour: which level a limit is held against, what an empty cell does, periods, sources."""

import math

import numpy as np
import pytest
from asked import asked
from site_cases import EXAMPLES
from sound_cases import CALM, CRITERIA, LOUD, VARIABLE, days, listed, night, results, site, with_keys

from edgecheck.checks.result import plain
from edgecheck.checks.sound import SOUND_CHECKS
from edgecheck.checks.sound_record import sound_detail, sound_figure
from edgecheck.inputs.cells import DOES_NOT_APPLY
from edgecheck.inputs.criteria import load_criteria
from edgecheck.inputs.unit import load_unit
from edgecheck.services.neighbour_level import (
    day_levels,
    hour_levels,
    hour_of_day,
    period_hours,
    period_level,
)
from edgecheck.services.site_sound import site_sound
from edgecheck.services.sound_propagation import Surveyed, open_path, path
from edgecheck.services.sound_sources import FAN_SPEED_FLOOR, SoundSources, missing_keys, sources_of

RUNNING = 10.0 * math.log10(2.0) + 70.0  # of the loud unit, sound power


def at(distance, power=RUNNING):
    """By hand: half space, air at 1.93 dB/km."""
    return power - 20.0 * math.log10(distance) - 8.0 - 1.928e-3 * distance


# ---------------------------------------------------------------------------------------- level and limit


def test_running_level_against_a_maximum_whatever_the_duty():
    """73.01 dB(A) at 10 m: 45.0. Running a tenth of the time changes nothing."""
    for ratio in (0.1, 0.5, 1.0):
        found = night(listed(44.0), heat=days(ratio))
        assert found.status == "fail"
        assert found.demand == pytest.approx(at(10.0), abs=1e-3) == pytest.approx(44.99, abs=0.01)
        assert found.governed_by == "running"
        assert found.utilisation is None


@pytest.mark.parametrize("basis", ["hour-average", "year-average"])
def test_an_average_takes_the_duty_off(basis):
    """Half the time: 3.01 dB less; a quarter in one hour of the night: the loudest hour and the average differ."""
    found = night(listed(44.0, sound_limit_basis=basis))
    assert found.demand == pytest.approx(at(10.0) - 10.0 * math.log10(2.0), abs=1e-3)
    ratio = np.full(24, 0.25)
    ratio[2] = 0.5
    uneven = night(listed(44.0, sound_limit_basis=basis), heat=days(ratio))
    mean = (7 * 0.25 + 0.5) / 8 if basis == "year-average" else 0.5
    assert uneven.demand == pytest.approx(at(10.0) + 10.0 * math.log10(mean), abs=1e-3)
    if basis == "hour-average":
        assert uneven.governed_by == "average of the hour 2001-01-01 02:00"


@pytest.mark.parametrize(
    "limit, status", [(44.9, "fail"), (45.1, "caution"), (47.9, "caution"), (48.1, "pass")]
)
def test_three_decibels_of_caution(limit, status):
    found = night(listed(limit))
    assert found.status == status
    assert found.limit == limit
    assert found.spare == pytest.approx(limit - found.demand)
    assert bool(found.conditions) == (status == "caution")


def test_the_margin_is_a_criterion(tmp_path):
    own = tmp_path / "own.toml"
    own.write_text("[services]\nsound_caution_db = 0.0\n")
    assert night(listed(45.1), criteria=load_criteria(own)).status == "pass"


@pytest.mark.parametrize(
    "limit, status",
    [
        (49.0, "pass"),  # even the running level has its margin
        (46.0, "caution"),  # running 45.0 is close
        (43.0, "caution"),  # running too loud, the averages, 42.0, are not
        (41.0, "fail"),  # even the average of the year is too loud
    ],
)
def test_without_a_basis(limit, status):
    row = listed(limit)
    del row["sound_limit_basis"]
    found = night(row)
    assert found.status == status
    assert found.demand == pytest.approx(at(10.0), abs=1e-3)
    if status == "caution":
        assert "maximum, an hour's average or a year's" in asked(found)


def test_without_a_position_a_pass_must_hold_in_front_of_a_facade():
    row = listed(49.0)
    del row["receiver_position"]
    assert night(row).status == "caution"
    assert "facade" in asked(night(row))
    assert night({**row, "neighbour_limit_night_dba": 51.1}).status == "pass"
    assert night({**row, "neighbour_limit_night_dba": 44.0}).status == "fail"


def test_a_facade_adds_three_decibels_only_where_the_list_says_so():
    free, front = night(listed(50.0)), night(listed(50.0, receiver_position="facade"))
    assert front.demand - free.demand == pytest.approx(3.0)


def test_a_tone():
    """Stated: added. Not stated, with a compressor: 3 dB more must fit for a pass, and never fail."""
    stated, silent = with_keys(tonal_db=6.0), with_keys(tonal_db=None)
    assert night(listed(55.0), unit=stated).demand == pytest.approx(at(10.0) + 6.0, abs=1e-3)
    assert night(listed(50.9), unit=stated).status == "fail"
    assert night(listed(45.1), unit=silent).status == "caution"
    close = night(listed(48.1), unit=silent)
    assert close.status == "caution"
    assert "tone" in asked(close)
    assert close.demand == pytest.approx(at(10.0), abs=1e-3)
    assert night(listed(51.1), unit=silent).status == "pass"


def test_background_decides_nothing_and_is_reported():
    found, other = night(listed(44.0, sound_background_dba=38.0)), night(listed(44.0))
    assert (found.status, found.demand) == (other.status, other.demand)
    assert "7.0 dB above the background of 38 dB(A)" in found.note


# ---------------------------------------------------------------------------------------- empty cells, none


def test_no_distance_is_not_assessed_and_asks_for_one():
    found = results(CALM)
    assert {result.status for result in found.values()} == {"not assessed"}
    assert found["night"].missing == ("neighbour_distance_m",)
    assert found["night"].demand is None
    detail = sound_detail(site(CALM), LOUD, days(), CRITERIA)
    asked = detail["asks_distance_m"]
    assert at(asked) == pytest.approx(40.0, abs=1e-3)
    assert night({**CALM, "neighbour_distance_m": asked * 1.0001}).spare >= 0.0
    assert sound_figure(site_sound(site(CALM), LOUD, days(), CRITERIA)) is None
    assert "The running unit meets 40 dB(A) from a distance of 17.8 m on." in found["night"].note


def test_the_ask_follows_the_limit_in_force():
    lower = sound_detail(site({"neighbour_limit_night_dba": 30.0, **CALM}), LOUD, days(), CRITERIA)
    assert at(lower["asks_distance_m"]) == pytest.approx(30.0, abs=1e-3)
    none = sound_detail(site({"neighbour_limit_night_dba": DOES_NOT_APPLY}), LOUD, days(), CRITERIA)
    assert none["asks_distance_m"] is None


def test_none_does_not_apply():
    nobody = results({"neighbour_distance_m": DOES_NOT_APPLY})
    assert {result.status for result in nobody.values()} == {"not applicable"}
    free = results(listed(DOES_NOT_APPLY, neighbour_limit_day_dba=60.0))
    assert [free[period].status for period in ("night", "day")] == ["not applicable", "pass"]


def test_a_limit_nobody_has_stated_fails_no_site_and_passes_only_a_quiet_one():
    loud = results({"neighbour_distance_m": 2.0, **CALM})
    assert {result.status for result in loud.values()} == {"caution"}
    assert [loud[period].limit for period in ("night", "evening", "day")] == [40.0, 45.0, 50.0]
    assert loud["night"].spare < 0.0
    assert "the list leaves out" in asked(loud["night"])
    assert night({"neighbour_distance_m": 100.0, **CALM}).status == "caution"  # 24.8 dB(A): 25 is in use too
    assert night({"neighbour_distance_m": 160.0, **CALM}).status == "pass"


def test_the_night_limit_of_the_list_serves_evening_and_day():
    found = results(listed(49.0))
    # 45.0 dB(A): close to the 45 of the evening; by day neither 50 nor the night's 49 is close
    assert [found[period].status for period in ("night", "evening", "day")] == ["pass", "caution", "pass"]
    far = results(listed(40.0, neighbour_distance_m=30.0))
    assert {result.status for result in far.values()} == {"pass"}
    assert far["day"].limit == 50.0


def test_a_limit_of_ones_own_criteria_may_pass(tmp_path):
    own = tmp_path / "own.toml"
    own.write_text("[services]\nsound_limit_night_dba = 35.0\n")
    criteria = load_criteria(own)
    assert night({"neighbour_distance_m": 50.0, **CALM}, criteria=criteria).status == "pass"
    assert night({"neighbour_distance_m": 10.0, **CALM}, criteria=criteria).status == "caution"


def test_a_unit_without_sound_power():
    found = night(listed(40.0), unit=with_keys(sound_power_compressor_dba=None))
    assert found.status == "not assessed"
    assert found.missing == ("unit: sound_power_compressor_dba",)
    both = with_keys(sound_power_compressor_dba=None, sound_power_fan_dba=None)
    assert night({}, unit=both).missing == (
        "neighbour_distance_m",
        "unit: sound_power_fan_dba",
        "unit: sound_power_compressor_dba",
    )


def test_a_unit_that_is_silent_by_night():
    """Off from 23 to 07: passes by night, without a level."""
    ratio = np.zeros(24)
    ratio[7:23] = 0.6
    found = results(listed(15.0), heat=days(ratio))
    assert found["night"].status == "pass"
    assert found["night"].demand is None
    assert found["day"].demand == pytest.approx(at(10.0), abs=1e-3)
    given = (site(listed(15.0)), LOUD, days(ratio), CRITERIA)
    detail = plain(sound_detail(*given))
    assert sound_figure(site_sound(*given)) is None
    assert detail["asks_distance_m"] == 0.0
    assert [row["running_dba"] is None for row in detail["by_hour"]] == [
        not 7 <= hour < 23 for hour in range(24)
    ]


def test_hours_of_unknown_capacity_count_as_running_throughout():
    row = listed(50.0, sound_limit_basis="year-average")
    known, unknown = night(row, heat=days(0.5)), night(row, heat=days(0.5, unknown=True))
    assert unknown.demand - known.demand == pytest.approx(10.0 * math.log10(2.0))


# ---------------------------------------------------------------------------------------- periods


def test_evening_begins_with_the_night():
    hours = period_hours(6.0, 22.0, 22.0)
    assert not hours["evening"].any()
    assert hours["day"].sum() == 16
    assert hours["night"].sum() == 8
    assert period_hours(7.0, 19.0, 24.0)["night"].tolist() == [True] * 7 + [False] * 17


def test_a_criteria_file_without_an_evening(tmp_path):
    own = tmp_path / "own.toml"
    own.write_text(
        "[services]\nsound_evening_begins_h = 22\nsound_night_begins_h = 22\nsound_day_begins_h = 6\n"
    )
    found = results(listed(44.0), criteria=load_criteria(own))
    assert found["evening"].status == "not applicable"
    assert found["night"].status == "fail"


def test_hours_of_two_days():
    time = np.datetime64("2001-03-04T22:00", "m") + 60 * np.arange(4)
    assert hour_of_day(time).tolist() == [22, 23, 0, 1]
    levels = hour_levels(SoundSources(60.0, 60.0), np.full(4, 0.5), np.zeros(4, bool))
    day = day_levels(levels, hour_of_day(time))
    assert period_level(day, np.zeros(24, bool)) is None
    assert period_level(day, np.arange(24) == 12) is None  # no such hour was run
    assert period_level(day, np.arange(24) >= 22).hours == 2


# ---------------------------------------------------------------------------------------- sources


def test_a_fan_that_follows_the_load():
    """Variable speed: the share of the capacity, not below 30 %; below its least step the unit switches."""
    found = sources_of(with_keys(**VARIABLE))
    assert found.speed([0.1, 0.3, 0.6, 1.0]).tolist() == [0.3, 0.3, 0.6, 1.0]
    assert found.duty([0.15, 0.3, 0.6, 1.0]) == pytest.approx([0.5, 1.0, 1.0, 1.0])
    slow = sources_of(with_keys(**{**VARIABLE, "capacity_min_share": 0.1}))
    assert slow.speed([0.1])[0] == FAN_SPEED_FLOOR
    held = found.speed([0.2, 0.8, 1.0], top_speed=0.5)
    assert held == pytest.approx([0.3, 0.4, 0.5])


@pytest.mark.parametrize("control", ["cycling", "variable"])
def test_an_on_off_machine_has_its_fan_at_full_speed(control):
    found = sources_of(with_keys(fan_control=control))
    assert found.speed([0.1, 0.9]).tolist() == [1.0, 1.0]
    assert found.duty([0.1, 0.9]).tolist() == [0.1, 0.9]


def test_a_fan_that_cycles_beside_a_compressor_of_variable_speed():
    found = sources_of(with_keys(**{**VARIABLE, "fan_control": "cycling"}))
    assert found.speed([0.4]).tolist() == [1.0]
    assert found.duty([0.4]).tolist() == [1.0]


def test_a_variable_fan_is_quieter_at_night():
    """CR 0.5 by night: 70 + 50 lg 0.5 = 54.95 dB(A) beside the compressor's 70; after a trip it runs at full speed."""
    ratio = np.full(24, 0.9)
    ratio[:7] = ratio[23:] = 0.5
    cells = {**listed(44.9), "sound_limit_basis": "hour-average"}
    found = results(cells, unit=with_keys(**VARIABLE), heat=days(ratio))
    power = 10.0 * math.log10(10.0**7 + 10.0**5.495)
    assert found["night"].demand == pytest.approx(at(10.0, power), abs=2e-3)
    assert found["day"].demand > found["night"].demand
    full = results({**cells, "sound_limit_basis": "maximum"}, unit=with_keys(**VARIABLE), heat=days(ratio))
    assert full["night"].demand == full["day"].demand > found["day"].demand


@pytest.mark.parametrize("duty, number", [("shared", 3), ("standby", 2)])
def test_sections_in_service(duty, number):
    found = sources_of(with_keys(sections=3, section_duty=duty))
    assert found.sections == number
    assert found.at_speed(1.0) == pytest.approx(RUNNING + 10.0 * math.log10(number))


def test_a_dry_cooler_needs_only_its_fan():
    dry = load_unit(EXAMPLES / "unit-dry-cooler.toml")
    assert missing_keys(dry) == ()
    found = sources_of(dry)
    assert (found.fan, found.compressor, found.follows_load) == (69.0, None, True)
    assert found.speed([0.1, 0.7]) == pytest.approx([0.3, 0.7])
    level = night({**listed(45.0), "sound_limit_basis": "hour-average"}, unit=dry, heat=days(0.7))
    assert level.demand == pytest.approx(at(10.0, 69.0 + 50.0 * math.log10(0.7)), abs=1e-3)
    assert "tone" not in asked(level)


# ---------------------------------------------------------------------------------------- the way

ROOF = {"roof_level_agl_m": 20.0, "parapet_height_m": 1.2, "receiver_height_m": 8.0, "edge_distance_m": 4.0}
SEEN = Surveyed(30.0, source_height=21.2, receiver_height=8.0, edge_height=21.2, edge_distance=4.0)


def test_no_credit_without_all_of_the_numbers():
    whole = night(listed(50.0, neighbour_distance_m=30.0, **ROOF))
    assert whole.demand < at(30.0) - 10.0
    for key in ROOF:
        row = listed(50.0, neighbour_distance_m=30.0, **{**ROOF, key: None})
        assert night(row).demand == pytest.approx(at(30.0), abs=1e-3), key


def test_a_pass_that_rests_on_the_parapet_is_a_caution():
    row = listed(35.0, neighbour_distance_m=30.0, **ROOF)
    found = night(row)
    assert found.status == "caution"
    assert found.demand < 32.0
    assert found.conditions == ("confirm that the parapet or roof edge stands between unit and window",)
    assert night({**row, "neighbour_limit_night_dba": 39.0}).status == "pass"  # 35.4 without it


def test_a_window_seen_over_the_edge_is_not_screened():
    clear = path(Surveyed(30.0, 21.2, 30.0, 21.2, 4.0), facade=False)
    assert clear.edge is None
    assert clear.attenuation == open_path(30.0, facade=False).attenuation
    assert "seen over the edge" in clear.screen_why
    assert path(SEEN, facade=False).edge is not None


@pytest.mark.parametrize(
    "known",
    [
        Surveyed(10.0, 21.2, 8.0, 21.2, 4.0),  # heights 13.2 m apart, 10 m away
        Surveyed(30.0, 21.2, 8.0, 21.2, 27.0),  # the edge lies behind the window
        Surveyed(30.0, 21.2, 8.0, 21.2, 0.0),
    ],
)
def test_heights_that_do_not_fit_give_no_credit(known):
    found = path(known, facade=False)
    assert found.attenuation == open_path(known.distance, facade=False).attenuation


def test_either_half_space_or_ground_never_both():
    near, far = path(Surveyed(99.0, 5.0, 3.0), facade=False), path(Surveyed(100.0, 5.0, 3.0), facade=False)
    assert (near.method, near.ground, near.directivity) == ("half space", 0.0, 3.0)
    assert far.method == "porous ground"
    assert far.ground == pytest.approx(4.8 - 0.08 * 20.0)
    assert far.directivity < 3.02
    assert far.attenuation > near.attenuation


def test_over_ground_a_screen_counts_only_beyond_it():
    """A_bar = D_z - A_gr: together never more than the greater of the two."""
    known = Surveyed(150.0, 6.2, 2.0, 6.5, 3.0)
    found = path(known, facade=False)
    assert found.edge.attenuation == pytest.approx(found.ground + found.screen)


def test_declarations():
    assert [check.id for check in SOUND_CHECKS] == [
        "services.sound-night", "services.sound-evening", "services.sound-day",
    ]  # fmt: skip
    assert all(check.sense == "at most" and not check.has_true_zero for check in SOUND_CHECKS)
