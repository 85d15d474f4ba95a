"""The mapping file: faults, what it does to a list, and the one that is proposed for a list."""

import datetime as dt
import tomllib

import pint
import pytest
from openpyxl import Workbook

from edgecheck.base.errors import InputFaults
from edgecheck.inputs.column_map import load_mapping
from edgecheck.inputs.mapping_guess import propose_mapping
from edgecheck.inputs.name_guess import guess_heading, heading_words
from edgecheck.inputs.sites import load_sites

UNITS = pint.UnitRegistry()
PSF = UNITS.Quantity(1.0, "force_pound / foot**2").to("kilopascal").magnitude

THEIRS = """\
Roof inventory;north;;;;;;
Site No;Lat;Lng;Roof load (psf);Elev ft;unit;Owner;Room temp
R-1;36,105;-79,95;42,5;812;3;Fern & Co;50
R-2;36,2;-79,81;2000;640;4;Fern & Co;95
"""
MAPPING = """\
schema = 1
[[column]]
theirs = "Site  No"
ours = "site_id"
[[column]]
theirs = "Lat"
ours = "latitude_deg"
[[column]]
theirs = "Lng"
ours = "longitude_deg"
[[column]]
theirs = "Roof load (psf)"
ours = "roof_reserve_kpa"
unit = "lbs/sq ft"
[[column]]
theirs = "Elev ft"
ours = "elevation_ft"
[[column]]
theirs = "unit"
ignore = true
[[column]]
theirs = "Room temp"
ours = "extreme_dry_bulb_c"
factor = 0.5555555555555556
offset = -17.77777777777778
"""


@pytest.fixture
def files(tmp_path):
    def files(theirs=THEIRS, mapping=MAPPING):
        (tmp_path / "theirs.csv").write_text(theirs, encoding="utf-8")
        (tmp_path / "map.toml").write_text(mapping, encoding="utf-8")
        return tmp_path / "theirs.csv", tmp_path / "map.toml"

    return files


def faults_of(files, mapping):
    with pytest.raises(InputFaults) as caught:
        load_mapping(files(mapping=mapping)[1])
    return str(caught.value).splitlines()


# ------------------------------------------------------------------------------------------- using one


def test_their_columns_are_read_under_our_names(files):
    theirs, mapping = files()
    sites = load_sites(theirs, mapping=load_mapping(mapping))
    first, second = sites.sites
    assert sites.header_line == 2
    assert first.site_id == "R-1"
    assert first.number("latitude_deg") == 36.105
    assert first.number("roof_reserve_kpa") == pytest.approx(42.5 * PSF, rel=1e-12)
    assert first.number("elevation_m") == pytest.approx(812 * 0.3048, rel=1e-12)
    assert second.number("extreme_dry_bulb_c") == pytest.approx(35.0, abs=1e-9)
    assert sites.known["Roof load (psf)"] == "roof_reserve_kpa"
    assert sites.own_columns == ("unit", "Owner")
    assert not first.known("unit")
    assert sites.columns[0] == "Site No"
    assert sites.cells["Roof load (psf)"].tolist() == ["42,5", "2000"]
    assert sites.side_files["columns"].name == "map.toml"
    assert sites.lookalikes == {}


def test_faults_and_cautions_use_our_name_and_say_where_the_cell_stands(files):
    theirs, mapping = files()
    sites = load_sites(theirs, mapping=load_mapping(mapping))
    (fault,) = sites.sites[1].faults
    assert (fault.key, fault.value) == ("roof_reserve_kpa", "2000")
    assert fault.allowed.startswith("0 to 50 kPa is possible (95.76 kPa)")
    assert fault.allowed.endswith("(in the column 'Roof load (psf)')")
    (caution,) = sites.sites[0].cautions
    assert caution.column == "extreme_dry_bulb_c"
    assert caution.value == "50"
    assert caution.text == "50: degC? that would be 50.0 degC (in the column 'Room temp')"


def test_a_column_that_the_list_does_not_have(files):
    theirs, mapping = files(mapping=MAPPING.replace('"Lng"', '"Lngg"'))
    with pytest.raises(InputFaults) as caught:
        load_sites(theirs, mapping=load_mapping(mapping))
    lines = str(caught.value).splitlines()
    assert lines[0] == "map.toml, line 8, theirs: 'Lngg': the list has no such column; did you mean Lng?"
    assert "longitude_deg: the required column is missing" in lines[1]


def test_a_mapped_column_beside_ours(files):
    theirs, mapping = files(THEIRS.replace("Owner", "roof_reserve_psf"))
    with pytest.raises(
        InputFaults, match=r"Roof load \(psf\): the same quantity is also in roof_reserve_psf; keep one"
    ):
        load_sites(theirs, mapping=load_mapping(mapping))


def test_a_decimal_mark_is_taken_from_the_mapping(files):
    theirs = "site_id,latitude_deg,longitude_deg,Max kg\nA,36.1,-79.9,1.200\n"
    mapping = '[[column]]\ntheirs = "Max kg"\nours = "landlord_max_kg"\ndecimal = ","\n'
    list_path, map_path = files(theirs, mapping)
    site = load_sites(list_path, mapping=load_mapping(map_path)).sites[0]
    assert site.number("landlord_max_kg") == 1200.0
    assert site.cautions == ()


def test_a_heading_over_two_lines(files):
    theirs = 'site_id,latitude_deg,longitude_deg,"Roof\n load "\nA,36.1,-79.9,2\n'
    list_path, map_path = files(theirs, '[[column]]\ntheirs = "Roof load"\nours = "roof_reserve_kpa"\n')
    sites = load_sites(list_path, mapping=load_mapping(map_path))
    assert sites.sites[0].number("roof_reserve_kpa") == 2.0
    assert sites.columns[3] == "Roof\n load"


# ------------------------------------------------------------------------------------------- faults


@pytest.mark.parametrize(
    "entry, fault",
    [
        ('ours = "site_id"', "map.toml, line 1, column[1].theirs: is missing: heading of the column in the list"),
        ('theirs = "a"', "map.toml, line 1, column[1]: 'a': ours names the column that it is; or ignore = true"),
        ('theirs = "a"\nours = "roof_reserv_kpa"', "the site list has no such column; did you mean roof_reserve_kpa?"),
        ('theirs = "a"\nours = "roof_reserve_kpa"\nunits = "psf"', "units: 'psf': unknown key; did you mean unit?"),
        ('theirs = "a"\nours = "roof_reserve_kpa"\nunit = "feet"',
         "line 4, column[1].unit: 'feet': roof_reserve_kpa may be in kPa, psf, psi, Pa, kg/m2, t/m2; or give factor"),
        ('theirs = "a"\nours = "roof_reserve_psf"\nunit = "kPa"',
         "roof_reserve_psf is in psf; name roof_reserve_kpa, or leave unit out"),
        ('theirs = "a"\nours = "roof_reserve_psf"\nfactor = 2', "name roof_reserve_kpa beside factor and offset"),
        ('theirs = "a"\nours = "roof_reserve_kpa"\nunit = "psf"\nfactor = 2', "a unit, or factor and offset, not both"),
        ('theirs = "a"\nours = "roof_reserve_kpa"\nfactor = 0', "column[1].factor: '0': must be greater than 0"),
        ('theirs = "a"\nours = "roof_surface"\nunit = "psf"', "roof_surface is no number; leave unit out"),
        ('theirs = "a"\nours = "roof_reserve_kpa"\ndecimal = "x"', "'.' or ',' is allowed"),
        ('theirs = "a"\nours = "name"\nignore = true', "ignore = true goes without ours"),
        ('theirs = "a"\nignore = "yes"', "true or false is needed"),
    ],
)  # fmt: skip
def test_faults_of_an_entry(files, entry, fault):
    lines = faults_of(files, f"[[column]]\n{entry}\n")
    assert len(lines) == 1
    assert fault in lines[0]


def test_all_faults_are_told_at_once(files):
    lines = faults_of(
        files, 'schema = 2\ncolumns = 1\n[[column]]\ntheirs = "a"\nours = "x"\n[[column]]\nours = "name"\n'
    )
    assert len(lines) == 4


def test_nothing_is_mapped_twice(files):
    entries = [("a", "name"), ("a", "roof_reserve_kpa"), ("b", "roof_reserve_psf")]
    text = "".join(f'[[column]]\ntheirs = "{theirs}"\nours = "{ours}"\n' for theirs, ours in entries)
    lines = faults_of(files, text)
    assert [line.split(":")[0] for line in lines] == [
        "map.toml, line 2, column[1].theirs",
        "map.toml, line 5, column[2].theirs",
        "map.toml, line 6, column[2].ours",
        "map.toml, line 9, column[3].ours",
    ]


@pytest.mark.parametrize("text", ["column = 1\n", "[column]\ntheirs = 'a'\n"])
def test_entries_are_tables_of_their_own(files, text):
    assert "each column is a table of its own, [[column]]" in faults_of(files, text)[0]


def test_an_empty_mapping_maps_nothing(files):
    assert load_mapping(files(mapping="schema = 1\n")[1]).entries == ()


# ------------------------------------------------------------------------------------------- proposing one


FOREIGN = """\
Inventory of the north;;;;;;;;;;;;
Site No;Building name;Lat;Lng;Elev (ft);Roof capacity (psf);Roof load [psf];Roof finish;Clear length ft;\
Spare kVA;Owner;Drilling allowed?;Notes
R-1;Mill house;36,105;-79,95;812;42,5;20;dark;30;40;Fern & Co;no;
R-2;Quay 4;36,2;-79,81;640;30;25;gravel;24;25;Fern & Co;yes;call first
R-3;Salt gate;36,31;-79,7;702;55;20;light;40;;Mill Trust;no;
"""


def test_a_proposed_mapping_reads_the_list(files):
    theirs, _ = files(FOREIGN)
    text = propose_mapping(theirs)
    mapping = files(FOREIGN, text)[1]
    sites = load_sites(theirs, mapping=load_mapping(mapping))
    assert dict(sites.known) == {
        "Site No": "site_id",
        "Building name": "name",
        "Lat": "latitude_deg",
        "Lng": "longitude_deg",
        "Elev (ft)": "elevation_m",
        "Roof capacity (psf)": "roof_reserve_kpa",
        "Roof finish": "roof_surface",
        "Clear length ft": "free_length_m",
        "Spare kVA": "feed_kva",
        "Drilling allowed?": "penetrations_allowed",
    }
    first = sites.sites[0]
    assert first.number("free_length_m") == pytest.approx(30 * 0.3048, rel=1e-12)
    assert first.number("roof_reserve_kpa") == pytest.approx(42.5 * PSF, rel=1e-12)
    assert not sites.findings


def test_what_is_not_sure_is_a_comment_with_its_rivals(files):
    text = propose_mapping(files(FOREIGN)[0])
    part = text[text.index('# "Roof load [psf]"') :].split("\n\n")[0]
    assert part.splitlines()[1].startswith("# unsure: ")
    assert all(line.startswith("#") for line in part.splitlines())
    for rival in ("roof_reserve_kpa", "roof_design_imposed_kpa"):
        assert rival in part
    assert '# "Owner" (such as "Fern & Co", "Mill Trust"): nothing fits; it stays your own' in text
    assert '# "Notes" (such as "call first"): nothing fits' in text


def test_every_guess_says_why_and_how_sure(files):
    text = propose_mapping(files(FOREIGN)[0])
    entries = [part for part in text.split("\n\n") if "[[column]]" in part]
    assert len(entries) == 11
    for entry in entries:
        assert entry.splitlines()[1].split(":")[0] in ("# sure", "# likely", "# unsure")
        assert "cells looked at" in entry or "numbers looked at" in entry


def test_missing_required_columns_are_said(files):
    text = propose_mapping(files("No;Height\nA;12\nB;15\n")[0])
    assert "# Missing and required: latitude_deg. Latitude of the roof in decimal degrees" in text
    assert "# Missing and required: longitude_deg." in text
    assert "required: site_id" not in text


def test_our_own_columns_need_no_mapping(files):
    text = propose_mapping(files("site_id,latitude_deg,longitude_deg,Roof reserve kPa\nA,1,2,3\n")[0])
    assert '# "site_id" is one of our columns already.' in text
    document = tomllib.loads(text)
    assert document["column"] == [{"theirs": "Roof reserve kPa", "ours": "roof_reserve_kpa"}]


def test_the_look_of_values_decides_the_unit(files):
    rows = "".join(f"S-{at};36,{at + 1};-79,{at + 1};{30 + at}\n" for at in range(9))
    text = propose_mapping(files(f"No;Lat;Lon;Roof capacity\n{rows}")[0])
    part = text[text.index('# "Roof capacity"') :]
    assert '# unit = "psf"' in part
    assert "of the numbers looked at are usual in psf, 0% in kPa" in part


def test_a_unit_of_another_kind_is_no_match(files):
    text = propose_mapping(files("No;Lat;Lon;Roof capacity (kVA)\nA;36,1;-79,9;40\n")[0])
    assert (
        "roof_reserve_kpa" not in text.split('# "Roof capacity (kVA)"')[1].split("\n\n")[0].splitlines()[-1]
    )
    assert tomllib.loads(text)["column"][-1]["ours"] != "roof_reserve_kpa"


def test_coordinates_are_known_by_their_letters(files):
    rows = "".join(f'S-{at};"36\u00b006\'{at}0""N";"79\u00b057\'{at}0""W"\n' for at in range(5))
    document = tomllib.loads(propose_mapping(files(f"No;First;Second\n{rows}")[0]))
    assert {entry["theirs"]: entry["ours"] for entry in document["column"]} == {
        "No": "site_id",
        "First": "latitude_deg",
        "Second": "longitude_deg",
    }


def test_a_workbook_with_dates(tmp_path):
    book = Workbook()
    book.active.title = "Liste"
    book.active.append(["Asset ID", "Latitude", "Longitude", "Last survey", "Crane access?"])
    for at in range(4):
        book.active.append([at, 36.0 + at, -79.0 - at, dt.date(2024, 5, 3 + at), at % 2 == 0])
    path = tmp_path / "theirs.xlsx"
    book.save(path)
    text = propose_mapping(path)
    assert text.startswith('# Columns of theirs.xlsx, sheet "Liste", headings on line 1.')
    found = {entry["theirs"]: entry["ours"] for entry in tomllib.loads(text)["column"]}
    assert found == {
        "Asset ID": "site_id",
        "Latitude": "latitude_deg",
        "Longitude": "longitude_deg",
        "Last survey": "survey_date",
        "Crane access?": "crane_access",
    }


def test_two_columns_are_never_mapped_to_one(files):
    text = propose_mapping(files("Site No;Site ID;Lat;Latitude;Lon;Long\nA;B;36;37;-79;-80\n")[0])
    lines = [line.removeprefix("# ") for line in text.splitlines()]
    ours = [line for line in lines if line.startswith("ours = ")]
    assert len(ours) == len(set(ours))


@pytest.mark.parametrize(
    "heading, words, unit",
    [
        ("Roof load (psf)", {"site", "load"}, "psf"),
        ("RoofLoadPSF", {"site", "load"}, "psf"),
        ("roof_load_psf", {"site", "load"}, "psf"),
        ("Roof load in psf", {"site", "load"}, "psf"),
        ("Roof load, psf", {"site", "load"}, "psf"),
        ("Noise limit night dB(A)", {"sound", "maximum", "night"}, "dba"),
        ("Joist spacing (in)", {"joist", "spacing"}, "in"),
        ("IT load kW", {"it", "load"}, "kW"),
        ("kVA available", {"reserve"}, "kVA"),
        ("Site (old)", {"site", "old"}, ""),
        ("Long", {"longitude"}, ""),
    ],
)
def test_words_and_unit_of_a_heading(heading, words, unit):
    found, named = heading_words(heading)
    assert (set(found), named) == (words, unit)


@pytest.mark.parametrize(
    "heading, column",
    [
        ("SITE_REF", "site_id"),
        ("lattitude", "latitude_deg"),
        ("GPS Longitude", "longitude_deg"),
        ("GroundElevation_m", "elevation_m"),
        ("Max weight lbs", "landlord_max_kg"),
        ("Parapet ht (in)", "parapet_height_m"),
        ("Beam span ft", "member_span_m"),
        ("Bldg. height (ft)", "building_top_agl_m"),
        ("Dist. to neighbour (m)", "neighbour_distance_m"),
        ("Phase", "feed_phases"),
        ("IT load kW", "it_load_kw"),
    ],
)
def test_the_best_candidate_of_a_heading(heading, column):
    assert guess_heading(heading).candidates[0].column == column


@pytest.mark.parametrize("heading", ["Telephone", "", "???", "12"])
def test_headings_that_say_nothing(heading):
    assert guess_heading(heading).candidates == ()
