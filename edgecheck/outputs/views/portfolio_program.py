"""The program of the list page: its text, its style and its data, as they stand inside the page.

The page names the SHA-256 of the text in its Content-Security-Policy (W3C, CSP level 3, 2.3.1), so that no other
script runs in it, whatever a list says.
"""

import base64
import hashlib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from markupsafe import Markup

from edgecheck.outputs.views.portfolio_rows import Portfolio
from edgecheck.outputs.words import VERDICT_ORDER

_PARTS = ("portfolio.js", "portfolio-map.js")


@dataclass(frozen=True)
class Program:
    """What the template puts into the page.

    Parameters
    ----------
    text, style, data : Markup
        The script, its style sheet, and JSON that is safe inside a script element.
    sha256 : str
        Of the script, in base64.
    """

    text: Markup
    style: Markup
    data: Markup
    sha256: str


def program(portfolio: Portfolio) -> Program:
    """The program with the sites it works on."""
    text = _text()
    digest = base64.b64encode(hashlib.sha256(text.encode("utf-8")).digest()).decode("ascii")
    return Program(
        Markup(text), Markup(_read("portfolio.css")), Markup(portfolio.json(VERDICT_ORDER)), digest
    )


@cache
def _text() -> str:
    """Both parts inside one function, so that no name of theirs is global."""
    parts = "\n".join(_read(name) for name in _PARTS)
    return f'(() => {{\n"use strict";\n{parts}\nstart();\n}})();\n'


@cache
def _read(name: str) -> str:
    return files("edgecheck.outputs").joinpath(name).read_text(encoding="utf-8")
