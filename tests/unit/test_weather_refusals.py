"""Damaged weather files are refused with file, place and reason; no library's own error comes through."""

from collections.abc import Callable
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from weather_files import EPW_HEADER, WRITERS, Rows, clear_year, epw_rows, epw_text, tmy2_text, tmy3_text

from edgecheck.base.errors import WeatherRefused
from edgecheck.weather.read import read_weather

Lines = list[str]
FIRST = len(EPW_HEADER)  # index of the first data line; it is line 9 of the file


@cache
def clean(format: str) -> str:
    return WRITERS[format](clear_year())


def refusal(tmp_path: Path, data: bytes | str, name: str = "damaged.epw") -> WeatherRefused:
    path = tmp_path / name
    path.write_bytes(data.encode("utf-8") if isinstance(data, str) else data)
    with pytest.raises(WeatherRefused) as caught:
        read_weather(path)
    assert caught.value.file == name
    assert str(caught.value).startswith(name)
    return caught.value


def set_cell(line: str, field: int, text: str) -> str:
    fields = line.split(",")
    fields[field] = text
    return ",".join(fields)


def cells(lines: Lines, rows: range, field: int, text: str) -> Lines:
    return [set_cell(line, field, text) if i - FIRST in rows else line for i, line in enumerate(lines)]


def swapped(lines: Lines, one: int, other: int) -> Lines:
    lines = list(lines)
    lines[one], lines[other] = lines[other], lines[one]
    return lines


DAMAGE: dict[str, tuple[Callable[[Lines], Lines], str, str]] = {
    "cut-mid-row": (lambda x: [*x[:5000], x[5000][:40]], "cut off", "line 5001"),
    "cut-at-row": (
        lambda x: x[:5000],
        "3768 hours are missing, from month 7 day 28 hour 1",
        "4992 rows of 8760",
    ),
    "header-only": (lambda x: x[:FIRST], "no rows of data", "line 8"),
    "first-three-lines": (lambda x: x[:3], "GROUND TEMPERATURES is missing", ""),
    "no-location": (lambda x: x[1:], "LOCATION is missing", "line 1"),
    "no-ground": (lambda x: x[:3] + x[4:], "GROUND TEMPERATURES is missing", ""),
    "no-data-periods": (lambda x: x[:7] + x[8:], "DATA PERIODS is missing", ""),
    "header-twice": (lambda x: [*x[:2], *x[1:]], "DESIGN CONDITIONS occurs twice", "line 3"),
    "strange-header-line": (lambda x: [*x[:3], "hello", *x[3:]], "GROUND TEMPERATURES is missing", "line 4"),
    "text-in-dry-bulb": (lambda x: cells(x, range(100, 101), 6, "abc"), "dry bulb is 'abc'", "line 109"),
    "text-in-month": (lambda x: cells(x, range(5, 6), 1, "Jan"), "month is 'Jan'", "line 14"),
    "hours-0-to-23": (
        lambda x: x[:FIRST] + [set_cell(line, 3, str(int(line.split(",")[3]) - 1)) for line in x[FIRST:]],
        "hour is '0'; 1 to 24 is wanted",
        "line 9",
    ),
    "no-such-day": (lambda x: cells(x, range(1000, 1001), 2, "30"), "no day 30 in month 2", "line 1009"),
    "month-13": (lambda x: cells(x, range(1000, 1001), 1, "13"), "month is '13'", "line 1009"),
    "year-empty": (lambda x: cells(x, range(7, 8), 0, ""), "year is ''", "line 16"),
    "row-deleted": (lambda x: x[:3000] + x[3001:], "1 hour is missing", "8759 rows of 8760"),
    "day-deleted": (lambda x: x[:3008] + x[3032:], "24 hours are missing", "8736 rows"),
    "row-doubled": (lambda x: [*x[:3000], *x[2999:]], "1 hour occurs more than once", "lines 3000 and 3001"),
    "rows-swapped": (lambda x: swapped(x, 3000, 3050), "out of order", "line 3001"),
    "rows-reversed": (lambda x: x[:FIRST] + x[FIRST:][::-1], "out of order", "line 9"),
    "sentinel-in-dry-bulb": (
        lambda x: cells(x, range(4000, 4007), 6, "99.9"),
        "air temperature is missing for 7 hours on end",
        "lines 4009 to 4015",
    ),
    "dry-bulb-all-missing": (
        lambda x: cells(x, range(8760), 6, "99.9"),
        "air temperature is missing throughout",
        "",
    ),
    "radiation-missing": (lambda x: cells(x, range(8760), 14, "9999"), "beam irradiance is missing", ""),
    "no-irradiance": (
        lambda x: cells(cells(cells(x, range(8760), 13, "0"), range(8760), 14, "0"), range(8760), 15, "0"),
        "no irradiance",
        "",
    ),
    "decimal-comma-in-data": (
        lambda x: cells(x, range(50, 51), 6, "12,3"),
        "36 fields instead of 35",
        "line 59",
    ),
    "semicolons": (lambda x: x[:FIRST] + [line.replace(",", ";") for line in x[FIRST:]], "1 field", "line 9"),
    "35040-rows": (
        lambda x: x[:FIRST] + [line for line in x[FIRST:] for _ in range(4)],
        "occur more than once",
        "lines 9 and 10",
    ),
    "records-per-hour-wrong": (
        lambda x: [line.replace("PERIODS,1,1", "PERIODS,1,2") for line in x],
        "not 2 records to each hour",
        "8760 rows",
    ),
    "records-per-hour-text": (
        lambda x: [line.replace("PERIODS,1,1", "PERIODS,1,often") for line in x],
        "records per hour",
        "line 8",
    ),
    "too-few-fields": (lambda x: x[:FIRST] + [line[:60] for line in x[FIRST:]], "instead of 35", "line 9"),
}
LOCATIONS = {
    "decimal-commas": ("LOCATION,T,-,-,x,0,40,0,-105,0,-7,0,1600", "a number too many (-7)"),
    "decimal-comma-in-zone": ("LOCATION,T,-,-,x,0,40.0,-105.0,-7,0,1600", "a number too many (1600)"),
    "nine-fields": ("LOCATION,T,-,-,x,0,40.0,-105.0,-7.0", "9 fields instead of 10"),
    "latitude-160": ("LOCATION,T,-,-,x,0,160.0,-105.0,-7.0,1600", "latitude 160 is outside"),
    "zone-99": ("LOCATION,T,-,-,x,0,40.0,-105.0,99,1600", "UTC offset 99 is outside"),
    "elevation-text": ("LOCATION,T,-,-,x,0,40.0,-105.0,-7.0,high", "elevation 'high' is not a number"),
    "elevation-empty": ("LOCATION,T,-,-,x,0,40.0,-105.0,-7.0,", "elevation '' is not a number"),
    "zone-an-hour-wrong": ("LOCATION,T,-,-,x,0,40.0,-105.0,-8.0,1600", "zone or longitude"),
    "longitude-wrong-sign": ("LOCATION,T,-,-,x,0,40.0,105.0,-7.0,1600", "zone or longitude"),
}


@pytest.mark.parametrize("case", DAMAGE)
def test_damaged_epw(case: str, tmp_path: Path) -> None:
    damage, reason, where = DAMAGE[case]
    caught = refusal(tmp_path, "\n".join(damage(clean("EPW").rstrip("\n").split("\n"))))
    assert reason in caught.reason
    assert where in caught.where


@pytest.mark.parametrize("case", LOCATIONS)
def test_bad_location(case: str, tmp_path: Path) -> None:
    line, reason = LOCATIONS[case]
    rows = clean("EPW").split("\n")
    assert reason in refusal(tmp_path, "\n".join([line, *rows[1:]])).reason


@pytest.mark.parametrize(
    ("data", "reason"),
    [
        (b"", "empty"),
        (b" \r\n\n", "empty"),
        (b"<!DOCTYPE html><html><body>404 not found</body></html>", "not a weather file"),
        (b"site_id,latitude_deg\nR-001,40\n", "not a weather file"),
        ("LOCATION,x".encode("utf-16"), "UTF-16"),
        ("LOCATION,x".encode("utf-16-le"), "zero bytes"),
        (b"\x1f\x8b\x08\x00abcdef", "archive"),
        (bytes(range(256)) * 4, "zero bytes"),
        (b";;;;;;\n;;;;\n", "not a weather file"),
        (b"\xc3\x28\x81\x8d", "not a weather file"),
    ],
)
def test_no_weather_file_at_all(data: bytes, reason: str, tmp_path: Path) -> None:
    assert reason in refusal(tmp_path, data).reason


def test_no_such_file(tmp_path: Path) -> None:
    with pytest.raises(WeatherRefused, match=r"absent\.epw: there is no such file"):
        read_weather(tmp_path / "absent.epw")


def test_a_folder_is_no_file(tmp_path: Path) -> None:
    with pytest.raises(WeatherRefused, match="cannot be read"):
        read_weather(tmp_path)


@pytest.mark.parametrize("hours", [-1, 1])
@pytest.mark.parametrize("format", WRITERS)
def test_irradiance_shifted_by_an_hour_is_caught(format: str, hours: int, tmp_path: Path) -> None:
    rows = clear_year()
    moved = {name: np.roll(rows.values[name], hours) for name in ("ghi", "dni", "dhi")}
    caught = refusal(tmp_path, WRITERS[format](rows.with_values(**moved)), "shifted.txt")
    assert "shifted" in caught.reason


TMY3_DAMAGE: dict[str, tuple[Callable[[Lines], Lines], str, str]] = {
    "cut-mid-row": (lambda x: [*x[:5000], x[5000][:60]], "cut off", "line 5001"),
    "cut-at-row": (lambda x: x[:5000], "hours are missing", "4998 rows of 8760"),
    "header-only": (lambda x: x[:2], "no rows of data", "line 2"),
    "row-deleted": (lambda x: x[:3000] + x[3001:], "1 hour is missing", "8759 rows"),
    "text": (lambda x: [*x[:10], set_cell(x[10], 31, "abc"), *x[11:]], "dry bulb is 'abc'", "line 11"),
    "date": (lambda x: [*x[:10], set_cell(x[10], 0, "01.01.2001"), *x[11:]], "MM/DD/YYYY", "line 11"),
    "half-hours": (lambda x: [*x[:2], set_cell(x[2], 1, "01:30"), *x[3:]], "whole hours", "line 3"),
    "missing": (
        lambda x: [*x[:100], *(set_cell(line, 31, "-9900") for line in x[100:110]), *x[110:]],
        "missing for 10 hours",
        "lines 101 to 110",
    ),
    "column-missing": (
        lambda x: [x[0], x[1].replace("Dry-bulb (C)", "Warmth"), *x[2:]],
        "column of dry bulb is missing",
        "line 2",
    ),
    "no-time": (lambda x: [x[0], x[1].replace("Time (HH:MM)", "Clock"), *x[2:]], "Time (HH:MM)", "line 2"),
    "short-head": (lambda x: ["000000,X,CO,-7", *x[1:]], "4 fields instead of 7", "line 1"),
    "no-such-day": (
        lambda x: [set_cell(line, 0, "02/30/2001") if line.startswith("02/10") else line for line in x],
        "no hour of a year|cannot be read",
        "",
    ),
}


@pytest.mark.parametrize("case", TMY3_DAMAGE)
def test_damaged_tmy3(case: str, tmp_path: Path) -> None:
    damage, reason, where = TMY3_DAMAGE[case]
    lines = damage(clean("TMY3").rstrip("\n").split("\n"))
    caught = refusal(tmp_path, "\n".join(lines), "damaged.csv")
    assert any(part in caught.reason for part in reason.split("|"))
    assert where in caught.where


TMY2_DAMAGE: dict[str, tuple[Callable[[Lines], Lines], str, str]] = {
    "cut-mid-row": (lambda x: [*x[:5000], x[5000][:60]], "cut off", "line 5001"),
    "row-shifted": (lambda x: [*x[:10], " " + x[10], *x[11:]], "143 characters", "line 11"),
    "header-only": (lambda x: x[:1], "no rows of data", "line 1"),
    "text": (lambda x: [*x[:10], x[10][:67] + " abc" + x[10][71:], *x[11:]], "cannot be read as a table", ""),
    "no-date": (lambda x: [*x[:10], " ab" + x[10][3:], *x[11:]], "not with a date", "line 11"),
    "latitude-95": (lambda x: [x[0].replace("N 40", "N 95"), *x[1:]], "latitude 95 is outside", "line 1"),
}


@pytest.mark.parametrize("case", TMY2_DAMAGE)
def test_damaged_tmy2(case: str, tmp_path: Path) -> None:
    damage, reason, where = TMY2_DAMAGE[case]
    lines = damage(clean("TMY2").rstrip("\n").split("\n"))
    caught = refusal(tmp_path, "\n".join(lines), "damaged.tm2")
    assert reason in caught.reason
    assert where in caught.where


def test_tmy2_cut_at_a_row(tmp_path: Path) -> None:
    lines = tmy2_text(Rows(clear_year().time[:5000], {k: v[:5000] for k, v in clear_year().values.items()}))
    assert "hours are missing" in refusal(tmp_path, lines, "cut.tm2").reason


def test_half_of_a_second_year(tmp_path: Path) -> None:
    rows = [*epw_rows(clear_year(2002)), *epw_rows(clear_year(2003))[:4000]]
    caught = refusal(tmp_path, "\n".join([*EPW_HEADER, *rows]))
    assert "4760 hours are missing" in caught.reason


def test_tmy3_text_is_not_taken_for_a_list(tmp_path: Path) -> None:
    """The same content is recognised whatever the file is called."""
    path = tmp_path / "anything.txt"
    path.write_text(tmy3_text(clear_year()), encoding="utf-8")
    assert read_weather(path).format == "TMY3"
    path.write_text(epw_text(clear_year()), encoding="utf-8")
    assert read_weather(path).format == "EPW"
