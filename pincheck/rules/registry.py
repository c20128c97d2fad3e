"""All rules there are: every module of this package registers its own."""

from functools import cache
from importlib import import_module
from pkgutil import walk_packages

import pincheck.rules
from pincheck.rules.rule import REGISTERED, Rule


@cache
def rules() -> tuple[Rule, ...]:
    """Return every rule, sorted by family and identifier."""
    for module in walk_packages(pincheck.rules.__path__, f"{pincheck.rules.__name__}."):
        import_module(module.name)
    return tuple(sorted(REGISTERED.values(), key=lambda rule: (rule.family, rule.id)))


def rule_named(identifier: str) -> Rule | None:
    """Return the rule with this identifier, None where there is none."""
    rules()
    return REGISTERED.get(identifier)
