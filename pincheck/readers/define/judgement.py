"""Whether a condition holds: true, false, unknown, or a mistake in its line."""

from pincheck.readers.define import expression
from pincheck.readers.define.calls import Verdict
from pincheck.readers.define.conditionals import shown
from pincheck.readers.define.expansion import Expansion, MisuseError
from pincheck.readers.define.table import Context
from pincheck.readers.mistakes import Mistake


def judge(text: str, context: Context, expansion: Expansion) -> Verdict | Mistake:
    """Return whether a condition holds at this point of the evaluation."""
    if not text:
        return Mistake(0, "this asks nothing", "a condition such as ENABLED(BLTOUCH)")
    try:
        replaced = expansion.condition(text, context)
    except MisuseError as error:
        return Mistake(0, str(error), "")
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
