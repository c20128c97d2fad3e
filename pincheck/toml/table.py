"""What each key of a table takes; checks the tables of one document and gathers every mistake."""

import math
import re
from collections.abc import Callable, Iterator, Mapping
from typing import Any, Literal

import attrs

from pincheck.model import limits
from pincheck.model.nearest import nearest
from pincheck.model.printable import printable
from pincheck.model.problem import Problem, UnreadableError
from pincheck.toml.document import Document
from pincheck.toml.scan import KeyPath

FieldKind = Literal[
    "text", "number", "integer", "flag", "choice", "texts", "numbers", "table", "any"
]


@attrs.frozen
class Field:
    """What one key takes.

    `build` makes the value of a `table` from its checked keys; `needed` means that the table is
    of no use without it.
    """

    kind: FieldKind
    words: str
    unit: str = ""
    low: float = 0.0
    high: float = 0.0
    choices: tuple[str, ...] = ()
    keys: Mapping[str, "Field"] = attrs.field(factory=dict)
    build: Callable[..., Any] | None = None
    needed: bool = False

    @property
    def expected(self) -> str:
        """What a right value looks like, in words."""
        match self.kind:
            case "number" | "integer" | "numbers":
                unit = f" {self.unit}" if self.unit else ""
                number = "a whole number" if self.kind == "integer" else "a number"
                number = "a list of numbers" if self.kind == "numbers" else number
                return f"{self.words}: {number} from {self.low:.9g} to {self.high:.9g}{unit}"
            case "choice":
                return f"{self.words}: " + ", ".join(f'"{choice}"' for choice in self.choices)
            case "flag":
                return f"{self.words}: true or false"
            case "texts":
                return f'{self.words}: a list of texts in "quotes"'
            case "table":
                keys = ", ".join(self.keys)
                return f"{self.words}: a table" + (f" of {keys}" if keys else "")
            case "text":
                return f'{self.words}: text in "quotes"'
        return self.words


_TYPES: tuple[tuple[type, str], ...] = (
    (bool, "true or false"),
    (int, "a number"),
    (float, "a number"),
    (str, "text"),
    (list, "a list"),
    (dict, "a table"),
)


class Tables:
    """One document and the mistakes found in it so far."""

    def __init__(self, document: Document) -> None:
        self.document = document
        self.problems: list[Problem] = list(document.problems)

    def wrong(
        self,
        path: KeyPath,
        message: str,
        expected: str = "",
        near: str = "",
        on_key: bool = False,
    ) -> None:
        """Note a mistake at the value (or key) of `path`.

        Raises:
            UnreadableError: the file has more mistakes than anybody would read.
        """
        self.problems.append(
            self.document.problem(path, message, expected=expected, nearest=near, on_key=on_key)
        )
        if len(self.problems) >= limits.WIRING_PROBLEMS:
            name = self.document.source.name
            more = Problem(
                name, f"more than {limits.WIRING_PROBLEMS} mistakes: no more are listed", fatal=True
            )
            raise UnreadableError((*self.problems, more))

    def read(self, path: KeyPath, keys: Mapping[str, Field]) -> dict[str, Any]:
        """Return the right values of the table at `path`; note each that is wrong or missing."""
        table = self.document.get(path)
        if not isinstance(table, dict):
            self.wrong(path, f"{_last(path)} is {_type(table)}", "a table")
            return {}
        read = dict[str, Any]()
        for key, value in table.items():
            if key not in keys:
                self._unknown((*path, key), keys)
            elif (right := self._value((*path, key), value, keys[key])) is not None:
                read[key] = right
        for key, field in keys.items():
            if field.needed and key not in table and key not in self.document.broken:
                self.wrong(path, f"{_last(path)} lacks the key {key!r}", field.expected)
        return read

    def children(self, path: KeyPath) -> Iterator[str]:
        """Yield the keys of the table at `path` that are fit to be names."""
        try:
            table = self.document.get(path)
        except (LookupError, TypeError):
            return
        if isinstance(table, dict):
            yield from (key for key in table if self.name((*path, key), key))

    def name(self, path: KeyPath, text: str) -> bool:
        """Return whether a key can be a name; note where not."""
        if text.strip() and len(text) <= limits.WIRING_TEXT and printable(text) == text:
            return True
        self.wrong(path, f"{show(text)} cannot be a name", "printable text", on_key=True)
        return False

    def texts(self, path: KeyPath, words: str) -> dict[str, str]:
        """Return a table whose keys and values are all free text; whole numbers are taken too."""
        field = Field("text", words)
        found = dict[str, str]()
        for key in self.children(path):
            value = self.document.get((*path, key))
            whole = isinstance(value, int) and not isinstance(value, bool)
            text = self._value((*path, key), str(value) if whole else value, field)
            if text is not None:
                found[key] = text
        return found

    def _unknown(self, path: KeyPath, keys: Mapping[str, Field]) -> None:
        key = str(path[-1])
        near = nearest(key, keys)
        expected = "" if near else "one of " + ", ".join(keys)
        if re.fullmatch(r"\d+V", key) and path[0] == "nets":
            dotted = f"{path[-2]}.{key}"
            near, expected = "", f'a name with a dot in quotes: [nets."{dotted}"]'
        self.wrong(path, f"unknown key {show(key)}", expected, near, on_key=True)

    def _value(self, path: KeyPath, value: Any, field: Field) -> Any:
        match field.kind:
            case "table":
                return self._built(path, value, field)
            case "text":
                right = isinstance(value, str) and self._text(path, value)
            case "choice":
                right = isinstance(value, str) and self._chosen(path, value, field)
            case "flag":
                right = isinstance(value, bool)
            case "number" | "integer":
                whole = field.kind == "integer"
                right = _is_number(value, whole) and self._in_range(path, value, field)
            case "texts" | "numbers":
                if isinstance(value, list):
                    return self._items(path, value, field)
                right = False
            case _:
                return value
        if right:
            return float(value) if field.kind == "number" else value
        if not _type_fits(value, field):
            self.wrong(path, f"{_last(path)} is {_type(value)}: {show(value)}", field.expected)
        return None

    def _built(self, path: KeyPath, value: Any, field: Field) -> Any:
        if not isinstance(value, dict):
            self.wrong(path, f"{_last(path)} is {_type(value)}: {show(value)}", field.expected)
            return None
        if field.build is None:
            return value
        read = self.read(path, field.keys)
        complete = all(key in read for key, inner in field.keys.items() if inner.needed)
        return field.build(**read) if complete else None

    def _items(self, path: KeyPath, items: list[Any], field: Field) -> list[Any]:
        """Return the items with an empty text (or 0) for each wrong one, to keep their numbers."""
        kind: FieldKind = "text" if field.kind == "texts" else "number"
        item = Field(kind, field.words, field.unit, field.low, field.high)
        read = (self._value((*path, number), each, item) for number, each in enumerate(items))
        return [("" if kind == "text" else 0.0) if each is None else each for each in read]

    def _text(self, path: KeyPath, value: str) -> bool:
        if len(value) > limits.WIRING_TEXT:
            self.wrong(path, f"text of {len(value)} characters", f"at most {limits.WIRING_TEXT}")
        elif printable(value) != value:
            self.wrong(path, f"{show(value)} holds a control character", "printable text")
        else:
            return True
        return False

    def _chosen(self, path: KeyPath, value: str, field: Field) -> bool:
        if value in field.choices:
            return True
        near = nearest(value, field.choices)
        self.wrong(path, f"{_last(path)} is {show(value)}", field.expected, near)
        return False

    def _in_range(self, path: KeyPath, value: float, field: Field) -> bool:
        if field.low <= value <= field.high:
            return True
        self.wrong(path, f"{_last(path)} = {value:g} makes no sense", field.expected)
        return False


def _is_number(value: Any, whole: bool) -> bool:
    if isinstance(value, bool) or not isinstance(value, int | float):
        return False
    return isinstance(value, int) if whole else math.isfinite(value)


def _type_fits(value: Any, field: Field) -> bool:
    """Whether the value has the right type, so that its mistake is noted already."""
    match field.kind:
        case "number":
            return _is_number(value, whole=False)
        case "integer":
            return _is_number(value, whole=True)
        case "text" | "choice":
            return isinstance(value, str)
    return False


def _type(value: Any) -> str:
    return next((words for kind, words in _TYPES if isinstance(value, kind)), "a date or time")


def _last(path: KeyPath) -> str:
    if not path:
        return "the file"
    last = path[-1]
    return f"item {last + 1} of {_last(path[:-1])}" if isinstance(last, int) else printable(last)


def show(value: object) -> str:
    """Return a value from a file in quotes, short and safe to print."""
    text = printable(value if isinstance(value, str) else repr(value))
    if isinstance(value, bool):
        return text.lower()
    text = text if len(text) <= 60 else text[:57] + "..."
    return f"'{text}'" if isinstance(value, str) else text
