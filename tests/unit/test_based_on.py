"""A unit file based on another: what merges, what is replaced, what may be named, whose line is shown."""

import shutil

import pytest
from unit_files import line_of, only_fault

from edgecheck.inputs.unit import load_unit


def test_a_fault_of_the_parent_names_the_parent(change, folder):
    path = change(("emissivity = 0.90", "emissivity = 1.90"))
    fault = only_fault(folder / "unit-dry-cooler.toml")
    assert fault.file == "unit.toml"
    assert fault.where == f"line {line_of(path, 'emissivity')}"


def test_a_key_missing_in_a_replaced_table_is_not_taken_from_the_parent(change):
    path = change(("restart_delay_min = 1.0\n", ""), file="unit-dry-cooler.toml")
    fault = only_fault(path)
    assert (fault.file, fault.key) == ("unit-dry-cooler.toml", "cooling.restart_delay_min")
    assert fault.where == f"line {line_of(path, '[cooling]')}"


def test_a_table_of_the_same_kind_merges(folder):
    path = folder / "warm.toml"
    path.write_text('name = "Warm"\nbased_on = "unit.toml"\n[cooling]\nkind = "chiller"\nfouling = 0.2\n')
    unit = load_unit(path)
    assert unit.cooling.fouling == 0.2
    assert unit.cooling.condensing_max_c == 66.0
    path.write_text('name = "Warm"\nbased_on = "unit.toml"\n[cooling]\nfouling = 0.3\n')
    assert load_unit(path).cooling.fouling == 0.3


def test_a_parent_in_a_folder_below(folder):
    (folder / "makers").mkdir()
    shutil.move(folder / "unit.toml", folder / "makers" / "unit.toml")
    path = folder / "mine.toml"
    path.write_text('name = "Mine"\nbased_on = "makers/unit.toml"\n')
    assert load_unit(path).servers.load_kw == 6.0


@pytest.mark.parametrize(
    "named, why",
    [
        ('"../unit.toml"', "must lie in this file's folder or below it"),
        ('"sub/../../unit.toml"', "must lie in this file's folder or below it"),
        ('"nowhere.toml"', "there is no such file in this file's folder"),
        ('"mine.toml"', "a file cannot be based on itself"),
        (
            '"unit-dry-cooler.toml"',
            "unit-dry-cooler.toml is itself based on 'unit.toml'; one level is allowed",
        ),
        ("3", "the name of a unit file in the same folder is needed"),
    ],
)
def test_what_based_on_may_not_name(folder, named, why):
    shutil.copy(folder / "unit.toml", folder.parent / "unit.toml")
    path = folder / "mine.toml"
    path.write_text(f'name = "Mine"\n\nbased_on = {named}\n')
    fault = only_fault(path)
    assert (fault.file, fault.where, fault.key) == ("mine.toml", "line 3", "based_on")
    assert why in fault.allowed


def test_an_absolute_parent_and_a_link_out_of_the_folder(folder, tmp_path_factory):
    outside = tmp_path_factory.mktemp("outside") / "unit.toml"
    shutil.copy(folder / "unit.toml", outside)
    path = folder / "mine.toml"
    path.write_text(f'name = "Mine"\nbased_on = "{outside.as_posix()}"\n')
    assert "must lie in this file's folder" in only_fault(path).allowed
    (folder / "link.toml").symlink_to(outside)
    path.write_text('name = "Mine"\nbased_on = "link.toml"\n')
    assert "must lie in this file's folder" in only_fault(path).allowed


def test_two_files_based_on_each_other(folder):
    (folder / "a.toml").write_text('name = "a"\nbased_on = "b.toml"\n')
    (folder / "b.toml").write_text('name = "b"\nbased_on = "a.toml"\n')
    assert "b.toml is itself based on 'a.toml'" in only_fault(folder / "a.toml").allowed
