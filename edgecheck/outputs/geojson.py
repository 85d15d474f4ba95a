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
from edgecheck.outputs.listed_row import ListedRow, listed_rows

# About a centimetre; more digits cost space and say nothing (RFC 7946, 11.2).
DECIMALS = 7
_JSON = json.JSONEncoder(ensure_ascii=False, allow_nan=False, separators=(",", ":"))


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
    points = Points(sites)
    yield points.head()
    yield from map(points.line, listed_rows(results, ranks, folders))
    yield points.end()


class Points:
    """The parts of sites.geojson, in the order of the list.

    Parameters
    ----------
    sites : sequence of Site
        Rows of the list.
    """

    def __init__(self, sites: Sequence[Site]) -> None:
        self._sites = sites
        self._times = Counter(site.site_id for site in sites)

    def head(self) -> str:
        """What stands before the features."""
        return '{"type":"FeatureCollection","features":['

    def line(self, row: ListedRow) -> str:
        """A row's feature, with what parts it from the one before."""
        site = self._sites[row.place]
        # The commonly used identifier (RFC 7946, 3.2), unless it is empty or names several rows.
        own_id = {"id": site.site_id} if site.site_id and self._times[site.site_id] == 1 else {}
        feature = {"type": "Feature", **own_id, "geometry": geometry(site), "properties": properties(row)}
        return f"{',' if row.place else ''}\n{_JSON.encode(feature)}"

    def end(self) -> str:
        """What stands behind the features."""
        return "\n]}\n"


def geometry(site: Site) -> dict[str, Any] | None:
    """Point of a site, None where the row has no usable coordinates."""
    longitude, latitude = site.number("longitude_deg"), site.number("latitude_deg")
    if longitude is None or latitude is None:
        return None
    known = columns()
    if not (known["longitude_deg"].possible(longitude) and known["latitude_deg"].possible(latitude)):
        return None
    return {"type": "Point", "coordinates": [_degrees(longitude), _degrees(latitude)]}


def properties(row: ListedRow) -> dict[str, Any]:
    """What a map shows of a site; null where unknown."""
    result = row.result
    return {
        "site_id": result.site_id,
        "name": result.name,
        "verdict": result.verdict,
        "rank": row.rank,
        "groups": dict(result.groups),
        "governing_check": result.governing_check or None,
        "reason": row.values["reason"],
        "conditions": list(result.conditions),
        "asks": {key: _number(value) for key, value in result.asks.items()},
        "folder": row.folder,
    }


def _degrees(value: float) -> float:
    """Rounded, never a negative zero."""
    return round(value, DECIMALS) + 0.0


def _number(value: Any) -> Any:
    """Nine significant figures, as in the tables; null where unknown, "infinite" without an end."""
    kept = plain(value)
    return float(f"{kept:.9g}") if isinstance(kept, float) else kept
