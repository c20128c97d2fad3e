"""The package's own data is found, and compiled, in a wheel, an editable install and a checkout."""

import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from pincheck import grammar, resources

CHECKOUT = Path(__file__).parent.parent
ASK = (
    "from pincheck import resources, cli; from pincheck.cli.main import main; "
    "print(resources.folder('grammars')); print(resources.folder('configs')); "
    "print(*(s.name for s in resources.sources() if resources.compiled(s))); "
    "main(['trace', 'part.fan', '--demo'])"
)


def asked(place: Path, elsewhere: Path) -> list[str]:
    """Run pincheck from `place` alone, without the checkout on the way."""
    run = subprocess.run(
        [sys.executable, "-P", "-c", f"import sys; sys.path.insert(0, {str(place)!r}); {ASK}"],
        cwd=elsewhere,
        capture_output=True,
        text=True,
        check=True,
    )
    return run.stdout.splitlines()


def test_this_installation_finds_them() -> None:
    assert (resources.folder("grammars") / "section.lark").is_file()
    assert (resources.folder("configs") / "parts.toml").is_file()


def test_a_bare_checkout_finds_them(tmp_path: Path) -> None:
    for name in ("pincheck", "grammars", "configs"):
        unbuilt = shutil.ignore_patterns("compiled")
        shutil.copytree(CHECKOUT / name, tmp_path / "bare" / name, ignore=unbuilt)
    grammars, configs, compiled, *trace = asked(tmp_path / "bare", tmp_path)
    assert grammars == str(tmp_path / "bare" / "grammars")
    assert configs == str(tmp_path / "bare" / "configs")
    assert not compiled
    assert not (tmp_path / "bare" / "pincheck" / "compiled").exists()
    assert trace[0] == "part.fan"


def test_a_wheel_carries_them(tmp_path: Path) -> None:
    build = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(tmp_path)]
    subprocess.run(build, cwd=CHECKOUT, check=True, capture_output=True)
    (wheel,) = tmp_path.glob("*.whl")
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(tmp_path / "installed")
    grammars, configs, compiled, *trace = asked(tmp_path / "installed", tmp_path)
    assert grammars == str(tmp_path / "installed" / "pincheck" / "grammars")
    assert configs == str(tmp_path / "installed" / "pincheck" / "configs")
    assert sorted(compiled.split()) == sorted(source.name for source in resources.sources())
    assert not (tmp_path / "installed" / "pincheck" / "compiling.py").exists()
    assert trace[0] == "part.fan"


@pytest.fixture
def compiled(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder of its own for what is compiled."""
    monkeypatch.setattr(resources, "COMPILED", tmp_path)
    return tmp_path


@pytest.mark.parametrize("source", [*resources.sources()], ids=lambda source: source.name)
def test_what_is_compiled_says_what_its_source_says(compiled: Path, source: Path) -> None:
    """Whole, in the same order, and without reading the source in between."""
    if source.suffix == ".lark":
        made = grammar.compiled(source)
        resources.keep_compiled(source, made)
        assert resources.compiled(source) == made
        assert str(grammar.load(source.stem).terminals) == str(grammar._built(source).terminals)
    else:
        resources.keep_compiled(source, resources.parsed(source))
        assert repr(resources.compiled(source)) == repr(resources.parsed(source))
    assert [file.name for file in compiled.iterdir()] == [f"{source.name}.data"]


def test_no_two_sources_share_a_name() -> None:
    names = [source.name for source in resources.sources()]
    assert len(set(names)) == len(names) > 10


@pytest.mark.parametrize("damage", [b"", b"\xff", b"i\0\0\0\0", slice(9), slice(-3)])
def test_a_changed_source_or_a_damaged_copy_is_read_anew(
    compiled: Path, tmp_path: Path, damage: bytes | slice
) -> None:
    """The source decides, whatever the times of the files."""
    source = tmp_path / "words.toml"
    source.write_text('ohm = 4700\nnames = ["Höhe"]\n', encoding="utf-8")
    resources.keep_compiled(source, {"ohm": 4700.5})
    assert resources.table(source) == {"ohm": 4700.5}
    copy = compiled / "words.toml.data"
    copy.write_bytes(damage if isinstance(damage, bytes) else copy.read_bytes()[damage])
    assert resources.table(source) == {"ohm": 4700, "names": ["Höhe"]}
    resources.keep_compiled(source, {"ohm": 4700.5})
    source.write_text("ohm = 2200\n", encoding="utf-8")
    assert resources.table(source) == {"ohm": 2200}


def test_a_grammar_compiled_by_another_release_is_built_anew(
    compiled: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Tables are for the release of the parser that made them."""
    source = resources.folder("grammars") / "section.lark"
    resources.keep_compiled(source, ["0.1", {}, {}])
    assert str(grammar.load("section").terminals) == str(grammar._built(source).terminals)
    monkeypatch.setattr(resources, "folder", lambda name: compiled / name)
    with pytest.raises(FileNotFoundError):
        grammar.load("nothing")
