"""Damaged and odd files made from real ones: each is read with the right numbers, or refused with file, place, reason.

EPW: Greensboro, the real year of the TMY3 file that pvlib ships, written as EPW. TMY3 and TMY2: pvlib's own files.
NSRDB: the generator's clear year. Most of these pass through pvlib's readers without a word, or stop them with an
error that names neither line nor cause. One line a case.
"""

import gzip
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from real_weather import pvlib_file
from weather_files import HERE, clear_year, epw_text, nsrdb_text, real_year

from edgecheck.base.errors import WeatherRefused
from edgecheck.weather.read import read_weather
from edgecheck.weather.series import Weather

Lines = list[str]
Damage = Callable[[Lines], Lines]
USED = ("temp_air", "temp_dew", "ghi", "dni", "dhi", "wind_speed")


@dataclass(frozen=True)
class Read:
    """Read like the undamaged file, but for `hours` of `variable`; with these notes, flags and filled hours."""

    notes: tuple[str, ...] = ()
    flags: tuple[str, ...] = ()
    filled: Mapping[str, int] = field(default_factory=dict)
    variable: str = ""
    hours: range = range(0)
    offset: float = 30.0


@dataclass(frozen=True)
class Refused:
    """Refused for this reason at this place (the beginning of both)."""

    reason: str
    where: str = ""


def filled(variable: str, hours: int, *flags: str) -> Read:
    """Read with some hours from the 5000th on interpolated."""
    return Read(("gap-filled",), flags, {variable: hours}, variable, range(5000, 5000 + hours))


SAME = Read()
BASES = {
    "EPW": lambda: epw_text(real_year()),
    "TMY3": lambda: pvlib_file("723170TYA.CSV").read_text(encoding="latin-1"),
    "TMY2": lambda: pvlib_file("12839.tm2").read_text(encoding="latin-1"),
    "NSRDB": lambda: nsrdb_text(clear_year(2001, HERE, 30, 0.0)),
}
FIRST = {"EPW": 8, "TMY3": 2, "TMY2": 1, "NSRDB": 3}  # index of the first data line


@cache
def lines_of(base: str) -> tuple[str, ...]:
    return tuple(BASES[base]().replace("\r\n", "\n").rstrip("\n").split("\n"))


def put(i: int, text: str) -> Damage:
    """Put another line in place of line i + 1."""
    return lambda x: [*x[:i], text, *x[i + 1 :]]


def cell(line: int, column: int, text: str, count: int = 1) -> Damage:
    """Another text in one column of `count` lines from index `line` on."""

    def change(x: Lines) -> Lines:
        x = list(x)
        for i in range(line, line + count):
            cells = x[i].split(",")
            cells[column] = text
            x[i] = ",".join(cells)
        return x

    return change


def every(base: str, pattern: str, text: str) -> Damage:
    """A pattern replaced in every data line."""
    first = FIRST[base]
    return lambda x: [*x[:first], *(re.sub(pattern, text, row, count=1) for row in x[first:])]


def location(old: str, new: str) -> Damage:
    return lambda x: [x[0].replace(old, new), *x[1:]]


def rolled(hours: int) -> Callable[[], str]:
    def text() -> str:
        rows = real_year()
        moved = {name: np.roll(rows.values[name], hours) for name in ("ghi", "dni", "dhi")}
        return epw_text(rows.with_values(**moved))

    return text


def shuffled(x: Lines) -> Lines:
    order = np.random.default_rng(5).permutation(len(x) - 8)
    return [*x[:8], *(x[8 + i] for i in order)]


def hours_0_to_23(x: Lines) -> Lines:
    return [
        *x[:8],
        *(re.sub(r"^(\d+,\d+,\d+),(\d+)", lambda m: f"{m[1]},{int(m[2]) - 1}", row) for row in x[8:]),
    ]


def as_leap_year(x: Lines) -> Lines:
    """29 February put in as a copy of the day before, under the number of the year."""
    day = [row.replace(",2,28,", ",2,29,", 1) for row in x[8 + 58 * 24 : 8 + 59 * 24]]
    return [*x[: 8 + 59 * 24], *day, *x[8 + 59 * 24 :]]


def diffuse_twice(x: Lines) -> Lines:
    return [
        *x[:8],
        *(re.sub(r"^((?:[^,]*,){15})(\d+)", lambda m: f"{m[1]}{2 * int(m[2])}", row) for row in x[8:]),
    ]


def quarter_hours(x: Lines) -> Lines:
    return [*x[:7], x[7].replace("1,1,", "1,4,"), *(row for row in x[8:] for _ in range(4))]


AIR, DEW, DNI, WIND = 6, 7, 14, 21  # columns of an EPW row
L, M = "LOCATION,Testing,-,-,invented,000000,36.1,-79.95,-5.0,273.0", "36.1,-79.95,-5.0,273.0"
C = "COMMENTS 1,made up for a test"
CASES: dict[str, tuple[str, Damage, Read | Refused]] = {
    # --- EPW: harmless
    "no-change": ("EPW", lambda x: x, SAME),
    "blank-lines-at-the-end": ("EPW", lambda x: [*x, "", "", "  "], SAME),
    "end-of-file-mark": ("EPW", lambda x: [*x, "\x1a"], SAME),
    "mark-at-the-start": ("EPW", lambda x: ["\ufeff" + x[0], *x[1:]], SAME),
    "accents": ("EPW", put(5, "COMMENTS 1,Übungsfläche, né à Ås"), SAME),
    "comment-over-two-lines": ("EPW", lambda x: [*x[:5], 'COMMENTS 1,"made', 'up"', *x[6:]], SAME),
    "city-with-a-comma": ("EPW", location("Testing", '"Testing, north"'), SAME),
    "small-letters": ("EPW", lambda x: [x[0].replace("LOCATION", "Location"), *x[1:]], SAME),
    "another-spelling": ("EPW", lambda x: [*x[:4], x[4].replace("SAVINGS", "SAVING"), *x[5:]], SAME),
    "climate-class": ("EPW", lambda x: [x[0] + ",4A", *x[1:]], Read(notes=("location-extra",))),
    "empty-headers": ("EPW", lambda x: [x[0], *(row.split(",")[0] for row in x[1:7]), *x[7:]], SAME),
    "no-records-per-hour": ("EPW", put(7, "DATA PERIODS,1"), Read(notes=("records-per-hour",))),
    "comma-after-every-row": ("EPW", every("EPW", "$", ","), SAME),
    "rows-of-34": ("EPW", every("EPW", r",[^,]*$", ""), Read(notes=("short-rows",))),
    "rows-of-32": ("EPW", every("EPW", r"(,[^,]*){3}$", ""), Read(notes=("short-rows",))),
    "year-as-float": ("EPW", every("EPW", r"^2001,", "2001.0,"), SAME),
    "minute-60": ("EPW", every("EPW", r"^(2001,\d+,\d+,\d+),0,", r"\1,60,"), SAME),
    "29-February-of-no-leap-year": ("EPW", as_leap_year, Read(notes=("leap-day",))),
    "29-February-of-2000": (
        "EPW", lambda x: [re.sub("^2001,", "2000,", row) for row in as_leap_year(x)], Read(notes=("leap-day",)),
    ),
    "quarter-hours": ("EPW", quarter_hours, Read(notes=("sub-hourly",))),
    # --- EPW: values
    "missing-code": ("EPW", cell(5008, AIR, "99.9"), filled("temp_air", 1)),
    "blank-cell": ("EPW", cell(5008, AIR, ""), filled("temp_air", 1)),
    "NA": ("EPW", cell(5008, WIND, "NA"), filled("wind_speed", 1)),
    "other-missing-code": ("EPW", cell(5008, AIR, "9999"), filled("temp_air", 1, "impossible")),
    "minus-999": ("EPW", cell(5008, DNI, "-999"), filled("dni", 1, "impossible")),
    "1e400": ("EPW", cell(5008, AIR, "1e400"), filled("temp_air", 1, "impossible")),
    "infinite": ("EPW", cell(5008, AIR, "inf"), filled("temp_air", 1, "impossible")),
    "six-missing-hours": ("EPW", cell(5008, WIND, "999", 6), filled("wind_speed", 6)),
    "seven-missing-hours": ("EPW", cell(5008, WIND, "999", 7),
      Refused("wind speed is missing for 7 hours", "lines 5009 to 5015")),
    "a-column-missing": ("EPW", cell(8, DNI, "9999", 8760), Refused("beam irradiance is missing throughout")),
    "dry-bulb-kelvin": ("EPW", cell(8, AIR, "293.1", 8760), Refused("air temperature is missing throughout")),
    "text": ("EPW", cell(5008, AIR, "abc"), Refused("dry bulb is 'abc', not a number", "line 5009")),
    "spike": ("EPW", cell(5008, AIR, "55.0"),
      Read((), ("spike", "unusual"), {}, "temp_air", range(5000, 5001))),
    "lost-point": ("EPW", cell(5008, AIR, "243"), filled("temp_air", 1, "impossible")),
    "stuck": ("EPW", cell(5008, AIR, "24.0", 72), Read((), ("stuck",), {}, "temp_air", range(5000, 5072))),
    "elevation-wrong": ("EPW", location(",273.0", ",2073.0"), Read(flags=("pressure-elevation",))),
    # --- EPW: cut off
    "cut-at-a-row": ("EPW", lambda x: x[:5000], Refused("3768 hours are missing", "4992 rows of 8760")),
    "cut-in-a-row": ("EPW", lambda x: [*x[:5000], x[5000][:90]],
      Refused("the row has 24 fields instead of 35: the file is cut off", "line 5001")),
    "cut-in-a-number": ("EPW", lambda x: [*x[:8767], x[8767][:-40]], Refused("the row has ", "line 8768")),
    "cut-in-the-date": ("EPW", lambda x: [*x[:5000], "2001,7"], Refused("the row has 2 fields", "line 5001")),
    "header-only": ("EPW", lambda x: x[:8], Refused("there are no rows of data", "line 8")),
    "three-lines": ("EPW", lambda x: x[:3], Refused("the header line GROUND TEMPERATURES is missing")),
    # --- EPW: rows
    "row-deleted": ("EPW", lambda x: x[:3000] + x[3001:],
      Refused("1 hour is missing, from month 5 day 5 hour 17", "8759 rows")),
    "day-deleted": ("EPW", lambda x: x[:3008] + x[3032:],
      Refused("24 hours are missing", "8736 rows of 8760")),
    "row-doubled": ("EPW", lambda x: x[:3001] + x[3000:],
      Refused("1 hour occurs more than once", "lines 3001 and 3002")),
    "rows-shuffled": ("EPW", shuffled, Refused("the hours are out of order", "line 9")),
    "one-short-row": ("EPW", lambda x: put(4000, ",".join(x[4000].split(",")[:20]))(x),
      Refused("the row has 20 fields instead of 35", "line 4001")),
    "decimal-comma": ("EPW", cell(5008, AIR, "21,3"),
      Refused("the row has 36 fields instead of 35", "line 5009")),
    "tabs": ("EPW", lambda x: x[:8] + [row.replace(",", "\t") for row in x[8:]],
      Refused("the row has 1 field instead", "line 9")),
    "semicolons": ("EPW", lambda x: x[:8] + [row.replace(",", ";") for row in x[8:]],
      Refused("the row has 1 field instead", "line 9")),
    "all-semicolons": ("EPW", lambda x: [row.replace(",", ";") for row in x],
      Refused("not a weather file", "line 1")),
    "hours-0-to-23": ("EPW", hours_0_to_23, Refused("hour is '0'; 1 to 24 is wanted", "line 9")),
    "hour-25": ("EPW", cell(5008, 3, "25"), Refused("hour is '25'", "line 5009")),
    "month-13": ("EPW", cell(5008, 1, "13"), Refused("month is '13'", "line 5009")),
    "30-February": ("EPW", cell(1008, 2, "30"), Refused("there is no day 30 in month 2", "line 1009")),
    "no-year": ("EPW", cell(5008, 0, ""), Refused("year is ''", "line 5009")),
    "quarter-hours-undeclared": ("EPW", lambda x: x[:8] + [row for row in x[8:] for _ in range(4)],
      Refused("8760 hours occur more than once", "lines 9")),
    "half-hours-declared": ("EPW", lambda x: [*x[:7], x[7].replace("1,1,", "1,2,"), *x[8:]],
      Refused("the rows are not 2 records to each hour", "8760 rows; from line 9 on")),
    # --- EPW: header
    "one-header-line-missing": ("EPW", lambda x: x[:3] + x[4:],
      Refused("the header line GROUND TEMPERATURES is missing")),
    "two-header-lines-missing": ("EPW", lambda x: x[:2] + x[4:],
      Refused("the header line TYPICAL/EXTREME PERIODS is missing")),
    "a-ninth-header-line": ("EPW", lambda x: [*x[:3], "REMARKS,none", *x[3:]],
      Refused("the header line GROUND", "line 4")),
    "decimal-commas": ("EPW", put(0, "LOCATION,T,-,-,x,0,36,1,-79,95,-5,0,273,0"),
      Refused("LOCATION has a number too many (-5)", "line 1")),
    "comma-in-the-zone": ("EPW", put(0, "LOCATION,T,-,-,x,0,36.1,-79.95,-5,0,273"),
      Refused("LOCATION has a number too many (273)", "line 1")),
    "latitude-160": ("EPW", location("36.1", "160"), Refused("latitude 160 is outside", "line 1")),
    "zone-99": ("EPW", location("-5.0", "99"), Refused("UTC offset 99 is outside", "line 1")),
    "no-elevation": ("EPW", location(",273.0", ","), Refused("elevation '' is not a number", "line 1")),
    "text-in-elevation": ("EPW", location("273.0", "Golf course"),
      Refused("elevation 'Golf course' is not a number", "line 1")),
    "longitude-east": ("EPW", location("-79.95", "79.95"),
      Refused("global, beam and diffuse", "all hours with sun")),
    "diffuse-twice": ("EPW", diffuse_twice,
      Refused("global, beam and diffuse irradiance fit together nowhere", "all hours with sun")),
    "zone-an-hour-off": ("EPW", location(",-5.0,", ",-6.0,"),
      Refused("global, beam and diffuse", "all hours with sun")),
    "zone-half-an-hour-off": ("EPW", location(",-5.0,", ",-4.5,"), Read(offset=60.0)),
    "zone-half-an-hour-off-back": ("EPW", location(",-5.0,", ",-5.5,"), Read(offset=0.0)),
    # --- TMY3
    "tmy3": ("TMY3", lambda x: x, SAME),
    "tmy3-mark": ("TMY3", lambda x: ["\ufeff" + x[0], *x[1:]], SAME),
    "tmy3-name-with-comma": ("TMY3", lambda x: [re.sub('".*"', '"ONE, TWO"', x[0]), *x[1:]], SAME),
    "tmy3-missing-code": ("TMY3", cell(5002, 31, "-9900"), filled("temp_air", 1)),
    "tmy3-blank": ("TMY3", cell(5002, 46, ""), filled("wind_speed", 1)),
    "tmy3-blank-elsewhere": ("TMY3", cell(2, 49, "", 8760), SAME),
    "tmy3-missing-for-long": ("TMY3", cell(5002, 31, "-9900", 9),
      Refused("air temperature is missing for 9 hours", "lines 5003 to 5011")),
    "tmy3-text": ("TMY3", cell(5002, 31, "abc"), Refused("dry bulb is 'abc'", "line 5003")),
    "tmy3-cut-in-a-row": ("TMY3", lambda x: [*x[:5000], x[5000][:99]], Refused("the row has ", "line 5001")),
    "tmy3-cut-at-a-row": ("TMY3", lambda x: x[:5000], Refused("3762 hours are missing", "4998 rows")),
    "tmy3-row-deleted": ("TMY3", lambda x: x[:3000] + x[3001:], Refused("1 hour is missing", "8759 rows")),
    "tmy3-header-only": ("TMY3", lambda x: x[:2], Refused("there are no rows of data", "line 2")),
    "tmy3-semicolons": ("TMY3", lambda x: [row.replace(",", ";") for row in x],
      Refused("the station line has 1 fields", "line 1")),
    "tmy3-day-first": ("TMY3", lambda x: [*x[:2], *(re.sub(r"^(\d\d)/(\d\d)/", r"\2.\1.", row) for row in x[2:])],
      Refused("date '01.01.", "line 3")),
    # --- TMY2
    "tmy2": ("TMY2", lambda x: x, SAME),
    "tmy2-blank-line": ("TMY2", lambda x: [*x, ""], SAME),
    "tmy2-name-of-two-words": ("TMY2", lambda x: [x[0].replace("MIAMI      ", "MIAMI BEACH"), *x[1:]], SAME),
    "tmy2-missing-code": ("TMY2", lambda x: put(5001, x[5001][:67] + "9999" + x[5001][71:])(x),
      filled("temp_air", 1)),
    "tmy2-cut-at-a-row": ("TMY2", lambda x: x[:5000], Refused("3761 hours are missing", "4999 rows")),
    "tmy2-row-deleted": ("TMY2", lambda x: x[:3000] + x[3001:], Refused("1 hour is missing", "8759 rows")),
    "tmy2-cut-in-a-row": ("TMY2", lambda x: [*x[:5000], x[5000][:99]],
      Refused("the row has 99 characters", "line 5001")),
    "tmy2-shifted-by-one": ("TMY2", lambda x: put(4000, " " + x[4000])(x),
      Refused("the row has 143 characters", "line 4001")),
    # --- NSRDB
    "nsrdb": ("NSRDB", lambda x: x, Read(offset=15.0)),
    "nsrdb-mark": ("NSRDB", lambda x: ["\ufeff" + x[0], *x[1:]], Read(offset=15.0)),
    "nsrdb-half-zone": ("NSRDB", lambda x: put(1, x[1].replace("-7,1600,-7", "-7.0,1600.5,-7.5"))(x),
      Read(offset=15.0)),
    "nsrdb-empty-cloud": ("NSRDB", cell(5003, 6, ""), Read(offset=15.0)),
    "nsrdb-cut-in-a-row": ("NSRDB", lambda x: [*x[:5000], x[5000][:30]],
      Refused("the row has ", "line 5001")),
    "nsrdb-row-deleted": ("NSRDB", lambda x: x[:3000] + x[3001:],
      Refused("the rows are not 2 records to each hour", "17519 rows; from line 3000 on")),
    "nsrdb-hour-deleted": ("NSRDB", lambda x: x[:3003] + x[3005:], Refused("1 hour is missing", "8759 rows")),
    "nsrdb-header-only": ("NSRDB", lambda x: x[:3], Refused("there are no rows of data", "line 3")),
    "nsrdb-text": ("NSRDB", cell(5003, 5, "abc"), Refused("Temperature is 'abc'", "line 5004")),
    "nsrdb-text-elsewhere": ("NSRDB", cell(5003, 13, "low"),
      Refused("Solar Zenith Angle is 'low'", "line 5004")),
}  # fmt: skip


@cache
def undamaged(base: str, folder: Path) -> Weather:
    path = folder / "undamaged.txt"
    path.write_text("\n".join(lines_of(base)) + "\n", encoding="utf-8", newline="")
    return read_weather(path)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("corpus")


def check(weather: Weather, clean: Weather, expected: Read) -> None:
    (year,), (whole,) = weather.years, clean.years
    for name in USED:
        same = getattr(year, name) == getattr(whole, name)
        if name == expected.variable or (expected.variable == "temp_air" and name == "temp_dew"):
            same[list(expected.hours)] = True  # a dew point is capped by its air
        if name == "dni":  # another calendar or offset moves the few hours with beam at the horizon
            same |= (year.dni == 0) | (whole.dni == 0)
            assert np.count_nonzero(year.dni != whole.dni) < 250
        assert same.all(), name
    assert set(expected.notes) <= {note.code for note in weather.notes}
    assert tuple(flag.code for flag in weather.flags) == expected.flags
    assert dict(weather.filled) == expected.filled
    assert weather.sun_offset_min == expected.offset
    if expected.variable and expected.filled:
        rows = list(expected.hours)
        ends = getattr(whole, expected.variable)[[rows[0] - 1, rows[-1] + 1]]
        filled = getattr(year, expected.variable)[rows]
        assert np.all((filled >= ends.min()) & (filled <= ends.max()))


@pytest.mark.parametrize("case", CASES)
def test_damaged(case: str, folder: Path) -> None:
    base, damage, expected = CASES[case]
    path = folder / f"{case}.txt"
    path.write_text("\n".join(damage(list(lines_of(base)))) + "\n", encoding="utf-8", newline="")
    if isinstance(expected, Read):
        check(read_weather(path), undamaged(base, folder), expected)
    else:
        with pytest.raises(WeatherRefused) as caught:
            read_weather(path)
        assert caught.value.file == path.name
        assert caught.value.reason.startswith(expected.reason)
        assert caught.value.where.startswith(expected.where)
        assert bool(expected.where) == bool(caught.value.where)


BYTES: dict[str, tuple[Callable[[bytes], bytes], Read | Refused]] = {
    "line-ends-of-two": (lambda x: x.replace(b"\n", b"\r\n"), SAME),
    "old-line-ends": (lambda x: x.replace(b"\n", b"\r"), SAME),
    "no-last-line-end": (lambda x: x.rstrip(b"\n"), SAME),
    "western-city": (lambda x: x.replace(b"Testing", "Sünd".encode("latin-1")), Read(notes=("not-utf-8",))),
    "western-comment": (
        lambda x: x.replace(b"made up", "gemäß".encode("cp1252")),
        Read(notes=("not-utf-8",)),
    ),
    "utf-16": (lambda x: x.decode().encode("utf-16"), Refused("the file is UTF-16 text")),
    "packed": (lambda x: gzip.compress(x[:9999]), Refused("the file is an archive")),
    "binary": (lambda x: bytes(range(256)) * 40, Refused("the file has zero bytes")),
    "empty": (lambda x: b"", Refused("the file is empty")),
    "web-page": (lambda x: b"<!DOCTYPE html><title>404</title>", Refused("not a weather file", "line 1")),
    "letter": (lambda x: b"Dear all,\nplease find the file\n", Refused("not a weather file", "line 1")),
}


@pytest.mark.parametrize("case", BYTES)
def test_damaged_bytes(case: str, folder: Path) -> None:
    damage, expected = BYTES[case]
    path = folder / f"bytes-{case}.epw"
    path.write_bytes(damage(("\n".join(lines_of("EPW")) + "\n").encode("ascii")))
    if isinstance(expected, Read):
        check(read_weather(path), undamaged("EPW", folder), expected)
        return
    with pytest.raises(WeatherRefused) as caught:
        read_weather(path)
    assert str(caught.value).startswith(f"{path.name}")
    assert caught.value.reason.startswith(expected.reason)


@pytest.mark.parametrize("hours", [-2, -1, 1, 2])
def test_irradiance_of_other_hours(hours: int, folder: Path) -> None:
    path = folder / "rolled.epw"
    path.write_text(rolled(hours)(), encoding="ascii")
    with pytest.raises(WeatherRefused, match="the rows are shifted"):
        read_weather(path)


def test_the_corpus_is_large_enough() -> None:
    assert len(CASES) + len(BYTES) >= 40
