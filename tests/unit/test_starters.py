"""Starter files: each is read by the reader of its kind, says everything, and is never written over a file."""

import os
import re
import tomllib

import pytest

from edgecheck.base.errors import FolderRefused
from edgecheck.inputs.assumed_values import apply_assumptions
from edgecheck.inputs.assumptions import load_assumptions
from edgecheck.inputs.check_ids import CHECK_IDS
from edgecheck.inputs.columns import COLUMNS
from edgecheck.inputs.cooling import KINDS
from edgecheck.inputs.criteria import TABLES as CRITERIA_TABLES
from edgecheck.inputs.criteria import load_criteria
from edgecheck.inputs.sites import load_sites
from edgecheck.inputs.starters import STARTERS, starter
from edgecheck.inputs.unit import load_unit
from edgecheck.inputs.unit_records import TABLES as UNIT_TABLES
from edgecheck.inputs.unit_records import LiquidProperties
from edgecheck.outputs.starters import write_new, write_starter


def without_marks(text):
    """The text with the mark taken away from every line that is a setting or a table."""
    return re.sub(r'(?m)^# (?=\[|"?[\w.-]+"? = )', "", text)


def keys_in(text):
    return set(re.findall(r"(?m)^(?:# )?([a-z_0-9]+) = ", text))


@pytest.fixture
def written(tmp_path):
    return {kind: write_starter(kind, tmp_path) for kind in STARTERS}


@pytest.mark.parametrize("kind", STARTERS)
def test_every_line_is_short_and_ends_plainly(kind):
    text = starter(kind)
    assert text.endswith("\n")
    assert not text.endswith("\n\n")
    assert "\r" not in text
    assert all(len(line) <= 120 for line in text.splitlines() if kind != "sites")


def test_there_is_no_other_kind():
    with pytest.raises(KeyError):
        starter("site")


# ------------------------------------------------------------------------------------------------ sites


def test_the_list_is_read_without_a_doubt(written):
    sites = load_sites(written["sites"])
    full, bare = sites.usable
    assert sites.unusable == ()
    assert not full.cautions + bare.cautions
    assert sites.own_columns == ("Landlord",)
    assert sites.lookalikes == {}
    assert {note.code for note in sites.notes} <= {"list-not-used-yet"}
    assert all(site.site_id.startswith("EXAMPLE") and "delete this row" in site.name for site in sites.sites)
    assert set(bare.values) == {"site_id", "name", "latitude_deg", "longitude_deg"}
    assert not full.unassessable


def test_the_list_has_the_useful_columns_in_their_order(written):
    head = starter("sites").splitlines()[0].split(",")
    known = [name for name in head if name in COLUMNS]
    assert len(head) - len(known) == 1
    assert known == sorted(known, key=list(COLUMNS).index)
    assert 25 <= len(known) <= 40
    assert {name for name, column in COLUMNS.items() if column.required} < set(known)


# ------------------------------------------------------------------------------------------------- unit


def test_the_unit_is_read_and_nothing_in_it_is_a_default(written):
    unit = load_unit(written["unit"])
    assert unit.cooling.kind == "chiller"
    assert unit.notes == ()
    assert {default.key for default in unit.defaults_used} <= {"cooling.fan_control"}
    assert "invented" in unit.name


def test_the_unit_file_names_every_key():
    models = [*UNIT_TABLES.values(), *KINDS.values(), LiquidProperties]
    every = {key for model in models for key in model.model_fields} - {"properties", "fit"}
    text = starter("unit")
    assert every <= keys_in(text)
    assert keys_in(text) - every == {"schema", "name", "based_on"}
    assert "[liquid.properties]" in text


@pytest.mark.parametrize("kind", ["dry-cooler", "chiller-with-economiser"])
def test_the_other_kinds_are_valid_too(tmp_path, kind):
    text = starter("unit")
    head, dry, coil = re.split(r"(?m)^# -+ an? .*\n", text)
    if kind == "dry-cooler":
        before, _, rest = head.partition("[cooling]")
        after = rest[rest.index("[electrical]") :]
        made = before + without_marks(dry) + after
    else:
        made = head.replace('kind = "chiller"', f'kind = "{kind}"')
        made = made.replace("[electrical]", without_marks(coil) + "[electrical]")
    path = tmp_path / "other.toml"
    path.write_text(made)
    assert load_unit(path).cooling.kind == kind


@pytest.mark.parametrize("at, density", [(1, 835.0), (2, (860.0, 835.0, 810.0, 785.0))])
def test_a_liquid_of_ones_own_is_valid_too(tmp_path, at, density):
    """As values, and as a table over temperature."""
    head, rest = starter("unit").split("[servers]", 1)
    parts = head.split("# [liquid.properties]")
    path = tmp_path / "own.toml"
    own = "[liquid.properties]" + without_marks(parts[at])
    path.write_text(parts[0] + own + "[servers]" + rest)
    assert load_unit(path).liquid.properties.density_kg_m3 == density


# --------------------------------------------------------------------------------------------- criteria


def test_the_criteria_change_nothing_until_a_line_is_taken(written):
    full, read = load_criteria(), load_criteria(written["criteria"])
    assert read.values() == full.values()
    assert read.need == full.need
    assert set(read.origin.values()) == {"shipped"}


def test_the_criteria_say_every_shipped_value_and_reason(tmp_path):
    full = load_criteria()
    text = starter("criteria")
    document = tomllib.loads(without_marks(text))
    stated = {f"{table}.{key}": value for table in CRITERIA_TABLES for key, value in document[table].items()}
    assert stated == full.values()
    assert document["need"] == full.need
    assert tuple(document["need"]) == CHECK_IDS
    path = tmp_path / "all.toml"
    path.write_text(without_marks(text))
    assert set(load_criteria(path).origin.values()) == {"file"}
    plain = " ".join(text.replace("#", " ").split())
    for key in full.values():
        assert f"why: {full.reasons[key]}" in plain


# ------------------------------------------------------------------------------------------- assumptions


def test_the_assumptions_are_examples_until_a_line_is_taken(written, tmp_path):
    assert load_assumptions(written["assume"]).entries == ()
    path = tmp_path / "signed.toml"
    path.write_text(without_marks(starter("assume")))
    signed = load_assumptions(path)
    assert len(signed.entries) == 4
    assert not any(entry.caution for entry in signed.entries)
    filled = apply_assumptions(load_sites(written["sites"]), signed)
    full, bare = filled.sites
    assert not full.assumed
    assert set(bare.assumed) == {entry.key for entry in signed.entries}


# --------------------------------------------------------------------------------------------- writing


def test_a_folder_gets_the_usual_name(written, tmp_path):
    assert {kind: path.name for kind, path in written.items()} == STARTERS
    assert all(path.parent == tmp_path for path in written.values())


def test_what_is_written_is_the_text(written):
    for kind, path in written.items():
        data = path.read_bytes()
        assert data.startswith(b"\xef\xbb\xbf") == (kind == "sites")
        assert data.decode("utf-8-sig") == starter(kind)


def test_the_current_folder_without_a_path(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert write_starter("unit").resolve() == tmp_path / "unit.toml"


def test_folders_on_the_way_are_made(tmp_path):
    path = write_starter("criteria", tmp_path / "a" / "b" / "mine.toml")
    assert path == tmp_path / "a" / "b" / "mine.toml"
    assert path.is_file()


def test_a_file_is_never_written_over(tmp_path):
    path = tmp_path / "unit.toml"
    path.write_text("mine")
    for target in (path, tmp_path):
        with pytest.raises(FolderRefused, match="exists already and is left as it is") as caught:
            write_starter("unit", target)
        assert caught.value.exit_code == 2
    assert path.read_text() == "mine"


def test_a_link_is_not_followed(tmp_path):
    (tmp_path / "link.toml").symlink_to(tmp_path / "elsewhere.toml")
    with pytest.raises(FolderRefused):
        write_starter("unit", tmp_path / "link.toml")
    assert not (tmp_path / "elsewhere.toml").exists()


def test_a_file_in_the_place_of_a_folder(tmp_path):
    (tmp_path / "file").write_text("")
    with pytest.raises(FolderRefused, match=r"file: cannot be made"):
        write_starter("unit", tmp_path / "file" / "unit.toml")


def test_half_a_file_is_not_left_behind(tmp_path, monkeypatch):
    class Full:
        def __init__(self, file):
            self.file = file

        def __enter__(self):
            return self

        def __exit__(self, *_):
            self.file.close()

        def write(self, data):
            self.file.write(data[:3])
            raise OSError(28, os.strerror(28))

    opened = type(tmp_path).open
    monkeypatch.setattr(type(tmp_path), "open", lambda self, mode: Full(opened(self, mode)))
    with pytest.raises(FolderRefused, match="No space left"):
        write_new(tmp_path / "x.toml", "text", "x.toml")
    assert not (tmp_path / "x.toml").exists()
