"""Reading the unit file: every fault with its line, kinds of cooling section, defaults with their reasons."""

import hashlib
import re

import pytest
from unit_files import EXAMPLES, faults, line_of, only_fault

from edgecheck.inputs.cooling import KINDS, Chiller, ChillerWithEconomiser, DryCooler
from edgecheck.inputs.unit import load_unit
from edgecheck.inputs.unit_records import TABLES

# ------------------------------------------------------------------------------------------- the examples


def test_the_example_unit():
    unit = load_unit(EXAMPLES / "unit.toml")
    assert unit.name == "Heron 6"
    assert isinstance(unit.cooling, Chiller)
    assert unit.body.length_m == 1.2
    assert unit.mass.feet_m[2] == (1.14, 0.74)
    assert unit.liquid.service_max_c == 48.0
    assert unit.servers.load_kw == 6.0
    assert unit.cooling.rating_point == (40.0, 35.0)
    assert unit.cooling.capacity_kw[3] == (12.0, 11.5, 11.0, 10.3, 9.3, 8.2)
    assert unit.cooling.high_pressure_reset == "automatic"
    assert unit.electrical is not None
    assert unit.electrical.phases == 1
    assert unit.clearance.discharge_m == 1.5
    assert unit.qualification.climate_class == "4.1"
    assert unit.schema_version == 1
    assert unit.defaults_used == ()
    assert [note.code for note in unit.notes] == ["unit-head-space"]
    digest = hashlib.sha256((EXAMPLES / "unit.toml").read_bytes()).hexdigest()
    assert [(source.name, source.sha256) for source in unit.source_files] == [("unit.toml", digest)]


def test_the_example_with_a_dry_cooler_takes_the_rest_from_its_parent():
    unit = load_unit(EXAMPLES / "unit-dry-cooler.toml")
    assert isinstance(unit.cooling, DryCooler)
    assert unit.name == "Heron 6 dry"
    assert unit.mass.dry_kg == 132.0
    assert unit.mass.servers_kg == 38.0
    assert unit.liquid.setpoint_c == 45.0
    assert unit.liquid.shutdown_c == 70.0
    assert unit.cooling.conductance_kw_k == 0.75
    assert unit.electrical is not None
    assert unit.electrical.starting_ampere == 6.0
    assert unit.electrical.compressor_start == "soft"
    assert [source.name for source in unit.source_files] == ["unit-dry-cooler.toml", "unit.toml"]


def test_a_unit_cannot_be_changed():
    unit = load_unit(EXAMPLES / "unit.toml")
    with pytest.raises(ValueError, match="frozen"):
        unit.body.length_m = 2.0


@pytest.mark.parametrize("model", [*TABLES.values(), *KINDS.values()])
def test_every_default_with_a_value_has_a_reason(model):
    for name, field in model.model_fields.items():
        if (
            not field.is_required()
            and field.default is not None
            and name not in ("sections", "servers_input")
        ):
            assert field.json_schema_extra["reason"], name


# ------------------------------------------------------------------------------------------- faults of keys


def test_an_unknown_key_is_named_with_its_line_and_the_nearest_known_one(change):
    path = change(("emissivity = 0.90", "emisivity = 0.90"))
    fault = only_fault(path)
    assert fault.file == "unit.toml"
    assert fault.where == f"line {line_of(path, 'emisivity')}"
    assert fault.key == "body.emisivity"
    assert fault.value == "0.9"
    assert fault.allowed == "unknown key; did you mean emissivity?"


def test_unknown_tables_and_plain_keys(change):
    found = faults(
        change(("[clearance]", "[clearence]"), ('name = "Heron 6"', 'name = "Heron 6"\nmakr = "x"'))
    )
    assert [(fault.key, fault.allowed) for fault in found] == [
        ("makr", "unknown key"),
        ("clearence", "unknown key; did you mean clearance?"),
    ]


def test_all_faults_are_reported_at_once(change):
    found = faults(
        change(
            ("length_m = 1.20", "length_m = -1.20"),
            ("servers_kg = 38.0", 'servers_kg = "many"'),
            ("volume_litre = 118.0\n", ""),
            ("load_kw = 6.0", "load_kw = nan"),
            ("fouling = 0.10", "fouling = 1.5"),
            ("phases = 1", "phases = 2"),
            ('climate_class = "4.1"', "climate_class = 4.1"),
        )
    )
    texts = {fault.key: fault.allowed for fault in found}
    assert texts == {
        "body.length_m": "must be greater than 0 (length along the front, m)",
        "mass.servers_kg": "a number is needed (servers, kg)",
        "liquid.volume_litre": "is missing: liquid in tank and circuit, litre",
        "servers.load_kw": "a finite number is needed (electrical power, kW)",
        "cooling.fouling": "must be less than 1 (share of the air side's heat transfer lost between cleanings)",
        "electrical.phases": "1 or 3 is allowed (phases)",
        "qualification.climate_class": "text in quotes is needed (environmental class, such as 4.1)",
    }
    assert all(fault.where.startswith("line ") for fault in found)


@pytest.mark.parametrize("value", ["true", "inf", "-inf", "nan", '"6"', "[6.0]"])
def test_what_is_no_number(change, value):
    fault = only_fault(change(("load_max_kw = 9.0", f"load_max_kw = {value}")))
    assert fault.key == "servers.load_max_kw"
    assert "number is needed" in fault.allowed


@pytest.mark.parametrize(
    "key, why",
    [
        ("liquid_basis", "which liquid temperature the rating table is on; the two are several kelvin apart"),
        ("capacity_basis", "otherwise that heat would count twice or not at all"),
        ("rating_point", "without it the condensing temperature cannot be worked out"),
        ("liquid_flow_kg_s", "without it arriving and leaving liquid temperature"),
    ],
)
def test_data_sheet_conventions_have_no_default(folder, key, why):
    path = folder / "unit.toml"
    path.write_text(re.sub(rf"^{key} = .*\n", "", path.read_text(), flags=re.MULTILINE))
    fault = only_fault(path)
    assert fault.key == f"cooling.{key}"
    assert fault.where == f"line {line_of(path, '[cooling]')}"
    assert fault.allowed.startswith("is missing: ")
    assert why in fault.allowed


def test_a_missing_table_and_a_value_in_its_place(change):
    found = [fault.text() for fault in faults(change(("[servers]", "[clearance.servers]")))]
    assert "unit.toml, servers: the table is missing" in found
    path = change(("[clearance.servers]", "[servers]"), ('name = "Heron 6"', 'name = "Heron 6"\nbody = 3'))
    path.write_text(re.sub(r"(?s)\[body\].*?(?=\[mass\])", "", path.read_text()))
    fault = only_fault(path)
    assert (fault.key, fault.value, fault.allowed) == ("body", "3", "must be a table, [body]")


def test_a_nested_table_names_its_own_keys(change):
    path = change(
        ("[servers]", "[liquid.properties]\ndensity_kg_m = 800.0\nheat_capacity_j_kg_k = 2100.0\n\n[servers]")
    )
    found = {fault.key: fault for fault in faults(path)}
    assert found["liquid.properties.density_kg_m"].allowed == "unknown key; did you mean density_kg_m3?"
    assert found["liquid.properties.density_kg_m"].where == f"line {line_of(path, 'density_kg_m')}"
    assert found["liquid.properties.density_kg_m3"].allowed == "is missing: density at reference_c, kg/m3"


def test_a_liquid_of_the_file(change):
    unit = load_unit(
        change(
            ("[servers]", "[liquid.properties]\ndensity_kg_m3 = 800\nheat_capacity_j_kg_k = 2100\n[servers]")
        )
    )
    assert unit.liquid.properties is not None
    assert unit.liquid.properties.density_kg_m3 == 800.0
    assert [used.key for used in unit.defaults_used] == ["liquid.properties.reference_c"]


def test_a_file_that_is_no_toml(change):
    path = change(("height_m = 1.15", "height_m = 1,15"))
    fault = only_fault(path)
    assert fault.where == f"line {line_of(path, 'height_m')}"
    assert fault.allowed.startswith("this is not valid TOML")


def test_a_key_twice_and_a_file_that_is_not_there(change, tmp_path):
    path = change(("depth_m = 0.80", "depth_m = 0.80\ndepth_m = 0.90"))
    assert "not valid TOML" in only_fault(path).allowed
    assert only_fault(tmp_path / "none.toml").text() == "none.toml: cannot be read: No such file or directory"


def test_text_that_is_not_utf_8(folder):
    path = folder / "unit.toml"
    path.write_bytes(path.read_bytes().replace(b"Heron 6", b"Heron \xfc"))
    assert only_fault(path).text() == f"unit.toml, line {line_in_bytes(path)}: the text is not UTF-8"


def line_in_bytes(path):
    return path.read_bytes().split(b"\xfc")[0].count(b"\n") + 1


def test_another_schema(change):
    assert only_fault(change(("schema = 1", "schema = 2"))).allowed == "this program reads schema 1"


# ------------------------------------------------------------------------------------------- kinds


def test_an_unknown_kind(change):
    fault = only_fault(change(('kind = "chiller"', 'kind = "chiler"')))
    assert (fault.key, fault.value) == ("cooling.kind", "chiler")
    assert fault.allowed == (
        "chiller, dry-cooler or chiller-with-economiser is allowed; did you mean chiller?"
    )


def test_a_key_of_another_kind_is_an_error(change):
    path = change(
        ("coil_bypass = true", "coil_bypass = true\ncondensing_max_c = 66.0"), file="unit-dry-cooler.toml"
    )
    fault = only_fault(path)
    assert fault.file == "unit-dry-cooler.toml"
    assert fault.where == f"line {line_of(path, 'condensing_max_c')}"
    assert fault.allowed == (
        "a dry-cooler does not use this key; it belongs to chiller or chiller-with-economiser"
    )


ECONOMISER = """kind = "chiller-with-economiser"
coil_air = "before-condenser"
coil_conductance_kw_k = 0.6
coil_airflow_m3_s = 1.3
coil_fan_kw = 0.0
coil_air_side_share = 0.45"""


def test_a_chiller_with_economiser(change):
    unit = load_unit(change(('kind = "chiller" ', ECONOMISER + " ")))
    assert isinstance(unit.cooling, ChillerWithEconomiser)
    assert unit.cooling.changeover_k == 5.0
    assert unit.cooling.capacity_kw[0][0] == 7.4
    assert unit.cooling.coil_air_min_c == unit.cooling.inlet_air_min_c
    assert [used.key for used in unit.defaults_used] == [
        "cooling.coil_air_min_c",
        "cooling.coil_air_exponent",
        "cooling.coil_rating_air_density_kg_m3",
        "cooling.changeover_k",
    ]


def test_variable_speed_needs_its_least_stage(change):
    path = change(('part_load = "on-off"', 'part_load = "variable-speed"'))
    fault = only_fault(path)
    assert fault.key == "cooling.capacity_min_share"
    assert fault.allowed.startswith("is missing: the least share of full capacity")
    unit = load_unit(change(("control_band_k", "capacity_min_share = 0.25\ncontrol_band_k")))
    assert {used.key for used in unit.defaults_used} == {"cooling.part_load_offset", "cooling.fan_control"}


# ------------------------------------------------------------------------------------------- defaults


def test_defaults_are_listed_with_their_reasons(change):
    unit = load_unit(
        change(
            ("condensing_margin_k = 3.0", ""),
            ('high_pressure_reset = "automatic"', ""),
            ("natural_circulation_share = 0.40", ""),
            ("restart_c = 45.0", ""),
            ("cg_tolerance_m = 0.05", ""),
            ("centre_of_gravity_drained_m = [0.62, 0.42, 0.52]", ""),
        )
    )
    used = {default.key: (default.value, default.reason) for default in unit.defaults_used}
    assert set(used) == {
        "liquid.restart_c",
        "mass.centre_of_gravity_drained_m",
        "mass.cg_tolerance_m",
        "liquid.natural_circulation_share",
        "cooling.condensing_margin_k",
        "cooling.high_pressure_reset",
    }
    assert used["liquid.restart_c"] == (45.0, "engineering default: setpoint + 5 K")
    assert used["mass.centre_of_gravity_drained_m"][0] == pytest.approx((0.62, 0.41, 0.47 + 0.2 * 1.15))
    assert unit.mass.centre_of_gravity_drained_m == pytest.approx((0.62, 0.41, 0.70))
    assert used["cooling.high_pressure_reset"][0] == "unknown"
    assert "counts as manual" in used["cooling.high_pressure_reset"][1]


@pytest.mark.parametrize(
    "file, given, value, reason",
    [
        ("unit.toml", "service_max_c = 48.0", 40.0, "the setpoint, because a chiller holds it"),
        ("unit-dry-cooler.toml", "service_max_c = 54.0", 53.0, "alarm - 5 K (engineering default)"),
    ],
)
def test_service_max_without_a_value(folder, change, file, given, value, reason):
    change(("service_max_c = 48.0", ""))
    if file != "unit.toml":
        change((given, ""), file=file)
    path = folder / file
    unit = load_unit(path)
    assert unit.liquid.service_max_c == value
    assert [(note.code, note.level) for note in unit.notes] == [
        ("unit-service-max", "info"),
        ("unit-head-space", "info"),
    ]
    assert unit.notes[0].text.endswith(f"{value:g} degC is used: {reason}")
    assert ("liquid.service_max_c", value, reason) in [(d.key, d.value, d.reason) for d in unit.defaults_used]
