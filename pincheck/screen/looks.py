"""Colours: dark, light, or none at all."""

from typing import Literal

from textual.theme import Theme

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
    variables={"quiet": "#8d9894", "lit": "#2f4750"},
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
    variables={"quiet": "#5f6862", "lit": "#c9dfe6"},
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
    variables={"quiet": "ansi_default", "lit": "ansi_default"},
)
"""The terminal's own two colours; bold, underline and reverse do the rest."""

THEMES: dict[Look, Theme] = {"dark": DARK, "light": LIGHT, "none": NONE}
