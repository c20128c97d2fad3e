"""Bytes become text without losing one, and what is wrong with them is named."""

import pytest

from pincheck.intake.text import decode


@pytest.mark.parametrize(
    ("data", "encoding"),
    [
        (b"max_temp: 255\r\n", "utf-8"),
        (b"\xef\xbb\xbfmax_temp: 255\n", "utf-8"),
        ("max_temp: 255 # °C\n".encode("utf-16"), "utf-16-le"),
        (b"\xfe\xff" + "max_temp: 255\n".encode("utf-16-be"), "utf-16-be"),
        ("[extruder]\nmax_temp: 255\n".encode("utf-16-le"), "utf-16-le"),
        ("[extruder]\nmax_temp: 255\n".encode("utf-16-be"), "utf-16-be"),
        ("max_temp: 255 # °C\n".encode("latin-1"), "latin-1"),
        ("max_temp: 255 # 测试 °C\n".encode(), "utf-8"),
    ],
)
def test_every_encoding_gives_its_text_and_its_bytes_back(data: bytes, encoding: str) -> None:
    source, _ = decode("machine.cfg", data)
    assert source is not None
    assert source.encoding == encoding
    assert "max_temp: 255" in source.text
    assert not source.text.startswith("\ufeff")
    assert source.bom + source.text.encode(source.encoding) == data


@pytest.mark.parametrize("mark", ["#", "  # if", "; ", "//#define A ", "#elifants"])
def test_a_long_remark_is_read(mark: str) -> None:
    source, problems = decode("a.cfg", f"a: 1\n{mark}{'x' * 9_000}\nb: 2".encode())
    assert source is not None
    assert problems == ()


def test_a_carriage_return_alone_ends_a_line_and_stays_in_the_file() -> None:
    data = b"[a]\rb: 1\r\nc: 2\rd: 3"
    source, problems = decode("a.cfg", data)
    assert source is not None
    assert problems == ()
    assert source.text == "[a]\nb: 1\r\nc: 2\nd: 3"
    assert (source.raw, source.newline, source.line_count) == (data.decode(), "\r", 4)
    edited = source.with_raw(source.raw.replace("3", "4"))
    assert (edited.data, edited.line(4)) == (data.replace(b"3", b"4"), "d: 4")


def test_latin_1_is_read_and_said_with_the_place_of_the_byte() -> None:
    source, problems = decode("machine.cfg", b"[fan]\npin: PB7 # 50 \xb0C\n")
    assert source is not None
    assert "50 °C" in source.text
    (problem,) = problems
    assert (problem.span.line, problem.span.column) == (2, 15)  # type: ignore[union-attr]
    assert not problem.fatal


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "empty"),
        (b" \r\n\t\n", "empty"),
        (b"\x00" * 40, "NUL bytes"),
        (b"\x89PNG\r\n\x1a\n123", "PNG picture"),
        (b"\x7fELF\x02\x01", "compiled program"),
        (bytes(range(32)) * 20, "binary"),
        (b"a: " + b"x" * 30_000 + b"\n", "characters"),
        (b"#define A " + b"x" * 30_000 + b"\n", "characters"),
        (b"#x\n" + b"#" * 30_000 + b"\n\n# elif A\n#elif " + b"A" * 9_000, "characters"),
        (b"\xff\xfea\x00b\x00\x00\xd8", "damaged"),
    ],
)
def test_what_is_no_configuration_is_named(data: bytes, words: str) -> None:
    source, problems = decode("machine.cfg", data)
    assert source is None
    assert words in problems[0].message
    assert problems[0].fatal


def test_nul_bytes_in_a_text_are_reported_and_the_rest_is_read() -> None:
    source, problems = decode("machine.cfg", b"[fan]\npin: PB7\n\x00\x00\n[probe]\npin: PB1\n")
    assert source is not None
    assert "2 NUL bytes" in problems[0].message
    assert problems[0].span is not None
    assert problems[0].span.line == 3
