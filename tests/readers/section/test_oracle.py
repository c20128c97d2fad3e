"""The standard library's `configparser` is the oracle for the forms that it shares."""

import re
from configparser import RawConfigParser
from glob import glob
from pathlib import Path
from posixpath import dirname, relpath
from tempfile import TemporaryDirectory

from hypothesis import given, settings
from hypothesis import strategies as st
from lark import Lark
from lark.exceptions import UnexpectedInput

from pincheck import grammar
from pincheck.intake import gather, machines
from pincheck.intake import read as intake_read
from pincheck.model.setting import Activity
from pincheck.model.source import Source
from pincheck.readers import section

WORD = st.from_regex(r"[A-Za-z_][A-Za-z0-9_]{0,6}", fullmatch=True)
BLANK = st.sampled_from(["", " ", "  ", "\t"])
PLAIN = st.text("PAB19.,:=!^~-+/<>[]()ü ", min_size=1, max_size=12).map(str.strip).filter(bool)
COMMENT = st.sampled_from(["", "", " # note: x", " ; note", "\t# [no]", "  ;k=v"])
HEADER = st.builds("[{}{}]{}".format, WORD, st.sampled_from(["", " tool", " of tool"]), COMMENT)
ASSIGNMENT = st.builds(
    "{}{}{}{}{}{}{}".format, BLANK, WORD, BLANK, st.sampled_from(":="), BLANK, PLAIN, COMMENT
)
MORE = st.builds("{}{}{}".format, st.sampled_from(["    ", "\t\t\t"]), PLAIN, COMMENT)
OTHER = st.sampled_from(["", "   ", "# remark", "#key: value", "  ; remark", ";[x]"])
CONTINUED = st.builds("{}\n{}\n{}\n{}".format, ASSIGNMENT, MORE, OTHER, MORE)
TEXT = st.lists(st.one_of(HEADER, ASSIGNMENT, ASSIGNMENT, CONTINUED, OTHER), max_size=30).map(
    lambda lines: "[first]\n" + "\n".join(lines)
)


@given(TEXT, st.sampled_from(["\n", "\r\n"]))
def test_same_values_as_the_standard_parser(text: str, newline: str) -> None:
    """Sections, keys and values agree, with blank lines and outer blanks taken off the values."""
    oracle = RawConfigParser(strict=False, inline_comment_prefixes=("#", ";"))
    oracle.read_string(text)
    expected = {
        (" ".join(name.split()), key): [line for line in value.split("\n") if line.strip()]
        for name in oracle.sections()
        for key, value in oracle.items(name)
    }
    source = Source.of_text("machine.cfg", text.replace("\n", newline))
    found_all = section.read([source]).settings
    found = {
        (it.section, it.key): (it.resolved or "").split("\n") if it.resolved else []
        for it in found_all
        if it.key and it.activity is Activity.ACTIVE
    }
    assert found == expected


@given(TEXT)
def test_places_give_the_written_text(text: str) -> None:
    """Every key and value is found again in the file at its place."""
    source = Source.of_text("machine.cfg", text)
    for it in section.read([source]).settings:
        assert source.text[it.value_start : it.value_end] == it.value
        assert source.text[it.key_start : it.key_end].lower() == it.key
        assert it.value == it.value.strip()
        assert it.start <= it.key_start <= it.key_end <= it.value_start <= it.value_end <= it.end


def accepts(lark: Lark, line: str) -> bool:
    """Whether the grammar takes a line."""
    try:
        lark.parse(line)
    except UnexpectedInput:
        return False
    return True


@given(st.one_of(HEADER, ASSIGNMENT, st.text("a1 :=[]!{", min_size=1, max_size=12)))
def test_pattern_and_grammar_agree(line: str) -> None:
    """The quick pattern takes no line that the grammar refuses, and refuses none that it takes."""
    code = line.partition("#")[0].partition(" ;")[0].strip()
    if not code:
        return
    reading = section.read([Source.of_text("machine.cfg", "[first]\n" + code)])
    refused = any("has no value; expected a value" not in str(it) for it in reading.problems)
    assert accepts(grammar.load("section"), code) is not refused


NAMES = ("machine.cfg", "a.cfg", "parts/b.cfg", "parts/c.cfg", "idle.cfg")
BLOCK = "#*# <---------------------- SAVE_CONFIG ---------------------->\n"


@st.composite
def trees(draw: st.DrawFn) -> dict[str, str]:
    """A main file with a saved block, and files that include later ones by name or pattern."""
    files = {}
    for at, name in enumerate(NAMES):
        lines = [f"[{draw(st.sampled_from('xy'))}]", f"k{draw(st.integers(0, 2))}: {at}"]
        below = "" if name.startswith("parts/") else "parts/"
        ways = ("a.cfg", "parts/b.cfg", "parts/*.cfg", "./parts/../parts/[bc].cfg", "no/*.cfg")[at:]
        ways = (f"{below}c.cfg",) if name == "parts/b.cfg" else ways
        for way in draw(st.lists(st.sampled_from(ways or ("none.cfg",)), max_size=2 * (at < 3))):
            again = f"[{draw(st.sampled_from('xy'))}]", f"k{draw(st.integers(0, 2))}: {at}5"
            lines += (f"[include {way}]", *again)
        files[name] = "\n".join(lines) + "\n"
    saved = f"#*# [x]\n#*# k0 = 9\n#*# k{draw(st.integers(1, 3))} = 9\n"
    return {**files, NAMES[0]: files[NAMES[0]] + BLOCK + saved}


def read_on(parser: RawConfigParser, folder: Path, name: str) -> set[str]:
    """Read a file and what it includes in its place, as the firmware does; return their names."""
    names, lines = {name}, list[str]()
    for line in (folder / name).read_text().partition(BLOCK)[0].splitlines():
        if way := re.fullmatch(r"\[include (.*)\]", line):
            parser.read_string("\n".join(lines))
            lines.clear()
            for path in sorted(glob(str(folder / dirname(name) / way[1]))):  # noqa: PTH207
                names |= read_on(parser, folder, relpath(path, folder))
        else:
            lines.append(line)
    parser.read_string("\n".join(lines))
    return names


@given(trees())
@settings(max_examples=30, deadline=None)
def test_same_files_and_values_as_the_standard_parser_with_includes(files: dict[str, str]) -> None:
    """The saved block adds what the main text leaves out; idle files count for nothing."""
    oracle = RawConfigParser(strict=False)
    with TemporaryDirectory() as scratch:
        for name, text in files.items():
            path = Path(scratch, name)
            path.parent.mkdir(exist_ok=True)
            path.write_text(text)
        names = read_on(oracle, Path(scratch), NAMES[0])
        (machine,), _ = machines(gather([Path(scratch)]), main=NAMES[0])
    expected = {
        (name, key): value for name in oracle.sections() for key, value in oracle.items(name)
    }
    block = RawConfigParser()
    block.read_string(files[NAMES[0]].partition(BLOCK)[2].replace("#*# ", ""))
    expected = {("x", key): value for key, value in block.items("x")} | expected
    reading = intake_read(machine)
    active = [it for it in reading.settings if it.key and it.activity is Activity.ACTIVE]
    assert {(it.section, it.key): it.resolved for it in active} == expected
    assert {source.name for source in machine.sources} == names
    assert set(reading.unused) == set(files) - names
