"""Fixtures, and property tests that draw the same examples in every run.

PINCHECK_EXPLORE=1 draws new ones.
"""

import gc
import json
import os
import shutil
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings
from jsonschema import Draft202012Validator
from referencing import Registry, Resource

from pincheck import api
from pincheck.model.wiring import Assembly
from pincheck.reports.json import SCHEMAS

sys.path.insert(0, str(Path(__file__).parent))  # for `applied`, which several folders share

UNTIMED = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.register_profile("steady", UNTIMED, derandomize=True, database=None)
settings.register_profile("explore", UNTIMED)
settings.load_profile("explore" if os.environ.get("PINCHECK_EXPLORE") else "steady")


def pytest_collection_finish() -> None:
    """Keep what was collected out of every later search for garbage."""
    gc.freeze()


Replacement = tuple[str, str, str]
Wired = Callable[..., Assembly]


@pytest.fixture
def wiring(tmp_path: Path) -> Callable[..., Path]:
    """Return a maker of a copy of the demo's wiring; replacements are (file, old, new)."""

    def make(*replaced: Replacement) -> Path:
        folder = tmp_path / "wiring"
        shutil.copytree(api.demo("boards"), folder / "boards")
        for file in api.demo("").glob("*.toml"):
            shutil.copy(file, folder)
        for name, old, new in replaced:
            text = (folder / name).read_text()
            assert old in text, f"{old!r} is not in {name}"
            (folder / name).write_text(text.replace(old, new))
        return folder

    return make


@pytest.fixture
def rewired(wiring: Callable[..., Path]) -> Wired:
    """Return a maker of the demo's assembly with texts replaced."""

    def make(*replaced: Replacement, assembly: str = "marsh-230-c.toml") -> Assembly:
        return api.load_wiring(wiring(*replaced) / assembly)

    return make


@pytest.fixture(scope="session")
def contract() -> Callable[[str], Draft202012Validator]:
    """Return what finds the validator of one kind of document, with what all kinds share."""
    texts = {path.name: json.loads(path.read_text()) for path in SCHEMAS.iterdir()}
    known = Registry().with_resources(
        (name, Resource.from_contents(text)) for name, text in texts.items()
    )

    def find(name: str) -> Draft202012Validator:
        schema = texts[f"{name}.schema.json"]
        Draft202012Validator.check_schema(schema)
        return Draft202012Validator(schema, registry=known)

    return find
