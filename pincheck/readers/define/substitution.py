"""A macro's body with its arguments put in: `#` makes text of one, `##` glues two words."""

from collections.abc import Mapping, Sequence

MacroWord = tuple[str, frozenset[str]]
"""A word and the macros that are not to be replaced in it."""
NOWHERE: frozenset[str] = frozenset()


def trimmed(words: list[MacroWord]) -> list[MacroWord]:
    """Return words without blanks around them."""
    start, end = 0, len(words)
    while start < end and words[start][0].isspace():
        start += 1
    while end > start and words[end - 1][0].isspace():
        end -= 1
    return words[start:end]


def substitute(
    body: Sequence[str],
    parameters: tuple[str, ...] | None,
    raw: Mapping[str, Sequence[MacroWord]],
    full: Mapping[str, Sequence[MacroWord]],
    hidden: frozenset[str],
) -> list[MacroWord]:
    """Return a macro's body with its arguments in place, hidden from the macros named.

    `raw` holds the arguments as written, for `#` and `##`; `full` the same with macros replaced.
    """
    out: list[MacroWord] = []
    body = _optional(body, raw)
    glue = False
    for at, word in enumerate(body):
        if word.strip() == "##":
            glue = True
            continue
        glues_on = at + 1 < len(body) and body[at + 1].strip() == "##"
        name = word[1:].strip() if word.startswith("#") else ""
        if parameters is not None and name in raw:
            part: Sequence[MacroWord] = [(_quoted(raw[name]), NOWHERE)]
        elif word in raw:
            part = (raw[word] or [("", NOWHERE)]) if glues_on else raw[word] if glue else full[word]
        else:
            part = [(word, NOWHERE)]
        if glue:
            part = _glued(out, part)
            glue = False
        out.extend((text, hides | hidden) for text, hides in part)
    return [item for item in out if item[0]]


def _glued(out: list[MacroWord], part: Sequence[MacroWord]) -> Sequence[MacroWord]:
    """Take the last word off `out` and return `part` with it in front of its first."""
    if not out:
        return part
    before = out.pop()
    if before[0] == ",":
        # a comma before an absent variable argument goes with it (a GNU extension in wide use)
        return [before, *part] if part else []
    first = part[0] if part else ("", NOWHERE)
    return [(before[0] + first[0], before[1] & first[1]), *part[1:]]


def _quoted(words: Sequence[MacroWord]) -> str:
    text = "".join(" " if word.isspace() else word for word, _ in words)
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'


def _optional(body: Sequence[str], raw: Mapping[str, Sequence[MacroWord]]) -> Sequence[str]:
    """Return a body with `__VA_OPT__( )` gone, and what is in it kept only if there is more."""
    if "__VA_OPT__" not in body:
        return body
    at = body.index("__VA_OPT__")
    depth, end = 0, at + 1
    while end < len(body):
        depth += (body[end] == "(") - (body[end] == ")")
        end += 1
        if depth == 0 and body[end - 1] == ")":
            break
    inside = body[at + 2 : end - 1] if raw.get("__VA_ARGS__") else ()
    return _optional([*body[:at], *inside, *body[end:]], raw)
