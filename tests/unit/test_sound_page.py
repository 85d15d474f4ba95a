"""The record of sound and its section of the page: terms that add up, the worked example, the figure."""

import json

import pytest
from sound_cases import CRITERIA, LOUD, days, listed, site, with_keys

from edgecheck.checks.result import plain
from edgecheck.checks.sound_record import sound_detail, sound_figure
from edgecheck.inputs.cells import DOES_NOT_APPLY
from edgecheck.outputs.figures.sound import sound_by_hour
from edgecheck.outputs.views.sound import sound
from edgecheck.services.site_sound import site_sound

ROOF = {"roof_level_agl_m": 6.0, "parapet_height_m": 1.2, "receiver_height_m": 2.0, "edge_distance_m": 4.0}


def test_the_terms_add_up():
    given = (site(listed(50.0, neighbour_distance_m=120.0, **ROOF)), LOUD, days(), CRITERIA)
    detail = sound_detail(*given)
    way, night_record = detail["path"], detail["periods"][0]
    total = (
        detail["sources"]["night_dba"]
        - way["divergence_db"] + way["directivity_db"] - way["air_db"] - way["ground_db"] - way["screen_db"]
        + way["facade_db"]
    )  # fmt: skip
    assert way["method"] == "porous ground"
    assert way["screen_db"] > 0.0
    assert night_record["running_dba"] == pytest.approx(total)
    assert sound_figure(site_sound(*given)) == pytest.approx(total)
    json.dumps(plain(detail), allow_nan=False)


def test_the_figure_leaves_the_supplement_out():
    row = listed(60.0)
    plain_level = sound_figure(site_sound(site(row), LOUD, days(), CRITERIA))
    given = (site(row), with_keys(tonal_db=6.0), days(), CRITERIA)
    toned = sound_detail(*given)
    assert sound_figure(site_sound(*given)) == pytest.approx(plain_level)
    assert toned["periods"][0]["running_dba"] == pytest.approx(plain_level + 6.0)


def test_the_page_shows_the_worked_example():
    detail = {"sound": plain(sound_detail(site(listed(50.0)), LOUD, days(), CRITERIA))}
    view = sound(detail)
    assert [step.result for step in view.way] == [
        "73.01 dB(A)",
        "−31.00 dB",
        "+3.00 dB",
        "−0.02 dB",
        "44.99 dB(A)",
    ]
    assert view.levels[0] == (
        "night, 23 to 07 h", "45.0 dB(A)", "42.0 dB(A)", "1 Jan, 00:00", "42.0 dB(A)", "50.0 dB(A)", "the list",
    )  # fmt: skip
    assert "greatest running level" in view.held
    drawing = sound_by_hour(detail)
    assert "45.0 dB(A)" in drawing.caption
    assert "night 50 dB(A)" in drawing.caption
    assert drawing.svg == sound_by_hour(detail).svg


def test_the_page_without_a_neighbour_or_a_distance():
    unknown = sound({"sound": plain(sound_detail(site({}), LOUD, days(), CRITERIA))})
    assert "how far the nearest window is" in unknown.intro
    assert "17.8 m" in unknown.ask
    assert unknown.way == ()
    nobody = {"sound": sound_detail(site({"neighbour_distance_m": DOES_NOT_APPLY}), LOUD, days(), CRITERIA)}
    assert sound(nobody).intro == "The list says that there is no neighbour."
    assert sound_by_hour(nobody) is None
    assert sound({}) is None
