"""A run whose every free text is hostile: site names, own columns, unit name, assumptions, rule, file names."""

import csv
import json
import shutil
from functools import cache

from real_weather import pvlib_file
from report_run import DEMO
from shared_runs import run_once

MARKUP = "<b>&\"'</td></section></style><script>document.title='gone'</script>{{ 7*7 }}<img src=x onerror=alert(1)>"
LONG = "".join(f"endless{number} " for number in range(455))[:5000]
SOLID = "W" * 5000
ARABIC = "\u202eسطح المبنى\u202c \u2067מבנה\u2069 \u202e"
EMOJI = "🏢🔥 e\u0301 👩\u200d🔧 \U0001f1e9\U0001f1ea"
TEXTS = {"markup": MARKUP, "long": LONG, "solid": SOLID, "rtl": ARABIC, "emoji": EMOJI}
WEATHER = "<b>'&{{ 7*7 }} \u202eسطح 🔥.csv"


def quoted(text):
    """A TOML string."""
    return json.dumps(text, ensure_ascii=False)


def seen(text):
    """The text as a page shows it: white space collapsed."""
    return " ".join(text.split())


def _furnish(folder):
    """One site for each kind of text, with that text in every place."""
    (folder / "weather").mkdir(parents=True)
    shutil.copyfile(pvlib_file("723170TYA.CSV"), folder / "weather" / WEATHER)
    unit = (DEMO / "lapwing-6.toml").read_text(encoding="utf-8")
    rows, assume = [], ["schema = 1"]
    for kind, text in TEXTS.items():
        name = next(line for line in unit.splitlines() if line.startswith("name"))
        (folder / f"{kind}.toml").write_text(unit.replace(name, f"name = {quoted(text)}"), encoding="utf-8")
        rows.append(
            {
                "site_id": f"H-{kind}", "name": text, "unit": f"{kind}.toml", "latitude_deg": "36.10",
                "longitude_deg": "-79.95", "weather": f"weather/{WEATHER}", "containment_rule": text,
                "Planner's note": text, text[:300]: "x", "kind": kind,
            }
        )  # fmt: skip
        for key, value in (("roof_reserve_kpa", "2.5"), ("load_standard", '"en"')):
            assume += [
                "[[assume]]", f'key = "{key}"', f"value = {value}", f"by = {quoted(text)}",
                f"why = {quoted(text)}", f'where = {{ kind = "{kind}" }}',
            ]  # fmt: skip
    (folder / "assume.toml").write_text("\n".join(assume) + "\n", encoding="utf-8")
    columns = list(dict.fromkeys(key for row in rows for key in row))
    with (folder / "list.csv").open("w", encoding="utf-8", newline="") as stream:
        writer = csv.DictWriter(stream, columns, restval="")
        writer.writeheader()
        writer.writerows(rows)


@cache
def hostile_run():
    """Folder of the sites, `H-` before the kind of text."""
    words = ("screen", "list.csv", "--assume", "assume.toml", "--out", "run")
    folder, answer = run_once("hostile", _furnish, *words)
    assert answer.code == 0, answer.err
    return folder / "run" / "sites"
