"""What can be done where one is, from the keys that are bound there."""

from collections.abc import Iterator

from attrs import frozen
from textual.binding import Binding
from textual.dom import DOMNode
from textual.screen import Screen

from pincheck.screen.looks import LOOKS

_FOREIGN = ("page_left", "page_right", "scroll_", "screen.")
"""Actions that every scrolling widget brings along and that do nothing here."""

_MOVES = ("go(", "leap(", "end(", "open")


@frozen
class Command:
    """Something that can be done: the key that does it, words, the action and whose it is."""

    key: str
    words: str
    action: str
    node: DOMNode | None = None


def of_place(screen: "Screen[object]", *, moves: bool = True) -> Iterator[Command]:
    """Yield what the keys do there, the place's own before those of everywhere.

    Without `moves` the keys that only move the cursor are left out.
    """
    seen = set()
    bound = screen.active_bindings.values()
    for own in (True, False):
        for active in bound:
            binding, node = active.binding, active.node
            if (node is screen) is not own or not _ours(binding):
                continue
            if binding.action in seen or (not moves and binding.action.startswith(_MOVES)):
                continue
            seen.add(binding.action)
            key = binding.key_display or binding.key
            yield Command(key, binding.description, binding.action, node)


def _ours(binding: Binding) -> bool:
    foreign = binding.action.startswith(_FOREIGN) or binding.system
    return binding.show and bool(binding.description) and not foreign


def beyond_keys() -> Iterator[Command]:
    """Yield what has no key of its own."""
    for look in LOOKS:
        yield Command("", f"colours: {look}", f"look('{look}')")
