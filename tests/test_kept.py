"""The package's own TOML files are kept parsed between runs, for the very same text only."""

import json
import tomllib
from pathlib import Path

import pytest

from pincheck import kept, resources
from pincheck.chips import load

DATA = [
    *sorted(resources.folder("grammars").glob("*.toml")),
    *sorted((Path(load.__file__).parent / "data").glob("*.toml")),
]


@pytest.fixture
def cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty cache folder."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    return tmp_path / "cache" / "pincheck"


@pytest.fixture
def words(tmp_path: Path) -> Path:
    """A small file, and nothing kept of it."""
    path = tmp_path / "words.toml"
    path.write_text('ohm = 4700\nratio = 0.1\nnames = ["Höhe"]\n', encoding="utf-8")
    return path


@pytest.mark.parametrize("path", DATA, ids=lambda path: path.name)
def test_a_copy_says_what_the_file_says(cache: Path, path: Path) -> None:
    """Every file of the package comes out the same: parsed, and from its copy."""
    parsed = tomllib.loads(path.read_text(encoding="utf-8"))
    assert kept.table(path) == parsed
    assert (cache / f"{path.stem}.json").is_file()
    assert repr(kept.table(path)) == repr(parsed)


def test_every_file_has_a_copy_of_its_own() -> None:
    """No two files of the package share a name."""
    assert len({path.stem for path in DATA}) == len(DATA) > 5


@pytest.mark.usefixtures("cache")
def test_the_second_time_nothing_is_parsed(words: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What is kept is what is used."""
    first = kept.table(words)
    monkeypatch.setattr(tomllib, "loads", None)
    assert kept.table(words) == first == {"ohm": 4700, "ratio": 0.1, "names": ["Höhe"]}


@pytest.mark.usefixtures("cache")
def test_a_changed_file_is_read_anew(words: Path) -> None:
    """A copy counts for the very same text only, whatever the times of the files."""
    kept.table(words)
    words.write_text("ohm = 2200\n", encoding="utf-8")
    assert kept.table(words) == {"ohm": 2200}
    assert kept.table(words) == {"ohm": 2200}


@pytest.mark.parametrize(
    "damaged",
    [
        b"",
        b"\xff\xfe\x00",
        b"[" * 100_000,
        b"null",
        b"[]",
        b'{"ohm": 1}',
        b'["ohm = 1", {"ohm": 1}]',
        lambda text, values: json.dumps([text, list(values)]).encode(),
        lambda text, values: json.dumps([text, values]).encode()[:-9],
    ],
)
def test_a_damaged_copy_is_made_anew(cache: Path, words: Path, damaged) -> None:
    """Whatever a copy holds, the file decides, and the copy is right again afterwards."""
    values = kept.table(words)
    (copy,) = cache.iterdir()
    whole = copy.read_bytes()
    if callable(damaged):
        damaged = damaged(words.read_text(encoding="utf-8"), values)
    copy.write_bytes(damaged)
    assert kept.table(words) == values
    assert copy.read_bytes() == whole


def test_without_a_folder_of_its_own_nothing_is_kept(cache: Path, words: Path) -> None:
    """A folder that others can write to is neither read nor written."""
    cache.mkdir(parents=True)
    text = words.read_text(encoding="utf-8")
    (cache / "words.json").write_text(json.dumps([text, {"ohm": 1}]))
    cache.chmod(0o777)
    assert kept.table(words)["ohm"] == 4700
    assert json.loads((cache / "words.json").read_text()) == [text, {"ohm": 1}]


def test_a_copy_that_cannot_be_written_is_done_without(cache: Path, words: Path) -> None:
    """A folder in the place of the copy does no harm and leaves nothing behind."""
    (cache / "words.json").mkdir(parents=True)
    cache.chmod(0o700)
    assert kept.table(words)["ohm"] == 4700
    assert [path.name for path in cache.iterdir()] == ["words.json"]
