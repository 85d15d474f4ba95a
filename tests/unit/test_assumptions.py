"""The assumptions file: what it may say, what its values do to a list, and what nobody can assume."""

import pickle
from dataclasses import replace
from pathlib import Path

import pytest

from edgecheck.base.errors import InputFaults
from edgecheck.inputs.assumed_values import apply_assumptions, contradiction
from edgecheck.inputs.assumptions import Assumptions, cell_text, load_assumptions
from edgecheck.inputs.cells import DOES_NOT_APPLY
from edgecheck.inputs.columns import COLUMNS
from edgecheck.inputs.criteria import load_criteria
from edgecheck.inputs.sites import load_sites

EXAMPLES = Path(__file__).parents[1] / "data" / "examples"
DESIGN = {"roof_design_imposed_kpa": 3.0, "roof_existing_plant_kpa": 1.0}
FOLLOWS = "the reserve follows from roof_design_imposed_kpa and roof_existing_plant_kpa"
MAINTENANCE = "roof_use is maintenance-only, which has nothing to spare for permanent plant"
HEAD = "site_id,latitude_deg,longitude_deg"


def entry(key="roof_reserve_kpa", value="1.5", **more):
    """One table as text; values as they would be written."""
    lines = {"key": f'"{key}"', "value": value, "by": '"the desk"', "why": '"a reason"'} | more
    return "[[assume]]\n" + "".join(f"{name} = {text}\n" for name, text in lines.items() if text)


@pytest.fixture
def write(tmp_path):
    def write(*entries):
        path = tmp_path / "mine.toml"
        path.write_text("schema = 1\n" + "".join(entries))
        return path

    return write


@pytest.fixture
def faults(write):
    def faults(*entries):
        with pytest.raises(InputFaults) as caught:
            load_assumptions(write(*entries))
        assert caught.value.exit_code == 2
        return [fault.text() for fault in caught.value.faults]

    return faults


@pytest.fixture
def fill(write, tmp_path):
    """Lists with the columns of `row` and one of the planner's own, and what comes of some entries."""

    def fill(entries, *rows, head="roof_reserve_kpa,Owner"):
        path = tmp_path / "list.csv"
        texts = [f"A-{number},36.1,-79.95,{row}" for number, row in enumerate(rows, start=1)]
        path.write_text("\n".join([f"{HEAD},{head}", *texts]) + "\n")
        return apply_assumptions(load_sites(path), load_assumptions(write(*entries)))

    return fill


# ----------------------------------------------------------------------------------------------- the file


def test_the_example_file():
    read = load_assumptions(EXAMPLES / "assumptions.toml")
    standard, reserve = read.entries
    assert (standard.key, standard.value, dict(standard.where)) == ("load_standard", "asce7-22", {})
    assert standard.line == 4
    assert (reserve.value, reserve.by) == (1.5, "regional structures desk")
    assert dict(reserve.where) == {"Landlord": "Blue Quay Estates"}
    assert reserve.where_line == 15
    assert reserve.text() == (
        "roof_reserve_kpa = 1.5 by regional structures desk "
        "(typical reserve of this owner's concrete roofs; survey to confirm)"
    )
    assert read.file == "assumptions.toml"
    assert [len(source.sha256) for source in read.source_files] == [64]
    assert pickle.loads(pickle.dumps(read)) == read


@pytest.mark.parametrize(
    "key, written, value, shown",
    [
        ("roof_reserve_kpa", "2", 2.0, "2"),
        ("roof_reserve_kpa", "0.125", 0.125, "0.125"),
        ("feed_phases", "3", 3.0, "3"),
        ("landlord_max_kg", '"none"', DOES_NOT_APPLY, "none"),
        ("spreader_kind", '"none"', "none", "none"),
        ("roof_surface", '"Gravel"', "gravel", "gravel"),
        ("horizon", '"180:4 90:12"', ((90.0, 12.0), (180.0, 4.0)), "90:12 180:4"),
        ("containment_rule", '"local bye-law"', "local bye-law", "local bye-law"),
    ],
)
def test_a_value_is_read_like_a_cell(write, key, written, value, shown):
    (read,) = load_assumptions(write(entry(key, written))).entries
    assert (read.key, read.value) == (key, value)
    assert type(read.value) is type(value)
    assert read.value_text == cell_text(value) == shown


def test_a_us_twin_is_converted_to_the_columns_unit(write):
    """50 psf; 1 psf = 0.04788026 kPa (NIST SP 811, appendix B.8)."""
    (read,) = load_assumptions(write(entry("roof_reserve_psf", "50"))).entries
    assert read.key == "roof_reserve_kpa"
    assert read.value == pytest.approx(2.394013, abs=1e-6)


def test_an_unusual_value_keeps_the_caution_of_its_column(write):
    (unusual,) = load_assumptions(write(entry(value="40"))).entries
    assert "psf? that would be 1.92 kPa" in unusual.caution
    (usual,) = load_assumptions(write(entry(value="4"))).entries
    assert usual.caution == ""


@pytest.mark.parametrize(
    "key", ["site_id", "name", "latitude_deg", "longitude_deg", "weather", "unit", "load_profile", "roof_evidence",
            "survey_date"],
)  # fmt: skip
def test_what_nobody_can_assume(faults, key):
    (fault,) = faults(entry(key, '"x"'))
    assert fault.startswith(f"mine.toml, line 3, assume[1].key: '{key}': ")
    assert fault.endswith("cannot be assumed") or "a file cannot be assumed" in fault


def test_every_other_column_can_be_assumed(write):
    barred = {"site_id", "name", "latitude_deg", "longitude_deg", "weather", "unit", "load_profile", "warming_file",
              "roof_evidence", "survey_date"}  # fmt: skip
    sample = {"number": "1.0", "text": '"x"', "pairs": '"90:12"'}
    for name, column in COLUMNS.items():
        if name in barred:
            continue
        value = sample.get(column.kind) or f'"{next(v for v in column.values if v != "unknown")}"'
        if column.kind == "number" and not (column.possible(1.0) or column.values):
            value = str(column.low + min(10.0, (column.high - column.low) / 2.0))
        (read,) = load_assumptions(write(entry(name, value))).entries
        assert read.key == name


@pytest.mark.parametrize(
    "written, told",
    [
        (
            entry("roof_reserv_kpa"),
            "line 3, assume[1].key: 'roof_reserv_kpa': the site list has no such column; "
            "did you mean roof_reserve_kpa?",
        ),
        (entry(value="51.0"), "line 4, assume[1].value: '51.0': roof_reserve_kpa: 0 to 50 kPa is possible"),
        (entry(value='"1.5"'), "'1.5': roof_reserve_kpa: a number without quotes is needed, 0 to 50 kPa"),
        (entry("landlord_max_kg", '"no"'), 'a number without quotes is needed, greater than 0 kg, or "none"'),
        (entry(value='"none"'), "'none': roof_reserve_kpa: none is not possible here: 0 to 50 kPa"),
        (entry(value="true"), "'true': roof_reserve_kpa: a number without quotes is needed"),
        (entry(value="nan"), "'nan': roof_reserve_kpa: a number without quotes is needed"),
        (entry(value="inf"), "'inf': roof_reserve_kpa: a number without quotes is needed"),
        (entry("feed_phases", "2"), "'2': feed_phases: 1 or 3 is allowed"),
        (entry("penetrations_allowed", "true"), "'true': penetrations_allowed: text in quotes is needed: yes or no"),
        (entry("roof_use", '"plants"'), "maintenance-only, accessible or plant is allowed; did you mean plant?"),
        (entry("roof_use", '"?"'), "'?': roof_use: says nothing; leave the entry out"),
        (entry("horizon", '"90"'), "horizon: '90': azimuth:elevation pairs in degrees are needed"),
        (entry(value=""), "line 2, assume[1].value: is missing: what stands for the empty cells"),
        (entry(by=""), "line 2, assume[1].by: is missing: who answers for it"),
        (entry(why=""), "line 2, assume[1].why: is missing: on what grounds"),
        (entry(""), "line 3, assume[1].key: text in quotes is needed, not an empty one"),
        (entry(why='""'), "line 6, assume[1].why: text in quotes is needed, not an empty one"),
        (entry(by='"  "'), "line 5, assume[1].by: '  ': text in quotes is needed, not an empty one"),
        (entry(by="3"), "line 5, assume[1].by: '3': text in quotes is needed (who answers for it)"),
        (entry(wher='{ Owner = "x" }'), "line 7, assume[1].wher: unknown key; did you mean where?"),
        (entry(where="{ Owner = 3 }"), "line 7, assume[1].where.Owner: '3': text in quotes is needed"),
        (entry(where='"Owner"'), "line 7, assume[1].where: 'Owner': "),
        ('assume = "x"\n', "line 2, assume: 'x': each value is a table of its own, [[assume]]"),
        ("assume = [1]\n", "line 2, assume: '[1]': each value is a table of its own, [[assume]]"),
        ("[[asume]]\nkey = 1\n", "line 2, asume[1]: unknown key; did you mean assume?"),
        ("note = 1\n", "line 2, note: unknown key"),
    ],
)  # fmt: skip
def test_faults(faults, written, told):
    (fault,) = faults(written)
    assert told in fault
    assert "or empty where unknown" not in fault


def test_another_schema_is_refused(tmp_path):
    path = tmp_path / "next.toml"
    path.write_text("schema = 2\n")
    with pytest.raises(InputFaults, match="this program reads schema 1"):
        load_assumptions(path)


def test_all_faults_are_found_at_once_with_their_lines(faults):
    found = faults(
        entry("roof_usage", '"plant"', by=""), entry(value="51"), entry(), entry("name", '"x"', note="1")
    )
    assert [fault.split(": ")[0] for fault in found] == [
        "mine.toml, line 2, assume[1].by",
        "mine.toml, line 3, assume[1].key",
        "mine.toml, line 8, assume[2].value",
        "mine.toml, line 21, assume[4].note",
        "mine.toml, line 17, assume[4].key",
    ]


def test_a_file_that_cannot_be_read(tmp_path):
    with pytest.raises(InputFaults, match="cannot be read"):
        load_assumptions(tmp_path / "absent.toml")


# ------------------------------------------------------------------------------------------- what it does


def values(filled, key="roof_reserve_kpa"):
    return [site.get(key) for site in filled.sites]


def notes(filled):
    return [note for note in filled.notes if note.code.startswith("assume")]


def test_only_empty_cells_are_filled_and_cells_stay_as_written(fill):
    filled = fill([entry()], "2.4,x", ",x", "tbd,x", " ? ,x")
    assert values(filled) == [2.4, 1.5, 1.5, 1.5]
    assert [tuple(site.assumed) for site in filled.sites] == [(), *[("roof_reserve_kpa",)] * 3]
    assert filled.cells["roof_reserve_kpa"].tolist() == ["2.4", "", "tbd", " ? "]
    assert filled.sites[1].assumed["roof_reserve_kpa"].by == "the desk"
    (note,) = notes(filled)
    assert (note.level, note.count) == ("info", 3)
    assert (
        note.text
        == "mine.toml, line 2: roof_reserve_kpa = 1.5 stands for the empty cell of 3 rows, by the desk"
    )


def test_a_column_that_the_list_does_not_have_is_empty_everywhere(fill):
    filled = fill([entry("roof_use", '"plant"')], ",x", ",y")
    assert values(filled, "roof_use") == ["plant", "plant"]
    assert "roof_use" not in filled.columns


def test_a_twin_counts_as_the_column(fill):
    filled = fill([entry()], "50,x", ",x", head="roof_reserve_psf,Owner")
    assert values(filled) == [pytest.approx(2.394, abs=1e-3), 1.5]
    assert not filled.sites[0].assumed


def test_the_first_entry_that_fits_wins(fill):
    entries = [
        entry(value="1.0", where='{ Owner = "x" }'),
        entry(value="2.0", where='{ Owner = "y" }'),
        entry(value="3.0"),
        entry(value="4.0"),
    ]
    filled = fill(entries, ",x", ",y", ",z", ",")
    assert values(filled) == [1.0, 2.0, 3.0, 3.0]
    assert [note.count for note in notes(filled)] == [1, 1, 2, 0]
    assert "is used nowhere: no such cell is empty, or an entry before it fits" in notes(filled)[3].text
    assert notes(filled)[3].level == "caution"


def test_where_is_exact_text_and_all_of_it_must_match(fill):
    where = '{ Owner = "Quay", Kind = "slab" }'
    rows = (",Quay,slab", ",Quay,deck", ",quay,slab", ",Quay ,slab", ",Quays,slab", ",,")
    filled = fill([entry(where=where)], *rows, head="roof_reserve_kpa,Owner,Kind")
    assert values(filled) == [1.5, None, None, None, None, None]


def test_where_may_name_a_known_column_and_an_empty_cell(fill):
    filled = fill(
        [entry(where='{ roof_use = "plant", Owner = "" }')], "plant,", "plant,x", ",", head="roof_use,Owner"
    )
    assert values(filled) == [1.5, None, None]


def test_an_entry_that_fits_no_row_says_so(fill):
    filled = fill([entry(where='{ Owner = "Quay" }')], ",quay", ",Quay ", ",x")
    (note,) = notes(filled)
    assert note.level == "caution"
    assert note.text.endswith(
        "is used nowhere: no usable row has Owner = 'Quay'; 2 rows would match but for blanks or capitals"
    )


def test_a_row_that_is_nearly_right_in_one_of_two_columns_is_not_counted(fill):
    rows = (",quay,slab", ",quay,deck")
    (note,) = notes(
        fill([entry(where='{ Owner = "Quay", Kind = "slab" }')], *rows, head="roof_reserve_kpa,Owner,Kind")
    )
    assert note.text.endswith("'Quay', Kind = 'slab'; 1 row would match but for blanks or capitals")


def test_a_where_column_that_is_absent_is_a_file_fault(fill):
    entries = [entry(where='{ Ovner = "x" }'), entry(), entry(where='{ Region = "n" }')]
    with pytest.raises(InputFaults) as caught:
        fill(entries, ",x")
    assert [fault.text() for fault in caught.value.faults] == [
        "mine.toml, line 7, assume[1].where: 'Ovner': list.csv has no such column; did you mean Owner?",
        "mine.toml, line 18, assume[3].where: 'Region': list.csv has no such column",
    ]


def test_a_wrong_cell_is_not_empty(write, tmp_path):
    """Under criteria that only confirm, a wrong cell keeps its row usable; it still says something."""
    path = tmp_path / "list.csv"
    path.write_text(f"{HEAD},landlord_max_kg\nA-1,36.1,-79.95,heavy\nA-2,36.1,-79.95,\n")
    sites = load_sites(path, load_criteria("first-pass"))
    filled = apply_assumptions(sites, load_assumptions(write(entry("landlord_max_kg", "400"))))
    assert values(filled, "landlord_max_kg") == [None, 400.0]
    assert filled.sites[0].unassessable == sites.sites[0].unassessable != {}


def test_unusable_rows_stay_as_they_are(fill):
    filled = fill([entry()], ",x", "900,x")
    assert not filled.sites[1].usable
    assert not filled.sites[1].assumed
    assert notes(filled)[0].count == 1


def test_an_unusual_value_is_a_caution_of_the_row(fill):
    filled = fill([entry(value="40")], "2,x", ",x")
    assert filled.sites[0].cautions == ()
    (caution,) = filled.sites[1].cautions
    assert (caution.column, caution.value, caution.checks) == (
        "roof_reserve_kpa",
        "40 (assumed)",
        ("roof.load",),
    )
    assert notes(filled)[0].level == "caution"


@pytest.mark.parametrize("used", [True, False])
def test_what_no_check_uses_yet_is_accepted_and_says_so(fill, monkeypatch, used):
    column = replace(COLUMNS["load_standard"], used=used)
    monkeypatch.setattr("edgecheck.inputs.assumed_values.columns", lambda: {"load_standard": column})
    filled = fill([entry("load_standard", '"en"')], ",x")
    assert values(filled, "load_standard") == ["en"]
    text = notes(filled)[0].text.removesuffix("; not used by any check yet")
    assert text.endswith("by the desk")
    assert (text == notes(filled)[0].text) == used


def test_a_file_without_entries_changes_nothing(fill):
    filled = fill([], ",x")
    assert values(filled) == [None]
    assert notes(filled)[0].text == "mine.toml holds no assumption"
    assert Assumptions().file == "assumptions"


def test_a_second_application_adds_nothing(fill, write):
    once = fill([entry()], ",x")
    twice = apply_assumptions(once, load_assumptions(write(entry(value="9"))))
    assert values(twice) == [1.5]


# --------------------------------------------------------------------------------- what contradicts a row


@pytest.mark.parametrize(
    "key, value, row, against",
    [
        ("load_standard", "asce7-22", {"en_terrain": "II"}, "only EN columns are filled"),
        ("load_standard", "en", {"risk_category": "II"}, "only ASCE 7 columns are filled"),
        ("load_standard", "asce7-16", {"en_terrain": "II", "asce_kzt": 1.0}, ""),
        ("load_standard", "en", {"en_terrain": "II"}, ""),
        ("load_standard", "en", {}, ""),
        ("en_terrain", "II", {"load_standard": "asce7-16"}, "load_standard is asce7-16"),
        ("asce_exposure", "C", {"load_standard": "en"}, "load_standard is en"),
        ("asce_exposure", "C", {"load_standard": "asce7-22", "en_terrain": "II"}, ""),
        ("en_terrain", "II", {"asce_kzt": 1.0}, "only ASCE 7 columns are filled"),
        ("en_terrain", "II", {"asce_kzt": 1.0, "en_orography": 1.0}, ""),
        ("en_terrain", "II", {}, ""),
        ("roof_reserve_kpa", 1.5, {"roof_use": "maintenance-only"}, MAINTENANCE),
        ("roof_reserve_kpa", 1.5, {"roof_use": "plant"} | DESIGN, FOLLOWS),
        ("roof_reserve_kpa", 1.5, {"roof_use": "plant", "roof_design_imposed_kpa": 3.0}, ""),
        ("roof_reserve_kpa", 1.5, DESIGN, ""),
        ("roof_reserve_point_kn", 1.5, {"roof_use": "maintenance-only"}, ""),
        ("roof_solar_absorptance", 0.9, {"roof_surface": "light"}, "roof_surface is light"),
        ("recirculation", 0.1, {"roof_surface": "light"}, ""),
        ("roof_surface", "light", {"roof_solar_absorptance": 0.9}, ""),
        ("spreader_kg", 70.0, {"spreader_kind": "none"}, "spreader_kind is none"),
        ("spreader_kg", 70.0, {"spreader_kind": "frame"}, ""),
        ("spreader_kind", "none", {"spreader_kg": 70.0}, "spreader_kg is filled"),
        ("spreader_kind", "frame", {"spreader_kg": 70.0}, ""),
        ("spreader_kind", "none", {}, ""),
    ],
)  # fmt: skip
def test_contradictions(key, value, row, against):
    assert contradiction(key, value, row) == against


def test_a_contradicted_entry_is_not_applied_and_the_next_one_is_tried(fill):
    entries = [entry("load_standard", '"asce7-22"'), entry("load_standard", '"en"')]
    filled = fill(entries, "II,x", ",y", head="en_terrain,Owner")
    assert values(filled, "load_standard") == ["en", "asce7-22"]
    refused, used = notes(filled)
    assert refused.text.endswith(
        "stands for the empty cell of 1 row, by the desk; "
        "not applied where the row says otherwise: row A-1 (line 2): only EN columns are filled"
    )
    assert (refused.level, used.level) == ("caution", "info")


def test_a_standard_that_is_assumed_holds_wherever_it_stands_in_the_file(fill):
    """Else an entry before it could fill the other family's columns first."""
    filled = fill([entry("en_terrain", '"II"'), entry("load_standard", '"asce7-22"')], ",x")
    assert values(filled, "load_standard") == ["asce7-22"]
    assert values(filled, "en_terrain") == [None]
    first, second = notes(filled)
    assert "en_terrain = II is used nowhere: every empty cell it fits is contradicted" in first.text
    assert "load_standard is asce7-22" in first.text
    assert second.count == 1


@pytest.mark.parametrize("count, tail", [(3, "only ASCE 7 columns are filled"), (5, " and 2 more")])
def test_many_contradictions_are_counted(fill, count, tail):
    filled = fill([entry("load_standard", '"en"')], *["1,x"] * count, head="asce_kzt,Owner")
    (note,) = notes(filled)
    assert note.text.count("only ASCE 7 columns are filled") == 3
    assert note.text.endswith(tail)
