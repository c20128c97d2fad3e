"""Colours: dark, light, or none at all, and the style of each tone."""

from collections.abc import Mapping
from typing import Literal

from textual.content import Content
from textual.theme import BUILTIN_THEMES, Theme

from pincheck.reports.glyphs import Glyphs
from pincheck.screen.page import PageLine, Tone

Colours = Literal["dark", "light", "none"]

THEMES: Mapping[Colours, Theme] = {
    "dark": Theme(
        name="pincheck-dark",
        dark=True,
        primary="#8ab4c8",
        background="#14181a",
        surface="#1d2326",
        panel="#1d2326",
        foreground="#d5dbd8",
        error="#ff6b5e",
        warning="#f0b849",
        success="#7fc98b",
        secondary="#7fb8e0",
        variables={"quiet": "#8d9894"},
    ),
    "light": Theme(
        name="pincheck-light",
        dark=False,
        primary="#1f5f7a",
        background="#fbfaf6",
        surface="#efede5",
        panel="#efede5",
        foreground="#20261f",
        error="#b3140a",
        warning="#8a5a00",
        success="#1d6b33",
        secondary="#1c5a96",
        variables={"quiet": "#5f6862"},
    ),
    # The terminal's own two colours; bold, underline and reverse do the rest.
    "none": Theme(
        name="pincheck-none",
        ansi=True,
        primary="ansi_default",
        background="ansi_default",
        surface="ansi_default",
        panel="ansi_default",
        foreground="ansi_default",
        error="ansi_default",
        warning="ansi_default",
        success="ansi_default",
        secondary="ansi_default",
        variables={**BUILTIN_THEMES["ansi-dark"].variables, "quiet": "ansi_default"},
    ),
}

STYLES: Mapping[Tone, str] = {
    "": "",
    "strong": "bold",
    "title": "bold $primary",
    "danger": "bold $error",
    "fault": "bold $warning",
    "advice": "$secondary",
    "agrees": "$success",
    "added": "$success",
    "removed": "$error",
    "dim": "$quiet",
}
"""How each tone is drawn, in the toolkit's words; without colours bold is all that is left."""


def styled(line: PageLine, glyphs: Glyphs) -> Content:
    """Return a line as the toolkit's widgets take it."""
    return Content.assemble(*((glyphs.shown(run.text), STYLES[run.tone]) for run in line))
