"""The define style against a C preprocessor: the same macros active, with the same values.

Oracle: `gcc -E`, on generated headers. Condition calls are given to it as macros.
"""

import re
import shutil
import subprocess
from pathlib import Path
from posixpath import dirname, normpath, relpath
from tempfile import TemporaryDirectory

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from pincheck.model.setting import Activity
from pincheck.model.source import Source
from pincheck.readers.define import read
from pincheck.readers.define.expansion import Expansion
from pincheck.readers.define.headers import Headers
from pincheck.readers.define.run import Preprocessing

pytestmark = pytest.mark.skipif(shutil.which("gcc") is None, reason="no gcc to compare with")

NUMBERS = ("N0", "N1", "N2", "N3")
FLAGS = ("F0", "F1", "F2")
UNHEARD = ("U0", "U1")
CALLS = """\
#define SECOND_(a, b, ...) b
#define SECOND(...) SECOND_(__VA_ARGS__)
#define IS_ON_ ~, 1
#define IS_ON_1 ~, 1
#define IS_ON_true ~, 1
#define IS_ON(value) SECOND(IS_ON_ ## value, 0, 0)
#define IS_ON_VALUE(value) IS_ON(value)
#define ENABLED(name) IS_ON_VALUE(name)
#define DISABLED(name) (!ENABLED(name))
#define EITHER(a, b) (ENABLED(a) || ENABLED(b))
#define BOTH(a, b) (ENABLED(a) && ENABLED(b))
"""
ALL_MENTIONED = "#if 0\n" + "".join(f"#define {n}\n" for n in NUMBERS + FLAGS) + "#endif\n"

blank = st.sampled_from(("", " ", "  ", "\t", " /* c */ ", " \\\n "))
gap = st.sampled_from((" ", "\t", "  ", " /* c\n c */ ", " \\\n"))
note = st.sampled_from(
    ("", "", "", "//A8", " // note", " /* note */", " // more \\\n #define N0 9")
)
LITERALS = """0 1 2 3 10 0x1F 010 0b11 5U 3L 2UL 'A' true false 2147483648 18446744073709551615"""
OPERATORS = "+ - * / % << >> & | ^ && || == != < > <= >="
literal = st.sampled_from(LITERALS.split())
binary = st.sampled_from(OPERATORS.split())


def expression(names: tuple[str, ...]) -> st.SearchStrategy[str]:
    """Expressions over numbers, the given names, and questions about flags."""
    calls = st.builds(
        "{}({})".format, st.sampled_from(("ENABLED", "DISABLED")), st.sampled_from(FLAGS)
    )
    pairs = st.builds(
        "{}({}, {})".format,
        st.sampled_from(("EITHER", "BOTH")),
        st.sampled_from(FLAGS),
        st.sampled_from(FLAGS),
    )
    defined = st.builds(
        "{}".format,
        st.sampled_from([f"defined({n})" for n in (*NUMBERS, *FLAGS, *names)] + ["defined N0"]),
    )
    leaf = st.one_of(literal, st.sampled_from(names), calls, pairs, defined, st.just("SUM(1, N0)"))
    return st.recursive(
        leaf,
        lambda inner: st.one_of(
            st.builds("{}{}{}{}{}".format, inner, blank, binary, blank, inner),
            st.builds("({})".format, inner),
            st.builds("{}{}".format, st.sampled_from(("!", "~", "- ", "+ ")), inner),
            st.builds("({} ? {} : {})".format, inner, inner, inner),
        ),
        max_leaves=5,
    )


def value() -> st.SearchStrategy[str]:
    """Values for the numbers: literals, other numbers, arithmetic, calls of macros."""
    term = st.one_of(literal, st.sampled_from(NUMBERS))
    sums = st.builds("{}{}{}".format, term, st.sampled_from((" + ", "*", " - ", "<<", " | ")), term)
    calls = st.builds("SUM({}, {})".format, term, term)
    glued = st.builds("GLUE(N, {})".format, st.sampled_from("0123"))
    return st.one_of(term, sums, st.builds("({})".format, sums), calls, glued)


@st.composite
def headers(draw: st.DrawFn, names: tuple[str, ...] = NUMBERS) -> str:
    """Headers with nested conditionals, defines of every kind, and noise."""

    def block(depth: int) -> str:
        return "".join(line(depth) for _ in range(draw(st.integers(1, 4))))

    def line(depth: int) -> str:
        kind = draw(st.sampled_from(["number", "number", "flag", "undef", "noise", "if", "if"]))
        indent = draw(st.sampled_from(("", "  ", "\t", "/* c */ ")))
        if kind == "number":
            name, text = draw(st.sampled_from(NUMBERS)), draw(value())
            return f"{indent}#define{draw(gap)}{name}{draw(gap)}{text}{draw(note)}\n"
        if kind == "flag":
            text = draw(st.sampled_from(("", " true", " false", " 0", " 1", " 5")))
            return f"{indent}# define {draw(st.sampled_from(FLAGS))}{text}{draw(note)}\n"
        if kind == "undef":
            return f"{indent}#undef {draw(st.sampled_from(NUMBERS + FLAGS))}\n"
        if kind == "noise" or depth == 3:
            noise = (
                "",
                "// #define N1 8",
                "/* #define N2 8 */",
                "/**\n * #define N3 8\n */",
                "  { 1, 2 },",
                "//#define F0",
            )
            return draw(st.sampled_from(noise)) + "\n"
        return conditional(depth + 1)

    def asks() -> str:
        return draw(expression(names))

    def conditional(depth: int) -> str:
        name = draw(st.sampled_from(NUMBERS + FLAGS + (names[-1],)))
        first = draw(
            st.sampled_from((f"#ifdef {name}", f"#ifndef {name} // x", "#if", "#if", "#if"))
        )
        text = f"{first} {asks()}\n" if first == "#if" else f"{first}\n"
        text += block(depth)
        if draw(st.booleans()):
            text += f"#elif {asks()}{draw(note)}\n" + block(depth)
        if draw(st.booleans()):
            text += "  #else // x\n" + block(depth)
        return text + "#endif\n"

    return "#define SUM(a, b) ((a) + (b))\n#define GLUE(a, b) a##b\n" + block(0) + block(0)


def preprocess(text: str, *options: str) -> subprocess.CompletedProcess[str]:
    """Run the preprocessor on a text."""
    command = ["gcc", "-E", "-x", "c++", "-std=c++20", "-w", *options, "-"]
    return subprocess.run(command, input=CALLS + text, capture_output=True, text=True, check=False)


def macros(text: str, *options: str) -> tuple[dict[str, str], str]:
    """Return the numbers and flags defined after the last line, and what was complained of."""
    done = preprocess(text, "-dM", *options)
    found = re.findall(r"^#define ([NF]\d)(?: (.*))?$", done.stdout, re.MULTILINE)
    return {name: words(body) for name, body in found}, done.stderr


def words(body: str) -> str:
    """Return a macro's body without comments, continuations and blanks."""
    return re.sub(r"/\*.*?\*/|\\\n|\s", "", body, flags=re.DOTALL)


quick = settings(max_examples=12, deadline=None, suppress_health_check=list(HealthCheck))


@quick
@given(headers())
def test_same_macros_are_active_with_the_same_values(text: str) -> None:
    text += ALL_MENTIONED
    reading = read([Source.of_text("machine.h", text)])
    theirs, complaint = macros(text)
    assert bool(reading.problems) == ("error:" in complaint), (reading.problems, complaint)
    if reading.problems:
        return
    active = {
        s.key: s for s in reading.settings if s.activity is Activity.ACTIVE and s.key[1:].isdigit()
    }
    assert not any(s.activity is Activity.POSSIBLE for s in reading.settings)
    assert {key: words(s.value) for key, s in active.items()} == theirs
    numbers = [
        s for s in active.values() if s.key in NUMBERS and re.fullmatch(r"-?\d+", s.resolved or "")
    ]
    checks = "".join(f"#if ({s.key}) == ({s.resolved}U)\n{s.key}_agrees\n#endif\n" for s in numbers)
    agreed = preprocess(text + checks, "-P").stdout
    assert [f"{s.key}_agrees" in agreed for s in numbers] == [True] * len(numbers)


@quick
@given(headers(NUMBERS + UNHEARD))
def test_what_is_certain_holds_whatever_the_unknown_names_mean(text: str) -> None:
    text += ALL_MENTIONED
    reading = read([Source.of_text("machine.h", text)])
    for options in ((), ("-DU0=1", "-DU1=0"), ("-DU0=7", "-DU1=7")):
        found, complaint = macros(text, *options)
        if "error:" in complaint:
            continue
        for name in NUMBERS + FLAGS:
            mine = [s for s in reading.settings if s.key == name]
            certain = [words(s.value) for s in mine if s.activity is Activity.ACTIVE]
            possible = [words(s.value) for s in mine if s.activity is Activity.POSSIBLE]
            if certain:
                assert certain == [found[name]]
            else:
                assert found.get(name, None) in [None, *possible]


@pytest.mark.parametrize(
    "lines",
    [
        "#define A B\n#define B C\n#define C A\n",
        "#define F(x) x F\n#define A F(1)(2)(3)\n",
        "#define F(x) G(x\n#define G(x) [x]\n#define A F(1))\n",
        "#define EMPTY\n#define F(x) <x>\n#define A F EMPTY (1)\n",
        "#define CAT(a, b) a ## b\n#define CATS(a, b) CAT(a, b)\n#define A CATS(CAT(1, 2), 3)\n",
        "#define Q(x) #x\n#define A Q( a  \"b\\n\" 'c' )\n",
        "#define V(a, ...) a, ## __VA_ARGS__;\n#define A V(1) V(1,2) V(1,2,3)\n",
        "#define f(a) a*g\n#define g(a) f(a)\n#define A f(2)(9)\n",
        "#define x 3\n#define f(a) f(x * (a))\n#define A f(f)(1)\n",
        "#define t(x,y,z) x ## y ## z\n#define A t(1,2,3) t(,4,5) t(6,,7) t(8,9,) t(,,)\n",
        "#define str(s) # s\n#define xstr(s) str(s)\n#define INCFILE(n) vers ## n\n"
        "#define A xstr(INCFILE(2).h)\n",
    ],
)
def test_expansion_of_the_hard_cases(lines: str) -> None:
    """Most of them from the examples of ISO C 6.10.3.5."""
    files = Headers([Source.of_text("machine.h", lines)])
    Preprocessing(files, 0, ()).through()
    body = files.rows[[define.name for _, define, _, _ in files.rows].index("A")][1].body
    mine = Expansion(files.table).value(body, (), "A")
    theirs = preprocess(f"{lines}=> A", "-P").stdout.split("=>")[1]
    assert re.sub(r"\s", "", mine) == re.sub(r"\s", "", theirs)


@st.composite
def trees(draw: st.DrawFn) -> dict[str, str]:
    """Headers in two folders that include each other behind conditionals, each path once."""
    names = ["main.h", "a.h", "b.h", "sub/a.h", "sub/c.h", "idle.h"]
    files: dict[str, str] = {}
    for at, name in enumerate(names):
        lines = ["#pragma once", f"#define N{draw(st.integers(0, 3))} {at + 1}"]
        for other in draw(st.permutations(names[at + 1 : -1])):
            way = relpath(other, dirname(name) or ".")
            test = draw(st.sampled_from(("if N0 > 2", "ifdef N1", "ifndef N2", "if defined(N3)")))
            flag = f"#define F{draw(st.integers(0, 2))} {draw(st.integers(0, 1))}"
            lines += (
                f"#{test}",
                f'#include "{way}"',
                *draw(st.sampled_from(((), ("#else", flag)))),
            )
            lines += ("#endif", f"#define N{draw(st.integers(0, 3))} {draw(st.integers(0, 4))}")
        files[name] = "\n".join(lines) + "\n"
    return files


@quick
@given(trees())
def test_the_same_headers_count_as_the_compiler_includes(files: dict[str, str]) -> None:
    """Those that no taken include reaches neither count nor are named among the files read."""
    everything = "".join(f"#define {name}\n" for name in (*NUMBERS, *FLAGS))
    sources = [Source.of_text(name, text) for name, text in files.items()]
    known = Source.of_text("known.h", f"#if 0\n{everything}#endif\n")
    reading = read([known, *sources], [known, sources[0]])
    assert reading.problems == ()
    with TemporaryDirectory() as folder:
        for name, text in files.items():
            path = Path(folder, name)
            path.parent.mkdir(exist_ok=True)
            path.write_text(text)
        command = ["gcc", "-E", "-w", "-dM", "-H", "main.h"]
        done = subprocess.run(command, cwd=folder, capture_output=True, text=True, check=True)
    theirs = dict(re.findall(r"^#define ([NF]\d) ?(.*)$", done.stdout, re.MULTILINE))
    active = {s.key: s.value for s in reading.settings if s.activity is Activity.ACTIVE}
    assert active == theirs
    entered = {normpath(line.lstrip(". ")) for line in done.stderr.splitlines() if line[:1] == "."}
    assert {source.name for source in reading.sources} == {"known.h", "main.h", *entered}
