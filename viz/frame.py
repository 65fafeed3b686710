"""What every page of a yard shares: frame, tokens, readings, and scripts without a bundler.

A page is a template that extends frame.html; its text is escaped here, once, before it
reaches the template. The readings are the ways to look at one yard, each at an address of
its own beside the others; a page that is saved alone names none.
"""

from collections.abc import Mapping, Sequence
from html import escape
from pathlib import Path
from typing import Any

import panel as pn
from bokeh.core.templates import get_env
from jinja2 import ChoiceLoader, FileSystemLoader

HERE = Path(__file__).parent
READINGS = {"yard": ("Yard", "./"), "race": ("Growth race", "race")}
"""Name and address of each reading, from any of the others."""


def script_source(names: Sequence[str]) -> str:
    """Scripts joined in their order into one ECMAScript module."""
    return "\n".join((HERE / "js" / name).read_text(encoding="utf-8") for name in names)


def style_source(name: str) -> str:
    """One of the pages' style sheets."""
    return (HERE / name).read_text(encoding="utf-8")


def framed(name: str, words: Mapping[str, Any], *, reading: str) -> Any:
    """A template of one session from `name`, its words escaped; their own readings go first."""
    env = get_env()
    env.loader = ChoiceLoader([FileSystemLoader(HERE), env.loader])
    template = pn.Template(env.get_template(name))
    template.add_variable("page", escaped({"readings": readings(reading), **words}))
    template.add_variable("style", style_source("page.css"))
    return template


def readings(here: str) -> list[dict[str, Any]]:
    """The links to every reading, this page's marked; none where it stands alone."""
    return [
        {"name": name, "address": address, "here": key == here}
        for key, (name, address) in READINGS.items()
        if here
    ]


def escaped(value: Any) -> Any:
    """The same mappings and lists with every string escaped for HTML."""
    if isinstance(value, str):
        return escape(value)
    if isinstance(value, Mapping):
        return {key: escaped(each) for key, each in value.items()}
    if isinstance(value, list | tuple):
        return [escaped(each) for each in value]
    return value
