"""What every page of a yard shares: frame, tokens, readings, and scripts without a bundler.

A page is a template that extends frame.html; its text is escaped here, once, before it
reaches the template. The readings are the ways to look at one yard: each at an address of
its own beside the others, or a part of one file.
"""

from collections.abc import Mapping, Sequence
from functools import cache
from html import escape
from pathlib import Path
from typing import Any

import panel as pn
from bokeh.core.templates import get_env
from jinja2 import ChoiceLoader, FileSystemLoader

HERE = Path(__file__).parent
READINGS = {
    "yard": ("Yard", "./"),
    "conditions": ("Conditions", "conditions"),
    "race": ("Growth race", "race"),
    "plan": ("Plan", "plan"),
}
"""Name of each reading, and its address from any of the others."""

SERVED_ONLY = ("plan",)
"""Readings that need a server to write the document; a packed file has none."""


def script_source(names: Sequence[str]) -> str:
    """Scripts joined in their order into one ECMAScript module."""
    return "\n".join((HERE / "js" / name).read_text(encoding="utf-8") for name in names)


def style_source(name: str) -> str:
    """One of the pages' style sheets."""
    return (HERE / name).read_text(encoding="utf-8")


def framed(name: str, words: Mapping[str, Any], *, reading: str, one_file: bool = False) -> Any:
    """A template of one session from `name`, with its words escaped."""
    template = pn.Template(_environment().get_template(name))
    template.add_variable(
        "page", escaped({**words, "readings": readings(reading, one_file=one_file)})
    )
    template.add_variable("style", style_source("page.css"))
    return template


def whole_page(name: str, words: Mapping[str, Any], *, reading: str) -> str:
    """A whole page from a template without any component, its words escaped."""
    page = {**words, "readings": readings(reading, one_file=False)}
    made = _environment().get_template(name)
    return str(made.render(page=escaped(page), style=style_source("page.css")))


def filled(name: str, words: Mapping[str, Any]) -> str:
    """The markup of one of our templates that stands alone, with its words escaped."""
    return str(_environment().get_template(name).render(page=escaped(words)))


@cache
def _environment() -> Any:
    env = get_env()
    env.loader = ChoiceLoader([FileSystemLoader(HERE), env.loader])
    return env


def readings(here: str, *, one_file: bool) -> list[dict[str, Any]]:
    """The links to every reading, this page's marked."""
    return [
        {"name": name, "address": f"#{key}" if one_file else address, "here": key == here}
        for key, (name, address) in READINGS.items()
        if not (one_file and key in SERVED_ONLY)
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
