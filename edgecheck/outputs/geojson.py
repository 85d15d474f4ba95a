"""sites.geojson: one point a site with its verdict, for maps (RFC 7946).

In go the site list and its results, out come the lines of a FeatureCollection. Positions are longitude, latitude
in decimal degrees (WGS 84) as the list gives them. A row without usable coordinates keeps its place with the
geometry null (RFC 7946, 3.2: an unlocated feature).
"""

import json
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from edgecheck.checks.result import Result, plain
from edgecheck.inputs.columns import columns
from edgecheck.inputs.sites import Site

# About a centimetre; more digits cost space and say nothing (RFC 7946, 11.2).
DECIMALS = 7


def geojson_lines(
    sites: Sequence[Site],
    results: Sequence[Result],
    ranks: Mapping[int, int],
    folders: Mapping[int, str],
) -> Iterator[str]:
    """Lines of sites.geojson, one feature a line, for lists too long to hold as text.

    Parameters
    ----------
    sites : sequence of Site
        Rows of the list.
    results : sequence of Result
        One a row, in the order of the list.
    ranks : mapping
        Rank by the row's line number.
    folders : mapping
        Site folder by the row's line number, where one was written.

    Returns
    -------
    iterator of str
        For UTF-8 text without a byte order mark (RFC 8259, 8.1).

    Raises
    ------
    ValueError
        If there is not one result a row.
    """
    if len(sites) != len(results):
        raise ValueError(f"{len(results)} results for {len(sites)} rows of the list")
    return _lines(sites, results, ranks, folders)


def _lines(
    sites: Sequence[Site], results: Sequence[Result], ranks: Mapping[int, int], folders: Mapping[int, str]
) -> Iterator[str]:
    times = Counter(site.site_id for site in sites)
    yield '{"type":"FeatureCollection","features":['
    end = "\n"
    for site, result in zip(sites, results, strict=True):
        # The commonly used identifier (RFC 7946, 3.2), unless it is empty or names several rows.
        own_id = {"id": site.site_id} if site.site_id and times[site.site_id] == 1 else {}
        shown = properties(result, ranks.get(result.row), folders.get(result.row))
        yield end + _text({"type": "Feature", **own_id, "geometry": geometry(site), "properties": shown})
        end = ",\n"
    yield "\n]}\n"


def geometry(site: Site) -> dict[str, Any] | None:
    """Point of a site, None where the row has no usable coordinates."""
    longitude, latitude = site.number("longitude_deg"), site.number("latitude_deg")
    if longitude is None or latitude is None:
        return None
    known = columns()
    if not (known["longitude_deg"].possible(longitude) and known["latitude_deg"].possible(latitude)):
        return None
    return {"type": "Point", "coordinates": [_degrees(longitude), _degrees(latitude)]}


def properties(result: Result, rank: int | None, folder: str | None) -> dict[str, Any]:
    """What a map shows of a site; null where unknown."""
    return {
        "site_id": result.site_id,
        "name": result.name,
        "verdict": result.verdict,
        "rank": rank,
        "groups": dict(result.groups),
        "governing_check": result.governing_check or None,
        "reason": result.reason or "; ".join(result.faults),
        "conditions": list(result.conditions),
        "asks": {key: _number(value) for key, value in result.asks.items()},
        "folder": folder,
    }


def _degrees(value: float) -> float:
    """Rounded, never a negative zero."""
    return round(value, DECIMALS) + 0.0


def _number(value: Any) -> Any:
    """Nine significant figures, as in the tables; null where unknown, "infinite" without an end."""
    kept = plain(value)
    return float(f"{kept:.9g}") if isinstance(kept, float) else kept


def _text(record: Mapping[str, Any]) -> str:
    return json.dumps(record, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
