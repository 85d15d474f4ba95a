"""Real weather files for tests: three that pvlib ships, and files out of published packages.

The archives are fetched once by name with pip, as finished wheels (nothing is built or installed), into a
cache folder, and read as archives. Without a package index the test is skipped; where
EDGECHECK_REQUIRE_REAL_WEATHER is 1 it fails instead. EDGECHECK_TEST_CACHE moves the cache folder.
"""

import os
import subprocess
import sys
import tempfile
import zipfile
from functools import cache
from pathlib import Path
from typing import NoReturn

import pvlib
import pytest

from edgecheck.weather.read import read_weather
from edgecheck.weather.series import Weather

# wheels made for a later Python than ours are fine: only their data are read
ARCHIVES = {
    "sinergym": ["sinergym==3.12.2", "--python-version", "3.12"],  # MIT
    "diyepw": ["diyepw==1.3.1"],  # BSD-2-Clause
    "bifacialvf": ["bifacialvf==0.2.0"],  # BSD-3-Clause
}
FILES = {
    "tucson": ("sinergym", "USA_AZ_Davis-Monthan.AFB.722745_TMY3.epw"),  # hot and dry
    "helsinki": ("sinergym", "FIN_Helsinki.029740_IWEC.epw"),  # cold
    "stockholm": ("sinergym", "SWE_Stockholm.Arlanda.024600_IWEC.epw"),
    "bogota": ("sinergym", "COL_Bogota.802220_IWEC.epw"),  # high
    "sydney": ("sinergym", "AUS_NSW.Sydney.947670_IWEC.epw"),
    "granada": ("sinergym", "ESP_Granada.084190_SWEC.epw"),  # irradiance belongs to the end of the hour
    "chicago": ("sinergym", "USA_IL_Chicago-OHare.Intl.AP.725300_TMY3.epw"),  # header of 2009
    "chicago-2021": ("diyepw", "USA_IL_Chicago.OHare.Intl.AP.725300_TMY3.epw"),  # header of 2021
    "northway": ("diyepw", "USA_AK_Northway.AP.702910_TMY3.epw"),  # very cold
    "mount-shasta": ("diyepw", "USA_CA_Mount.Shasta.725957_TMYx.epw"),  # irradiance at the start of the hour
    "cairo": ("bifacialvf", "EGY_Cairo.623660_IWEC.epw"),
    "shanghai": ("bifacialvf", "CHN_Shanghai.Shanghai.583670_IWEC.epw"),  # hot and humid
    "richmond": ("bifacialvf", "USA_VA_Richmond.Intl.AP.724010_TMY.epw"),  # one of the oldest typical years
}
OTHER_FILES = {
    "golden-nsrdb": ("bifacialvf", "Golden_CO_nsrdb-GOES-30.csv"),  # a real year, half-hourly
    "golden-tmy3": ("bifacialvf", "724666TYA.CSV"),
    "tucson-tmy3": ("bifacialvf", "722740TYA.CSV"),
}
_FAILED: dict[str, str] = {}
PVLIB_FILES = ("12839.tm2", "703165TY.csv", "723170TYA.CSV")


def pvlib_file(name: str) -> Path:
    """One of the weather files that pvlib ships."""
    return Path(pvlib.__file__).parent / "data" / name


@cache
def pvlib_weather(name: str) -> Weather:
    """The same as the program reads it, once a process: a TMY2 file takes a second."""
    return read_weather(pvlib_file(name))


def real_epw(name: str) -> Path:
    """A real EPW file by its short name; skips or fails the test where it cannot be had."""
    return real_file(name)


def real_file(name: str) -> Path:
    """A real file of any format by its short name; skips or fails the test where it cannot be had."""
    archive, file = (FILES | OTHER_FILES)[name]
    path = _cache_folder() / archive / file
    if not path.exists():
        _unpack(archive)
    return path


def _cache_folder() -> Path:
    own = os.environ.get("EDGECHECK_TEST_CACHE")
    if own:
        return Path(own)
    shared = os.environ.get("XDG_CACHE_HOME") or os.environ.get("LOCALAPPDATA")
    return (Path(shared) if shared else Path.home() / ".cache") / "edgecheck-tests"


def _unpack(archive: str) -> None:
    """Fetch the archive and put its files named above into the cache, each by one rename."""
    wanted = {file for source, file in (FILES | OTHER_FILES).values() if source == archive}
    folder = _cache_folder() / archive
    folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=folder) as scratch:
        reason = _download(archive, scratch)
        if reason:
            _unavailable(archive, reason)
        wheel = next(Path(scratch).glob("*.whl"))
        with zipfile.ZipFile(wheel) as content:
            for member in content.namelist():
                if Path(member).name in wanted:
                    part = Path(scratch) / "part"
                    part.write_bytes(content.read(member))
                    os.replace(part, folder / Path(member).name)


def _download(archive: str, scratch: str) -> str:
    """Let pip fetch the wheel; the reason why not, or nothing. A failure is not tried again in this run."""
    if archive in _FAILED:
        return _FAILED[archive]
    command = [sys.executable, "-m", "pip", "download", "--quiet", "--no-deps", "--only-binary", ":all:"]
    try:
        done = subprocess.run(
            [*command, "--dest", scratch, *ARCHIVES[archive]], capture_output=True, text=True, timeout=300
        )
    except (OSError, subprocess.TimeoutExpired) as error:
        _FAILED[archive] = str(error)
        return _FAILED[archive]
    if done.returncode == 0:
        return ""
    _FAILED[archive] = (done.stderr.strip().splitlines() or ["pip failed"])[-1]
    return _FAILED[archive]


def _unavailable(archive: str, reason: str) -> NoReturn:
    text = f"real weather of {archive} cannot be fetched: {reason}"
    if os.environ.get("EDGECHECK_REQUIRE_REAL_WEATHER") == "1":
        pytest.fail(text)
    pytest.skip(text)
