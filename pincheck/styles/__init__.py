"""What is peculiar to each style of configuration: one object a style, loaded when it is asked for.

Nothing above this room asks which style it has before it: it asks the style.
"""

from functools import cache
from importlib import import_module

from pincheck.model.setting import STYLES
from pincheck.styles.style import Style

__all__ = ["Style", "of", "register"]

_REGISTERED: dict[str, Style] = {}


def register(style: Style) -> None:
    """Add a style from outside the package, or put it in place of one of the package's own."""
    _REGISTERED[style.name] = style
    if style.name not in STYLES:
        STYLES.append(style.name)
    if style.sensor_words:
        from pincheck.sensors import add_words

        add_words(style.name, style.sensor_words)
    of.cache_clear()


@cache
def of(name: str) -> Style:
    """Return the style of a name; one of the package's own is loaded where it is asked for first.

    Raises:
        KeyError: no such style.
    """
    if name in _REGISTERED:
        return _REGISTERED[name]
    if name not in STYLES:
        raise KeyError(name)
    made: Style = import_module(f"pincheck.styles.{name}").STYLE
    return made
