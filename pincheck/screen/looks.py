"""Colours: dark, light, or none at all."""

from collections.abc import Mapping
from typing import Literal

from rich.style import Style
from textual.theme import BUILTIN_THEMES, Theme

from pincheck.screen.page import Tone

Look = Literal["dark", "light", "none"]
LOOKS: tuple[Look, ...] = ("dark", "light", "none")

DARK = Theme(
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
)
LIGHT = Theme(
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
)
NONE = Theme(
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
)
"""The terminal's own two colours; bold, underline and reverse do the rest."""

THEMES: dict[Look, Theme] = {"dark": DARK, "light": LIGHT, "none": NONE}

_COLOURED: dict[Tone, str] = {
    "danger": "error",
    "fault": "warning",
    "advice": "secondary",
    "agrees": "success",
    "dim": "quiet",
    "title": "primary",
    "added": "success",
    "removed": "error",
}
_BOLD = frozenset(("danger", "fault", "title", "strong"))


def tones(look: Look) -> Mapping[Tone, Style]:
    """Return how each tone is drawn; without colours bold is all that is left."""
    theme = THEMES[look]
    drawn: dict[Tone, Style] = {"": Style(), "strong": Style(bold=True)}
    for tone, name in _COLOURED.items():
        colour = theme.variables.get(name) or getattr(theme, name)
        bold = tone in _BOLD or None
        drawn[tone] = Style(bold=bold) if theme.ansi else Style(color=colour, bold=bold)
    return drawn


CURSOR = Style(bold=True, reverse=True)
"""Added to what the cursor is on."""
