"""Text from a file made safe to show: no control, escape or direction-changing character."""

import re

_UNSAFE = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\u061c\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff"
    "\ud800-\udfff\ufff9-\ufffb\U000e0000-\U000e007f]"
)


def _escape(found: re.Match[str]) -> str:
    code = ord(found[0])
    return f"\\x{code:02x}" if code < 0x100 else f"\\u{code:04x}"


def printable(text: str) -> str:
    """Return `text` on one line with every unsafe character written as an escape."""
    return _UNSAFE.sub(_escape, text).replace("\n", "\\n").replace("\t", "    ")


def printable_lines(text: str) -> str:
    """Return `text` with its line feeds kept, carriage returns before them dropped."""
    return "\n".join(map(printable, text.replace("\r\n", "\n").split("\n")))


MOST_SAID = 2_000
"""Characters of one remark to the user: a screen full."""


def cut(text: str, most: int) -> str:
    """Return a text of at most `most` characters, the middle left out where it is longer."""
    if len(text) <= most:
        return text
    kept = (most - 5) // 2
    return f"{text[:kept]} ... {text[len(text) - kept :]}"
