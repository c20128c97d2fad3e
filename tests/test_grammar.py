"""A grammar loads from the package's folder and is cached only where nobody else can write."""

from pathlib import Path

import pytest

from pincheck import grammar, resources


@pytest.fixture
def cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A grammar folder of its own and an empty cache home."""
    grammars = tmp_path / "grammars"
    grammars.mkdir()
    (grammars / "count.lark").write_text('start: "a"+\nother: "b"\n')
    monkeypatch.setattr(resources, "folder", lambda name: tmp_path / name)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    return tmp_path / "cache" / "pincheck"


def test_second_load_comes_from_the_cache_and_parses_the_same(cache: Path) -> None:
    first = grammar.load("count").parse("aaa")
    (kept,) = cache.iterdir()
    stamp = kept.stat().st_mtime_ns
    assert grammar.load("count").parse("aaa") == first
    assert kept.stat().st_mtime_ns == stamp


def test_cache_folder_is_private(cache: Path) -> None:
    grammar.load("count", ["start", "other"])
    assert cache.stat().st_mode & 0o777 == 0o700


def test_changed_grammar_is_not_served_from_the_cache(cache: Path) -> None:
    grammar.load("count")
    (cache.parent.parent / "grammars" / "count.lark").write_text('start: "z"+\n')
    grammar.load("count").parse("zz")


def test_folder_that_others_can_write_is_not_used(cache: Path) -> None:
    cache.mkdir(parents=True)
    cache.chmod(0o777)
    grammar.load("count").parse("a")
    assert not list(cache.iterdir())


def test_link_to_another_folder_is_not_used(cache: Path, tmp_path: Path) -> None:
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir(mode=0o700)
    cache.parent.mkdir()
    cache.symlink_to(elsewhere)
    grammar.load("count").parse("a")
    assert not list(elsewhere.iterdir())


def test_damaged_cache_is_built_anew(cache: Path) -> None:
    grammar.load("count")
    (kept,) = cache.iterdir()
    kept.write_bytes(kept.read_bytes()[:80])
    assert grammar.load("count").parse("a") is not None


@pytest.mark.usefixtures("cache")
def test_unknown_grammar_is_an_error() -> None:
    with pytest.raises(FileNotFoundError):
        grammar.load("nothing")
