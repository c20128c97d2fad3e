"""What is written down as commands is read back as the same letters and values."""

from hypothesis import given
from hypothesis import strategies as st

from pincheck.model.source import Source
from pincheck.readers import gcode

LETTERS = st.lists(st.sampled_from("ABCDEFHIJKLPQRSUVWXYZ"), unique=True, max_size=6)
NUMBER = st.sampled_from(["0", "5", "-1", "0.35", ".5", "1.", "7.06e-8", "100000", "+2"])
LIST = st.lists(NUMBER, min_size=1, max_size=3).map(":".join)
NAME = st.sampled_from(["out1", "!fan0", "^io0.in", "nil", "1.out2", "0:/sys/a.g", "a,b+c"])
QUOTED = st.text("abG1 ;(){}M'!^.üÄ", max_size=8)
VALUE = st.one_of(
    LIST.map(lambda text: (text, text)),
    NAME.map(lambda text: (text, text)),
    QUOTED.map(lambda text: (f'"{text}"', text)),
)
BLANK = st.sampled_from([" ", "  ", "\t", " (x) "])
CASE = st.sampled_from([str.upper, str.lower])
TAIL = st.sampled_from(["", " ", ' ; G1 "x', ";", " (y)"])


@given(st.data())
def test_commands_are_read_back(data: st.DataObject) -> None:
    """Commands of any letters, spaced, cased and quoted in any way, alone or two on a line."""
    wanted, lines = [], []
    for number in data.draw(st.lists(st.sampled_from(["M700", "M701.2", "G88"]), max_size=5)):
        case, blank = data.draw(CASE), data.draw(BLANK)
        line = data.draw(st.sampled_from(["", " ", "\t"])) + case(number)
        letters = data.draw(LETTERS)
        for letter in letters:
            written, value = data.draw(VALUE)
            line += f"{blank}{case(letter)}{written}"
            wanted.append((number, letter, value))
        if not letters:
            wanted.append((number, "", ""))
        if data.draw(st.booleans()):
            line += f"{blank}M84"
            wanted.append(("M84", "", ""))
        lines.append(line + data.draw(TAIL))
    newline = data.draw(st.sampled_from(["\n", "\r\n"]))
    reading = gcode.read([Source.of_text("config.g", newline.join(lines))])
    assert reading.problems == ()
    assert [(it.section, it.key, it.value) for it in reading.settings] == wanted
