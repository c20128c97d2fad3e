"""What can be done where one is, from the keys bound there, for the toolkit's command palette."""

from collections.abc import Iterator
from functools import partial
from typing import Any

from textual.app import App
from textual.binding import Binding
from textual.command import CommandListItem
from textual.screen import Screen

from pincheck.screen.themes import THEMES

KEY = 12
"""Columns of a key before what it does; the longest, `enter space`, fits."""

_FOREIGN = ("page_left", "page_right", "scroll_", "screen.")
"""Actions that every scrolling widget brings along and that do nothing here."""


def commands(screen: Screen[Any], app: App[Any]) -> list[CommandListItem]:
    """Return what can be done on a screen: its own keys, those of everywhere, the colours."""
    return [*_keys(screen, app), *_colours(app)]


def _keys(screen: Screen[Any], app: App[Any]) -> Iterator[CommandListItem]:
    """Yield what the keys do, each once: the screen's own, those of everywhere, the cursor's."""
    seen = set()
    order = {screen: 0, app: 1}
    for active in sorted(screen.active_bindings.values(), key=lambda a: order.get(a.node, 2)):
        binding, node = active.binding, active.node
        if _ours(binding) and binding.action not in seen:
            seen.add(binding.action)
            shown = f"{binding.key_display or binding.key:<{KEY}} {binding.description}"
            yield shown, partial(app.run_action, binding.action, node)


def _ours(binding: Binding) -> bool:
    foreign = binding.action.startswith(_FOREIGN) or binding.system
    return binding.show and bool(binding.description) and not foreign


def _colours(app: App[Any]) -> Iterator[CommandListItem]:
    for colours in THEMES:
        yield f"{'':{KEY}} colours: {colours}", partial(app.run_action, f"colours('{colours}')")
