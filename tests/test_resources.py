"""The package's own data is found in a wheel, an editable install and a bare checkout."""

import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

from pincheck import resources

CHECKOUT = Path(__file__).parent.parent
ASK = (
    "from pincheck import resources, cli; from pincheck.cli.main import main; "
    "print(resources.folder('grammars')); print(resources.folder('configs')); "
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
        shutil.copytree(CHECKOUT / name, tmp_path / "bare" / name)
    grammars, configs, *trace = asked(tmp_path / "bare", tmp_path)
    assert grammars == str(tmp_path / "bare" / "grammars")
    assert configs == str(tmp_path / "bare" / "configs")
    assert trace[0] == "part.fan"


def test_a_wheel_carries_them(tmp_path: Path) -> None:
    build = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(tmp_path)]
    subprocess.run(build, cwd=CHECKOUT, check=True, capture_output=True)
    (wheel,) = tmp_path.glob("*.whl")
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(tmp_path / "installed")
    grammars, configs, *trace = asked(tmp_path / "installed", tmp_path)
    assert grammars == str(tmp_path / "installed" / "pincheck" / "grammars")
    assert configs == str(tmp_path / "installed" / "pincheck" / "configs")
    assert trace[0] == "part.fan"
