"""Templates of the pages: unknown names are errors, all text is escaped, the style stands inside."""

from functools import cache
from importlib.resources import files

from jinja2 import Environment, PackageLoader, StrictUndefined, Template
from markupsafe import Markup


@cache
def page_template(name: str) -> Template:
    """Template of a page, by its file name."""
    environment = Environment(
        loader=PackageLoader("edgecheck.outputs"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    style = files("edgecheck.outputs").joinpath("style.css").read_text(encoding="utf-8")
    environment.globals["style"] = Markup(style)
    return environment.get_template(name)
