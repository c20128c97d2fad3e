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

CSS = """
Screen { layout: vertical; layers: base; background: $background; color: $foreground; }
PageView {
    height: 1fr; background: $background; color: $foreground;
    scrollbar-size: 0 0; overflow: hidden hidden;
    & > .tone-plain { color: $foreground; }
    & > .tone-danger { color: $error; text-style: bold; }
    & > .tone-fault { color: $warning; text-style: bold; }
    & > .tone-advice { color: $secondary; }
    & > .tone-agrees { color: $success; }
    & > .tone-dim { color: $quiet; }
    & > .tone-title { color: $primary; text-style: bold; }
    & > .tone-strong { color: $foreground; text-style: bold; }
    & > .tone-added { color: $success; }
    & > .tone-removed { color: $error; }
    & > .cursor { text-style: bold reverse; }
}
Input {
    border: none; height: 1; padding: 0 1; background: $surface; color: $foreground;
    &:focus { border: none; background-tint: transparent 0%; }
    & > .input--placeholder { color: $quiet; }
    & > .input--cursor { text-style: reverse; }
}
#bar { height: 1; background: $surface; }
#bar > .tone-strong { background: $surface; }
#answer { height: 1; }
#hints { height: 1; }
#small { display: none; }
.small > * { display: none; }
.small > #small { display: block; }
#count, #heads, #what, #summary { height: 1; }
#board-halves { layout: vertical; height: 1fr; }
#board-halves > #pin { height: 7; }
.broad #board-halves { layout: horizontal; }
.broad #board-halves > #pin { height: 1fr; width: 54; }
#curve-halves { layout: vertical; height: 1fr; }
#curve-halves > #plot { height: 3fr; }
#curve-halves > #figures { height: 2fr; }
.wide #curve-halves { layout: horizontal; }
.wide #curve-halves > #plot { height: 1fr; width: 1fr; }
.wide #curve-halves > #figures { height: 1fr; width: 32; }
.broad #curve-halves > #figures { width: 54; }
#walk-halves { layout: vertical; height: 1fr; }
.broad #board-halves { layout: vertical; height: 1fr; }
#board-halves > #pin { height: 7; }
.broad #board-halves { layout: horizontal; }
.broad #board-halves > #pin { height: 1fr; width: 54; }
#walk-halves { layout: horizontal; }
#meaning { height: 3; }
#halves { layout: vertical; height: 1fr; }
#halves > Vertical { height: 1fr; }
#table-side { max-height: 55%; }
.broad #table-side { height: 1fr !important; max-height: 100%; }
#choices { max-height: 50%; }
.broad #halves { layout: horizontal; }
.broad #table-side { width: 80; }
"""
