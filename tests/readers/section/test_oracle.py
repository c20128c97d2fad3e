"""The standard library's `configparser` is the oracle for the forms that it shares."""

from configparser import RawConfigParser

from hypothesis import given
from hypothesis import strategies as st
from lark import Lark
from lark.exceptions import UnexpectedInput

from pincheck import grammar
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
    settings = section.read([source]).settings
    found = {
        (it.section, it.key): (it.resolved or "").split("\n") if it.resolved else []
        for it in settings
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
