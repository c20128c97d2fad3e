"""A manifest's lines become submissions; what is wrong is told with its place."""

from pathlib import Path

import pytest

from pincheck.batch.manifest import read
from pincheck.batch.submission import Submission
from pincheck.model.problem import UnreadableError


def _read(tmp_path: Path, text: str, name: str = "list.csv") -> tuple[Submission, ...]:
    (tmp_path / name).write_bytes(text.encode())
    return read(tmp_path / name).submissions


def test_csv_in_any_order_of_columns(tmp_path: Path) -> None:
    """Columns go by name; quoted fields may hold commas, quotes and line ends."""
    text = 'note,path,id\r\n"fan, ""odd""\r\nnoise",in/a.zip,A-1\r\n,b,A-2\r\n'
    assert _read(tmp_path, text) == (
        Submission("A-1", "in/a.zip", note='fan, "odd"\r\nnoise'),
        Submission("A-2", "b"),
    )


def test_json_lines(tmp_path: Path) -> None:
    """Each line is one object; a number will do for an id, blank lines count as lines only."""
    text = '{"id": 7, "path": "a", "assembly": "marsh-230-c"}\n\n{"id": "x", "path": "b\\\\c"}\n'
    assert _read(tmp_path, text, "list.jsonl") == (
        Submission("7", "a", "marsh-230-c"),
        Submission("x", "b/c"),
    )


def test_a_byte_order_mark_is_no_part_of_a_name(tmp_path: Path) -> None:
    """A spreadsheet's export begins with one."""
    assert _read(tmp_path, "\ufeffid,path\n1,a\n") == (Submission("1", "a"),)


def test_semicolons_part_columns_too(tmp_path: Path) -> None:
    """As spreadsheets write it in many countries; a comma in a note parts nothing then."""
    text = 'id;path;note\r\nA-1;in/a.zip;"fan; odd"\r\nA-2;b;once, twice\r\n;c;\r\n'
    first, second, third = _read(tmp_path, text)
    assert first == Submission("A-1", "in/a.zip", note="fan; odd")
    assert second == Submission("A-2", "b", note="once, twice")
    assert third.fault == "list.csv:4:1: id is missing"


@pytest.mark.parametrize(
    ("line", "fault"),
    [
        ("1,a,,,extra", "list.csv:2:7: 5 fields where the first line names 4"),
        (",a,,", "list.csv:2:1: id is missing"),
        ("1,,,", "list.csv:2:3: path is missing"),
        ("1", "list.csv:2:1: path is missing"),
        (f"{'i' * 201},a,,", "list.csv:2:1: id is longer than 200"),
    ],
)
def test_a_broken_csv_line_costs_its_submission_only(tmp_path: Path, line: str, fault: str) -> None:
    """It is accounted for with file, line and column; the next line is untouched."""
    first, second = _read(tmp_path, f"id,path,assembly,note\n{line}\n2,b,,\n")
    assert (first.fault, first.id) == (fault, "line 2")
    assert second == Submission("2", "b")


@pytest.mark.parametrize(
    ("line", "fault"),
    [
        ('{"id": "1", "path": ', "list.jsonl:2:21: this is no JSON: Expecting value"),
        ('["1", "a"]', 'list.jsonl:2:1: expected one object: {"id": ..., "path": ...}'),
        (
            '{"id": "1", "paht": "a"}',
            "list.jsonl:2:13: 'paht' is no column of a manifest; did you mean 'path'?",
        ),
        ('{"id": "1", "path": ["a"]}', "list.jsonl:2:13: path is no text"),
        ('{"id": true, "path": "a"}', "list.jsonl:2:2: id is no text"),
        ("[" * 100_000, "list.jsonl:2:1: this is no JSON that a manifest can hold"),
    ],
)
def test_a_broken_json_line_costs_its_submission_only(
    tmp_path: Path, line: str, fault: str
) -> None:
    """It is accounted for with file, line and column; the next line is untouched."""
    good = '{"id": "0", "path": "z"}'
    found = _read(tmp_path, f"{good}\n{line}\n{good.replace('0', '2')}\n", "list.jsonl")
    assert [s.fault for s in found] == ["", fault, ""]


def test_the_second_of_an_id_is_a_fault(tmp_path: Path) -> None:
    """Two submissions of one id could not be told apart in any report."""
    found = _read(tmp_path, "id,path\n1,a\n1,b\n")
    assert [s.fault for s in found] == ["", "list.csv:3: the id '1' is on line 2 already"]


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("id,pth\n1,a\n", "'pth' is no column of a manifest; did you mean 'path'?"),
        ("id,note\n1,a\n", "the column 'path' is missing; expected id, path, assembly, note"),
        ("id,path,id\n1,a,2\n", "the column 'id' is there twice"),
        ('id,path\n1,"a\n2,b\n', "this quoted field is never closed"),
        ("", "'' is no column of a manifest; expected id, path, assembly, note"),
    ],
)
def test_what_is_no_manifest_is_refused_as_a_whole(tmp_path: Path, text: str, message: str) -> None:
    """Nothing below a wrong header can be trusted."""
    with pytest.raises(UnreadableError) as caught:
        _read(tmp_path, text)
    (problem,) = caught.value.problems
    assert problem.message == message
    assert problem.span


def test_control_characters_do_not_get_through(tmp_path: Path) -> None:
    """An id is shown in terminals."""
    (found,) = _read(tmp_path, "id,path\n\x1b[31mred,a\n")
    assert found.id == "\\x1b[31mred"


def test_not_utf8_is_said_with_the_line(tmp_path: Path) -> None:
    """A manifest in another encoding would garble paths without a word."""
    (tmp_path / "m.csv").write_bytes(b"id,path\n1,\xe4\n")
    with pytest.raises(UnreadableError, match="line 2 is not UTF-8"):
        read(tmp_path / "m.csv")


def test_an_inch_sign_opens_no_field(tmp_path: Path) -> None:
    """Neither one at the end of a number swallows what follows."""
    text = 'id,path,note\n1,a,16" cable\n2,b,"20"" cable, long"\n3,c,5" and 8" long\n'
    assert [s.note for s in _read(tmp_path, text)] == [
        '16" cable',
        '20" cable, long',
        '5" and 8" long',
    ]


@pytest.mark.parametrize(
    ("line", "fault"),
    [
        ('1,a,"16" cable', "2:5: 'cable' stands behind the quote that closes this field"),
        (
            '1,a,"16 inch\n2,b,8"',
            "2:5: this quoted field runs over what looks like a line of its own: '2,b,8'",
        ),
    ],
)
def test_a_quote_that_may_have_swallowed_a_line(tmp_path: Path, line: str, fault: str) -> None:
    """The submission is a fault with its place: nobody can tell where it ends."""
    first, second = _read(tmp_path, f"id,path,note\n{line}\n3,c,\n")
    assert first.fault == f"list.csv:{fault}"
    assert second == Submission("3", "c")


@pytest.mark.parametrize(
    ("text", "account"),
    [
        ("id,path\n1,a\n2,b", "2 submissions on 3 lines"),
        ("\n\nid,path\r\n1,a\r\n\r\n", "1 submission on 5 lines"),
        ("id,path\r1,a\r2,b\r", "2 submissions on 3 lines"),
        ('id,path,note\n1,a,"x\n\ny"\n', "1 submission on 4 lines, 2 of them within quoted fields"),
        ('{"id": "1", "path": "a"}\n\n{"id": "2", "path": "b"}', "2 submissions on 3 lines"),
        ('id,path\n,\0",y"\n', "1 submission on 2 lines"),
    ],
)
def test_every_line_is_accounted_for(tmp_path: Path, text: str, account: str) -> None:
    """Submissions, the line that names the columns, empty lines and those of quoted fields."""
    (tmp_path / "list.csv").write_bytes(text.encode())
    assert read(tmp_path / "list.csv").account == f"list.csv: {account}"
