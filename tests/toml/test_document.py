"""Places of keys and values, held against the values of the standard library's reader."""

import datetime
import tomllib

import pytest
import tomli_w
from hypothesis import given
from hypothesis import strategies as st

from pincheck.model import limits
from pincheck.model.problem import UnreadableError
from pincheck.model.source import Source
from pincheck.toml.document import parse

EVERY_FORM = r'''
# comment
bare_key-1 = "basic \t \"quoted\" \u00e9 \\"   # comment
"quoted key" = 'literal \ "'
'lit.key' . sub = 1
1234 = true
true = false
3.14159 = "pi"
site."an.other" = 0xDEAD_beef
ints = [ 0o755, 0b1101_0110, +99, -17, 0, 1_000 ]
floats = [1.0, 3.1415, -0.01, 5e+22, 1e06, -2E-2, 6.626e-34, 224_617.445_991, inf, -inf, +inf]
multi = """
first \
    joined ""two"" 'one'
last"""""
literal = \'\'\'
C:\no \escape ''two''
\'\'\'
empty = ["", '', [], {}, """""", \'\'\'\'\'\']
dates = [ 1979-05-27T07:32:00Z, 1979-05-27 00:32:00.999-07:00, 1979-05-27T07:32:00,
          1979-05-27, 07:32:00, 00:32:00.999999 ]
nested = [ # comment, with , and ]
  [1, 2,], # trailing comma
  ["a", {x = 1, y.z = [2]}],

]
inline = { a = 1, "b c" = { d.e = 'x' }, f = [] }

[table]
key = 1
[ spaced . "head er" ]
key = "ü"
[table.sub.deep]
[[tables]]
n = 1
[[tables]]
[tables.inner]
k = 1
[[tables.list]]
[[tables.list]]
v = 2
[[tables]]
last = 1979-05-27
no_newline_at_the_end = 1'''.replace("\\'\\'\\'", "'''")


def leaves(value, path=()):
    """Yield every path of a document with its value."""
    pairs = value.items() if isinstance(value, dict) else enumerate(value)
    for key, inner in pairs:
        yield (*path, key), inner
        if isinstance(inner, dict | list):
            yield from leaves(inner, (*path, key))


def check(text):
    """Hold every place in `text` against the value that the standard library reads there."""
    document = parse(Source.of_text("x.toml", text))
    values = tomllib.loads(text)
    assert not document.problems
    assert document.values == values
    expected = dict(leaves(values))
    assert set(document.places) == set(expected)
    for path, (at, value_at) in document.places.items():
        key = text[slice(*at)]
        if isinstance(path[-1], str):
            assert tomllib.loads(f"{key} = 0") == {path[-1]: 0}
        written = text[slice(*value_at)]
        if not isinstance(expected[path], dict | list):
            assert tomllib.loads(f"x = {written}") == {"x": expected[path]}
        elif len(path) == 1 and isinstance(values[path[0]], list) and path[0] != "tables":
            assert tomllib.loads(f"x = {written}")["x"] == expected[path]


@pytest.mark.parametrize("newline", ["\n", "\r\n"])
def test_every_form_of_toml_has_its_place(newline):
    """Strings, dates, numbers, tables and keys of every form, with either line ending."""
    check(EVERY_FORM.replace("\n", newline))


scalars = (
    st.booleans()
    | st.integers(-(2**63), 2**63 - 1)
    | st.floats(allow_nan=False)
    | st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
    | st.dates()
    | st.times(timezones=st.none()).map(lambda time: time.replace(fold=0))
    | st.datetimes(timezones=st.none() | st.just(datetime.UTC))
)
keys = st.text(st.characters(exclude_categories=["Cs"]), max_size=6)
tables = st.recursive(
    st.dictionaries(keys, scalars, max_size=4),
    lambda inner: st.dictionaries(
        keys, scalars | inner | st.lists(inner | scalars, max_size=3), max_size=4
    ),
    max_leaves=12,
)


@given(tables, st.booleans())
def test_generated_documents_agree_with_the_standard_library(document, multiline):
    """Whatever a writer makes, every path and every value is found where it stands."""
    text = tomli_w.dumps(document, multiline_strings=multiline)
    parsed = parse(Source.of_text("x.toml", text))
    values = tomllib.loads(text)
    assert parsed.values == values
    assert set(parsed.places) == {path for path, _ in leaves(values)}
    for path, value in leaves(values):
        span = parsed.value(path)
        if not isinstance(value, dict | list):
            assert tomllib.loads(f"x = {text[span.start : span.end]}")["x"] == value


@given(st.text(st.sampled_from("ab=.[]{}\",'#\n\r \t1-:_\\t0x"), max_size=40))
def test_what_the_standard_library_refuses_is_a_problem_with_a_place(text):
    """Valid documents are read, broken ones have a line; nothing else ever happens."""
    try:
        values = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        values = None
    places = []
    try:
        document = parse(Source.of_text("x.toml", text))
    except UnreadableError as error:
        document = None
        places = [problem.span for problem in error.problems]
    if document is None:
        assert values is None
        assert all(places)
        return
    assert bool(document.problems) == (values is None)
    if values is not None:
        assert document.values == values


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("a = 8A\n", ["1:5 did you mean '8'"]),
        ("a = 2.5 mm # wide\n", ["1:9"]),
        ("a = 24 V\n", ["1:8 did you mean '24'"]),
        ("a = .5\nb = 007", ["1:5 did you mean '0.5'", "2:5 did you mean '7'"]),
        ("a = True\nb = no", ["1:5 did you mean 'true'", "2:5 did you mean 'false'"]),
        ("a = “ruff”\n", ["1:5 did you mean '\"ruff\"'"]),
        ("a: 1\nb 2\n", ["1:2 did you mean '='", "2:3 expected = after the key"]),
        ('a = "x\nb = 1\n', ["1:5 no closing quote"]),
        ('a = """x""\nb = 1\n', ["1:5 no closing quote"]),
        ("[a\nb = 1\n", ["1:3 did you mean '[a]'"]),
        ("[[a.b]\n", ["1:6 did you mean '[[a.b]]'"]),
        ("[a]]\n", ["1:4 expected the end of the line"]),
        ("a = 1\nb = \nc = 2,5\nd = 4\n", ["2:5 breaks off; expected a value", "3:6 mean '2.5'"]),
        ("a = 1\n\na = 2\n", ["3:1 given twice; expected one of them: the first is on line 1"]),
        (
            "[a]\nb = 1\n[c]\n[a]\n",
            ["4:1 given twice; expected one of them: the first is on line 1"],
        ),
        ("a = {b = 1, b = 2}\n", ["1:13 given twice"]),
        ("a = {b = 1,}\n", ["1:12 expected a key"]),
        ("a = {b = 1\n", ["1:11 expected } or a comma"]),
        ("a = [1 2]\n", ["1:8 expected ] or a comma"]),
        ("a = 'x'\r\nb = y\r\n", ["2:5 did you mean '\"y\"'"]),
        ("ü = 1\n", ["1:1 expected a [table] or key = value; did you mean '\"ü\"'"]),
        ("a = 2023-02-31\n", ["1:5 not TOML"]),
    ],
)
def test_broken_lines_are_named_and_the_rest_is_read(text, told):
    """One bad line never hides another; line and column point at it, what was meant is told."""
    problems = parse(Source.of_text("x.toml", text)).problems
    for problem, expected in zip(problems, told, strict=True):
        place, _, words = expected.partition(" ")
        assert f"{problem.span.line}:{problem.span.column}" == place
        assert words in str(problem)
        assert problem.text == text.splitlines()[problem.span.line - 1]


def test_a_broken_header_takes_its_keys_along():
    """Keys under a header that cannot be read belong to no other table."""
    document = parse(Source.of_text("x.toml", "[a]\nx = 1\n[b\nx = 2\ny = 3\n[c]\nx = 4\n"))
    assert document.values == {"a": {"x": 1}, "c": {"x": 4}}
    assert [problem.span.line for problem in document.problems] == [3]


@pytest.mark.parametrize(
    "text",
    [
        "a = [1,\n2",
        "\n".join(f"k{number} = {number}" for number in range(limits.WIRING_ENTRIES + 1)),
    ],
    ids=["open list", "too many keys"],
)
def test_what_cannot_be_read_on_is_fatal(text):
    """A list that never ends, and a document past a bound, leave nothing to check."""
    with pytest.raises(UnreadableError) as caught:
        parse(Source.of_text("x.toml", text))
    assert caught.value.problems[-1].fatal


@pytest.mark.parametrize(
    "text", ["a = " + "[" * 2_400 + "]" * 2_400, ".".join("a" * 2_400) + " = 1", "[" * 4_900]
)
def test_deep_nesting_is_refused(text):
    """Hostile nesting ends in a problem, not in a stack that overflows."""
    document = parse(Source.of_text("x.toml", text))
    assert len(document.problems) == 1
    assert document.values == {}
