"""HTML pages from the templates beside this module: one file each, no script, nothing fetched, all text escaped."""

from __future__ import annotations

MARK = '<meta name="generator" content="tendwork">'
"""Stands in every page, so that a page written before is known as one."""


def page(template: str, **values: object) -> str:
    """The page that `template` (a file in html/) makes of `values`; markup in a value comes out as text."""
    from jinja2 import Environment, PackageLoader, StrictUndefined

    environment = Environment(
        loader=PackageLoader("tendwork.outputs", "html"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    return environment.get_template(template).render(mark=MARK, **values)
