"""What a batch shows: table, JSON Lines, CSV, summary; none of it can hurt its reader."""

import csv
import io
import json
import re
from collections.abc import Callable
from pathlib import Path

import pytest
from jsonschema import ValidationError

from pincheck.batch import export, summary
from pincheck.batch.record import SCHEMA_VERSION, STATES
from pincheck.batch.store import Store, StoreError
from pincheck.batch.submission import Submission
from pincheck.reports.text import Ink

Go = Callable[..., tuple[Store, int]]

EVIL = "=cmd|' /C calc'!A0"
_CONTROL = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f]")


@pytest.fixture
def run(customer: Callable[..., Path], go: Go) -> Store:
    """A small batch with a danger, a fault, a clean one, an unassigned one and an evil name."""
    where = customer("clean").parent
    customer("fault", "define", ("LAPWING_REVISION 3", "LAPWING_REVISION 2"))
    customer("hot", "gcode", ("M143 H1 S255", "M143 H1 S300"))
    (customer("lost") / "pincheck-assembly.txt").unlink()
    (where / "\x1b[2J.cfg").write_text("\x1b[31mhello\n")
    listed = (
        Submission("1", "clean"),
        Submission("2", "fault", note="+1 \N{EM DASH} call back"),
        Submission("3", "hot"),
        Submission("4", "lost"),
        Submission(EVIL, "\x1b[2J.cfg", note="@now"),
    )
    return go(where, listed)[0]


def test_table_worst_first(run: Store) -> None:
    """Danger, fault, what could not be checked, then the rest; ties in the order of the input."""
    shown = list(summary.table(run, Ink(), 80))
    assert [line[:19].strip() for line in shown[1:]] == [
        "!! danger",
        "!  fault",
        "x  could not check",
        "x  could not check",
        "agrees",
    ]
    assert [line[33:36].strip() for line in shown[1:4]] == ["3", "2", "4"]
    assert "heater-limit-too-high" in shown[1]
    assert all(len(line) <= 80 for line in shown)
    assert not any(map(_CONTROL.search, shown))


def test_table_cut_says_what_is_left(run: Store) -> None:
    """Nobody takes the first lines for all of them."""
    *_, last = summary.table(run, Ink(), 80, first=2)
    assert last == "and 3 more, none of them worse"


def test_json_lines_keep_to_the_schema(run: Store, contract) -> None:
    """One record a submission, in the order of the input, and the schema refuses anything else."""
    valid = contract("submission")
    schema = valid.schema
    assert tuple(schema["properties"]["state"]["enum"]) == STATES
    assert schema["properties"]["schema_version"]["const"] == SCHEMA_VERSION
    records = [json.loads(line) for line in export.json_lines(run)]
    assert [record["id"] for record in records] == ["1", "2", "3", "4", EVIL]
    for record in records:
        valid.validate(record)
    with pytest.raises(ValidationError):
        valid.validate({**records[0], "colour": "red"})
    assert [(f["rule"], f["place"]["file"]) for f in records[2]["findings"]] == [
        ("heater-limit-too-high", "toolhead.g")
    ]
    assert records[1]["revisions"] == "Lapwing C"


def test_csv_reads_back_and_holds_no_formula(run: Store) -> None:
    """A spreadsheet gets text where a customer sent a formula."""
    text = "".join(export.csv_lines(run))
    rows = list(csv.reader(io.StringIO(text, newline="")))
    assert tuple(rows[0]) == export.COLUMNS
    assert [row[0] for row in rows[1:]] == ["1", "2", "3", "4", f"'{EVIL}"]
    assert rows[5][-1] == "'@now"
    assert rows[2][-1] == "'+1 \N{EM DASH} call back"
    assert text.count("\r\n") == len(rows)
    assert not any(cell[:1] in tuple("=+-@\t\r\n") for row in rows for cell in row if cell)


_STARTS = [
    "=",
    "+",
    "-",
    "@",
    "\t",
    "\r",
    "\n",
    "\uff1d",
    " =",
    "\u00a0@",
    "\t =",
    '"=',
    "'+",
    '" -',
]


@pytest.mark.parametrize("start", [*_STARTS, "\u200b=", "\ufeff@"])
def test_cells_that_could_be_formulas(start: str) -> None:
    """Each start that some spreadsheet evaluates is made text, behind blanks and quotes too."""
    shown = export.cell(f"{start}1")
    assert shown.startswith("'")
    assert shown.replace("'", "") == f"{start}1".replace("'", "")


@pytest.mark.parametrize("mark", [";", "\t", "\n", "\r\n", "; ", ';"'])
def test_a_cell_that_is_parted_elsewhere_holds_no_formula(mark: str) -> None:
    """Where a semicolon or a tab parts cells, what comes behind it is no formula either."""
    shown = export.cell(f"a{mark}=1+1")
    *_, behind = re.split(r"[;\t\r\n]", shown)
    assert behind.startswith("'")
    assert shown.replace("'", "") == f"a{mark}=1+1"


@pytest.mark.parametrize("text", ["1=", "a - b", "PC8; 24 V", "#define FAN_PIN -1", "", '"PC8"'])
def test_plain_text_stays_as_it_is_in_a_cell(text: str) -> None:
    assert export.cell(text) == text


def test_summary(run: Store) -> None:
    """States, rules by revision, the caution once; no change is told where there was no run."""
    text = "\n".join(summary.summary(run))
    assert text.startswith("5 submissions: 1 with a danger, 1 with a fault, 2 could not be ")
    assert "Rules that fire most with Lapwing C:\n" in text
    assert "      1  heater-limit-too-high (danger)\n" in text
    assert "      1  pin-differs (fault)\n" in text
    assert "Since the last run" not in text
    assert text.count("Power off and unplug") == 1


def test_summary_tells_keys_nobody_understood(customer: Callable[..., Path], go: Go) -> None:
    """Counted over submissions, in the customers' own spelling."""
    odd = ("[fan]\n", "[fan]\nfan_of_tomorrow_pin: PB8\n")
    where = customer("a", "section", odd).parent
    customer("b", "section", odd)
    text = "\n".join(summary.summary(go(where)[0]))
    assert "nobody understood:\n      2  [fan] fan_of_tomorrow_pin\n" in text


def test_summary_tells_what_changed(customer: Callable[..., Path], go: Go) -> None:
    """New and fixed findings by submission."""
    where = customer("a", "section", ("max_temp: 255", "max_temp: 300")).parent
    go(where)
    customer("a", "section", ("pin: PB8", "pin: PB7"))
    customer("b")
    text = " ".join("\n".join(summary.summary(go(where)[0])).split())
    assert "Since the last run: 1 new, 1 fixed, 0 still there; 1 submission more, 0 no" in text
    assert "new a: pin-differs" in text
    assert "fixed a: heater-limit-too-high" in text


def test_a_store_belongs_to_one_run_at_a_time(run: Store, tmp_path: Path) -> None:
    """A second desk over the same store is told so, and the first goes on."""
    with pytest.raises(StoreError, match="another run has it open"):
        Store(tmp_path / "store.sqlite")
    assert run.count("could not check") == 2


@pytest.mark.parametrize(
    "content", [b"important notes\n" * 99, b"SQLite format 3\x00" + b"x" * 999]
)
def test_a_file_that_is_no_store_is_left_alone(tmp_path: Path, content: bytes) -> None:
    """A mistyped --store must not cost a file."""
    file = tmp_path / "notes"
    file.write_bytes(content)
    with pytest.raises(StoreError, match="no store of this program"):
        Store(file)
    assert file.read_bytes() == content
