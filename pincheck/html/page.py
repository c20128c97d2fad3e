"""A template to one HTML file that needs nothing beside it: style and script stand in it."""

from base64 import b64encode
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from pincheck.model.frozen import frozen
from pincheck.model.printable import printable, printable_lines

_TEMPLATES = Path(__file__).parent / "templates"


@frozen
class Inline:
    """A style or script that stands in the page, and its name in the page's security policy."""

    text: Markup
    hash: str


def render(template: str, **data: Any) -> str:
    """Return the page that a template of this room makes of `data`.

    Whatever is no `Markup` is escaped; a name that `data` lacks is an error.

    Raises:
        jinja2.TemplateNotFound: there is no such template.
    """
    page = environment().get_template(template)
    return page.render(style=_inline("page.css"), script=_inline("copy.js"), **data)


@cache
def environment() -> Environment:
    """Return the templates with what all of them may use."""
    return Environment(
        loader=FileSystemLoader(_TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        finalize=_shown,
    )


def _shown(value: object) -> object:
    """Return a value with every unsafe character of a text escaped, before HTML is."""
    if isinstance(value, Markup) or not isinstance(value, str):
        return value
    return printable_lines(value) if "\n" in value else printable(value)


def _inline(name: str) -> Inline:
    text = (_TEMPLATES / name).read_text(encoding="utf-8")
    hashed = b64encode(sha256(text.encode()).digest()).decode()
    # What stands between the tags is hashed to the letter.
    return Inline(Markup(text), f"'sha256-{hashed}'")
