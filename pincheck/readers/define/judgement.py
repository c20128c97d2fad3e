"""Whether a condition holds: true, false, unknown, or a mistake in its line."""

import re

from pincheck.model import limits
from pincheck.readers.define import expression
from pincheck.readers.define.arguments import MisuseError
from pincheck.readers.define.calls import PINS, SWITCHES, Truth, opposite
from pincheck.readers.define.conditionals import shown
from pincheck.readers.define.expansion import Expansion
from pincheck.readers.define.table import Context
from pincheck.readers.mistakes import Mistake

_CALL = re.compile(rf"(!?)({'|'.join([*SWITCHES, *PINS])})\(([^()]*)\)")
_COMMA = re.compile(r"\s*,\s*")


def judge(text: str, context: Context, expansion: Expansion) -> Truth | Mistake:
    """Return whether a condition holds at this point of the evaluation."""
    if not text:
        return Mistake(0, "this asks nothing", "a condition such as ENABLED(BLTOUCH)")
    if len(text) > limits.DEFINE_EXPRESSION_CHARS:
        message = f"this condition has more than {limits.DEFINE_EXPRESSION_CHARS} characters"
        return Mistake(0, message, "a shorter one")
    try:
        if call := _CALL.fullmatch(text):
            verdict = expansion.verdict(call[2], _COMMA.split(call[3].strip()), context)
            return opposite(verdict) if call[1] else verdict
        replaced = expansion.condition(text, context)
    except MisuseError as error:
        written = expression.condition(text)
        return written if isinstance(written, Mistake) else Mistake(0, str(error), "")
    expansion.count(replaced)
    found = expression.condition(replaced)
    if isinstance(found, Mistake):
        return _as_written(text, replaced, found)
    if isinstance(found, expression.Wrong):
        return Mistake(0, f"this condition cannot be computed: {found.reason}", "whole numbers")
    return None if isinstance(found, expression.Unknown) else bool(found)


def _as_written(text: str, replaced: str, mistake: Mistake) -> Mistake:
    """Return the mistake at its place in the text that the user wrote, if it is there."""
    written = expression.condition(text)
    if isinstance(written, Mistake):
        return written
    if not replaced.strip():
        asks = f"#ifdef {text} or ENABLED({text})"
        return Mistake(0, f"{text} is defined without a value, so this asks nothing", asks)
    message = f"with its macros replaced this reads {shown(replaced)!r}: {mistake.message}"
    return Mistake(0, message, mistake.expected, mistake.nearest)
