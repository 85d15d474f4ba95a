"""Tables and records of a run."""

import csv
import io
import json
from types import SimpleNamespace

import numpy as np
import pandas as pd
import pytest
import xarray as xr
from hypothesis import given
from hypothesis import strategies as st
from result_factory import NEED, make_result, make_unusable, with_gaps

from edgecheck.checks.declarations import CHECKS
from edgecheck.inputs.spreadsheet_text import protect, unprotect
from edgecheck.inputs.verdict_columns import VERDICT_COLUMNS
from edgecheck.outputs import records, tables

# Columns that readers of hourly.csv rely on, at least these and in this order.
HOURLY_COLUMNS = [
    "time", "temp_air_c", "roof_c", "inlet_air_c", "equivalent_inlet_c", "condensing_c", "it_kw", "pump_heat_kw",
    "solar_kw", "envelope_kw", "longwave_kw", "load_kw", "capacity_kw", "headroom_kw", "service_headroom_kw",
    "liquid_c", "input_kw", "binding",
]  # fmt: skip


@pytest.fixture(scope="module")
def result():
    return make_result()


def rows_of(text):
    return list(csv.reader(io.StringIO(text)))


def site_list(rows, columns=("site_id", "Landlord", "verdict")):
    return SimpleNamespace(columns=columns, cells=pd.DataFrame(rows, columns=list(columns), dtype=object))


def test_verdicts_carry_the_list_as_written_and_then_our_columns(result):
    written = [["R-001", '=cmd|"x"', "  as, it; is "], ["R-009", "-5", ""]]
    text = tables.verdict_table(site_list(written), [result, make_unusable()], {2: 1, 10: 2}, {2: "R-001"})
    header, *rows = rows_of(text)
    assert header == ["site_id", "Landlord", "own_verdict", *VERDICT_COLUMNS]
    assert [unprotect(cell) for cell in rows[0][:3]] == written[0]
    assert rows[0][1] == '\'=cmd|"x"'
    assert rows[1][:3] == written[1]
    record = dict(zip(header, rows[0], strict=True))
    assert record["verdict"] == "no-go"
    assert record["rank"] == "1"
    assert record["roof"] == "no-go"
    assert record["conditions"] == "; ".join(result.conditions)
    assert record["defaults_used"] == "recirculation; inlet_roof_mixing"
    assert float(record["headroom_share"]) == pytest.approx(result.figures["headroom_share"], rel=1e-8)
    assert record["asks_ampere"] == ""
    assert record["folder"] == "R-001"


def test_unusable_row_keeps_its_place_with_its_reasons(result):
    text = tables.verdict_table(site_list([["R-009", "", ""]]), [make_unusable()], {10: 1}, {})
    header, row = rows_of(text)
    record = dict(zip(header, row, strict=True))
    assert record["verdict"] == "unusable"
    assert "latitude_deg" in record["reason"]
    assert [record[name] for name in ("heat", "headroom_kw", "folder")] == ["", "", ""]


def test_one_result_a_row_is_asked_for(result):
    with pytest.raises(ValueError, match="1 results for 2 rows"):
        tables.verdict_table(site_list([["a", "", ""], ["b", "", ""]]), [result], {}, {})


@pytest.mark.parametrize(
    ("text", "written"), [("+1", "+1"), ("-x", "'-x"), ("@a", "'@a"), ("\tx", "'\tx"), ("a=b", "a=b")]
)
def test_formulas_are_protected_and_numbers_are_not(text, written):
    assert rows_of(tables.csv_text(["heading"], [[text]]))[1] == [written]


@given(st.lists(st.text(st.sampled_from("ab\",;\n\r '=+-1")), min_size=2, max_size=5))
def test_lines_are_those_of_the_csv_module(texts):
    safe = [protect(text) for text in texts]
    out = io.StringIO()
    csv.writer(out, lineterminator="\r\n").writerow(safe)
    assert tables.csv_line(texts) == out.getvalue().removesuffix("\r\n") + "\n"
    assert next(csv.reader(io.StringIO(tables.csv_line(texts), newline=""))) == safe


def test_headings_are_protected_too():
    assert rows_of(tables.csv_text(["=a"], []))[0] == ["'=a"]


def test_checks_table_has_a_line_a_check_with_its_need_and_source(result):
    header, *rows = rows_of(tables.checks_table(result, NEED))
    assert header == [
        "id", "title", "group", "need", "status", "demand", "limit", "utilisation", "spare", "unit",
        "governed_by", "missing", "assumed", "basis", "confidence", "note",
    ]  # fmt: skip
    assert [row[0] for row in rows] == [check.id for check in result.checks]
    record = {row[0]: dict(zip(header, row, strict=True)) for row in rows}
    declared = {check.id: check for check in CHECKS}
    assert record["roof.load"]["need"] == "required"
    assert float(record["roof.load"]["demand"]) == 3.56
    assert float(record["roof.load"]["utilisation"]) == pytest.approx(3.56 / 2.4, rel=1e-8)
    assert record["roof.load"]["basis"] == declared["roof.load"].basis
    assert record["roof.point-load"]["limit"] == ""
    assert record["roof.point-load"]["missing"] == "roof_reserve_point_kn"


def test_hourly_table_has_units_in_its_names_and_nothing_where_unknown(result):
    gaps = with_gaps(result.hourly)
    header, *rows = rows_of(tables.hourly_table(gaps))
    assert header == [*HOURLY_COLUMNS, "temp_dew_c"]
    assert len(rows) == 8760
    assert rows[0][0] == "2001-01-01 00:00"
    unknown = int(np.flatnonzero(np.isnan(gaps["capacity"].to_numpy()))[0])
    assert rows[unknown][header.index("capacity_kw")] == ""
    assert rows[unknown][header.index("binding")] == "beyond-table"
    place = header.index("load_kw")
    loads = np.array([float(row[place]) for row in rows])
    np.testing.assert_allclose(loads, gaps["load"].to_numpy() / 1000.0, atol=0.5e-4)
    assert "nan" not in tables.hourly_table(gaps)


def test_no_negative_zero_in_hourly_data():
    time = np.array(["2001-01-01T00:00"], dtype="datetime64[m]")
    data = xr.Dataset({"solar": ("time", [-0.01])}, coords={"time": time})
    assert rows_of(tables.hourly_table(data))[1] == ["2001-01-01 00:00", "0.0000"]


def test_netcdf_comes_back_with_units_and_the_same_hours(result):
    gaps = with_gaps(result.hourly)
    with xr.open_dataset(io.BytesIO(tables.hourly_netcdf(gaps)), engine="scipy") as back:
        assert list(back["time"].to_numpy().astype("datetime64[m]")[:2]) == list(gaps["time"].to_numpy()[:2])
        np.testing.assert_allclose(back["capacity_kw"], gaps["capacity"].to_numpy() / 1000.0, rtol=1e-12)
        assert back["capacity_kw"].attrs["units"] == "kW"
        assert back["temp_air_c"].attrs["units"] == "degC"
        assert back.attrs["utc_offset_h"] == -5.0
        assert list(back["binding"].to_numpy().astype(str)) == list(gaps["binding"].to_numpy())


def test_site_json_is_the_result_without_hourly_data(result):
    record = json.loads(records.site_json(result))
    assert record["schema"] == 1
    assert record["asks"]["asks_ampere"] is None
    assert record["checks"] == json.loads(json.dumps(result.to_dict()["checks"]))
    assert "hourly" not in record


def test_run_record_forgets_where_it_ran():
    words = ["screen", "/data/a/roofs.csv", "--unit", "units/heron.toml", "--weather=C:\\w\\x.epw", "--jobs", "4",
             "--out=/tmp/x", "--overwrite", "--hourly", "--criteria", "full"]  # fmt: skip
    record = records.run_record(
        version="0.1.0", command=words, inputs=[], criteria={"name": "full"}, defaults={},
        counts={"sites": 2, "usable": 1},
    )  # fmt: skip
    assert record["command"] == [
        "screen", "roofs.csv", "--unit", "heron.toml", "--weather=x.epw", "--hourly", "--criteria", "full",
    ]  # fmt: skip
    assert record["counts"] == {"sites": 2, "usable": 1}
    assert json.loads(records.run_json(record)) == record


def test_a_site_id_with_a_slash_stays_in_the_recorded_command():
    assert records.recorded_command(["site", "x/list.csv", "a/b"]) == ["site", "list.csv", "a/b"]


def test_run_log_is_known_as_ours():
    assert records.is_run_log(records.run_log_json({"jobs": 2}))
    assert not records.is_run_log("{}")
    assert not records.is_run_log("[1]")
    assert not records.is_run_log("no json")
