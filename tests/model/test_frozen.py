"""Frozen classes behave as those that attrs makes of the same fields."""

import pickle
from collections.abc import Callable
from functools import cached_property
from typing import Any

import attrs
import pytest
from attrs.validators import instance_of

from pincheck.model import frozen as ours


def pins(frozen: Callable[[type], Any], field: Callable[..., Any]) -> Any:
    """Return a class with every kind of field that the package has."""

    @frozen
    class Pin:
        name: str
        volts: float = 3.3
        words: list[str] = field(factory=list)
        at: object = field(default=None, eq=False, repr=False)
        chip: str = field(default="", eq=str.lower)

        @property
        def millivolts(self) -> float:
            return self.volts * 1e3

    return Pin


@ours.frozen
class Plain:
    """Nothing but defaults, at the top so that it can be pickled."""

    name: str
    words: list[str] = ours.field(factory=list, repr=False)
    at: object = ours.field(default=None, eq=False)


@ours.frozen
class Checked:
    """What attrs makes: a validator, a converter and a cached value."""

    count: int = ours.field(validator=instance_of(int))
    words: tuple[str, ...] = ours.field(default=(), converter=tuple)
    ohm: float = ours.field(default=1.0)

    @ohm.validator
    def _check(self, _: object, value: float) -> None:
        if value <= 0:
            raise ValueError(value)


@ours.frozen(slots=False)
class Lazy:
    """A value worked out once."""

    name: str

    @cached_property
    def upper(self) -> str:
        return self.name.upper()


@pytest.mark.parametrize("words", [(["a"],), (["a", 5.0],), (["a", 5.0, ["x"], "spot", "Chip"],)])
def test_instances_equal_hash_and_show_as_those_of_attrs(words: tuple[list[Any]]) -> None:
    """The fields that count, in the same order."""
    mine, theirs = pins(ours.frozen, ours.field), pins(attrs.frozen, attrs.field)
    one, other = mine(*words[0]), theirs(*words[0])
    assert repr(one) == repr(other)
    assert attrs.asdict(other) == {name: getattr(one, name) for name in attrs.asdict(other)}
    assert one == mine(*words[0])
    assert one != other
    changed = {"name": "b", "volts": 1.0, "words": ["y"], "at": "there", "chip": "other"}
    for name, value in changed.items():
        same = attrs.evolve(other, **{name: value}) == other
        assert (attrs.evolve(one, **{name: value}) == one) is same is (name == "at")


def test_hashes_follow_equality_and_need_hashable_fields() -> None:
    """What is left out of comparing is left out of hashing."""
    words = ("x",)
    assert hash(Plain("a", words, 1)) == hash(Plain("a", words, [])) != hash(Plain("b", words))
    with pytest.raises(TypeError, match="unhashable"):
        hash(Plain("a"))


def test_a_constructor_takes_names_and_defaults_and_refuses_the_rest() -> None:
    """Each instance has a list of its own; unknown, missing and doubled arguments are refused."""
    one, other = Plain("a"), Plain(name="a")
    assert one == other
    assert one.words is not other.words
    for args, named in [((), {}), (("a", [], 1, 2), {}), (("a",), {"name": "b"})]:
        with pytest.raises(TypeError):
            Plain(*args, **named)
    with pytest.raises(TypeError, match="volts"):
        Plain("a", volts=1)


def test_nothing_can_be_changed_or_added() -> None:
    for made in (Plain("a"), Checked(1), Lazy("a")):
        name = attrs.fields(type(made))[0].name
        for change in (
            lambda made=made, name=name: setattr(made, name, 1),
            lambda made=made: setattr(made, "other", 1),
            lambda made=made, name=name: delattr(made, name),
        ):
            with pytest.raises(attrs.exceptions.FrozenInstanceError):
                change()


def test_instances_travel_between_processes() -> None:
    for made in (Plain("a", ["x"], 3), Checked(1, ["x"]), Lazy("a")):
        again = pickle.loads(pickle.dumps(made))
        assert again == made
        assert repr(again) == repr(made)


def test_patterns_take_fields_by_their_order() -> None:
    match Plain("a", [], 7):
        case Plain(name, _, at):
            assert (name, at) == ("a", 7)


def test_checks_conversions_and_cached_values_are_those_of_attrs() -> None:
    assert Checked(1, ["x"]).words == ("x",)
    for wrong, named in [("one", {}), (1, {"ohm": 0.0})]:
        with pytest.raises((TypeError, ValueError)):
            Checked(wrong, **named)
    lazy = Lazy("a")
    assert lazy.upper is lazy.upper
