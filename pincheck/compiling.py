"""Compiles the package's own data when it is built or installed: a hook of the build backend."""

import sys
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface


class Compiling(BuildHookInterface[Any]):
    """Leaves in `pincheck/compiled/` what a run would else have to parse."""

    def initialize(self, _version: str, build_data: dict[str, Any]) -> None:
        """Compile into the checkout, from where an editable installation runs and a wheel takes."""
        sys.path.insert(0, self.root)
        from pincheck import grammar, resources

        resources.COMPILED.mkdir(exist_ok=True)
        for source in resources.sources():
            make = grammar.compiled if source.suffix == ".lark" else resources.parsed
            resources.keep_compiled(source, make(source))
        build_data["artifacts"].append("/pincheck/compiled/*.data")
