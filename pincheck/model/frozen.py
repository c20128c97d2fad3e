"""Frozen classes of attrs, built in a fraction of the time: a short run builds 150 of them.

attrs writes and compiles the methods of each class. Comparing, hashing and showing are shared
methods here, which look the fields up; and a class whose fields have at most defaults gets the one
constructor for that number of fields, with the names of its own. All else is left to attrs, whose
`evolve` takes either.
"""

from collections.abc import Callable
from functools import cache, cached_property
from operator import attrgetter
from types import CodeType, FunctionType
from typing import TYPE_CHECKING, Any, NoReturn

import attrs

if TYPE_CHECKING:
    from attrs import field as field
    from attrs import frozen as frozen
else:

    def frozen(cls=None, *, slots=True):
        """Return `cls` frozen, or the decorator where only `slots` is given.

        Weak references to its instances are not possible.
        """
        if cls is None:
            return lambda cls: frozen(cls, slots=slots)
        for name, method in _SHARED.items():
            if name not in cls.__dict__:
                setattr(cls, name, method)
        if slots and not any(_needs_attrs(*item) for item in cls.__dict__.items()):
            return _plain(cls)
        for name, value in tuple(cls.__dict__.items()):
            if isinstance(value, _Field):
                setattr(cls, name, attrs.field(**value.options))
        return attrs.frozen(cls, slots=slots, repr=False, eq=False, weakref_slot=False)

    def field(**options):
        """Return a field as `attrs.field` does."""
        return _Field(**options)


class _Field:
    """A field; the names are those of an `attrs.Attribute`."""

    init = True
    eq_key = None

    def __init__(self, **options: Any) -> None:
        self.options = options
        self.eq, self.repr = options.get("eq", True), options.get("repr", True)
        self.name = self.alias = ""

    def validator(self, check: Callable[..., None]) -> Callable[..., None]:
        """Take the decorated method for the field's validator."""
        self.options["validator"] = check
        return check

    def is_plain(self) -> bool:
        """Return whether the field has at most a default."""
        own = {"default", "factory", "eq", "repr"}
        return self.options.keys() <= own and isinstance(self.eq, bool)

    def put(self, put: Callable[[object, object], None]) -> Callable[[object, object], None]:
        """Return what sets the field, given what sets its slot."""
        make = self.options.get("factory")
        if make is None:
            return put
        return lambda owner, value: put(owner, make() if value is self else value)


def _needs_attrs(name: str, value: object) -> bool:
    if isinstance(value, _Field):
        return not value.is_plain()
    return (
        name == "__attrs_post_init__"
        or isinstance(value, cached_property)
        or type(value).__module__ == "attr._make"
    )


def _plain(cls: type) -> type:
    own, fields = dict(cls.__dict__), list[_Field]()
    for name in cls.__annotations__:
        value = own.pop(name) if name in own else _Field()
        fields.append(value if isinstance(value, _Field) else _Field(default=value))
        fields[-1].name = fields[-1].alias = name
    own.pop("__dict__", None)
    own.pop("__weakref__", None)
    slots = tuple(field.name for field in fields)
    fields = [*getattr(cls, "__attrs_attrs__", ()), *fields]
    names = tuple(field.name for field in fields)
    own |= {
        "__slots__": slots,
        "__match_args__": names,
        "__attrs_attrs__": tuple(fields),
        "__qualname__": cls.__qualname__,
        "__setattr__": _refuse,
        "__delattr__": _refuse,
        "__getstate__": _state,
        "__setstate__": _restore,
    }
    made: type[Any] = type(cls.__name__, cls.__bases__, own)
    code = _constructor(len(names)).replace(co_varnames=("self", *names))
    puts = {
        f"put{number}": each.put(getattr(made, each.name).__set__)
        for number, each in enumerate(fields)
    }
    defaults = (f.options.get("default", f) for f in fields if f.options.keys() - {"eq", "repr"})
    made.__init__ = FunctionType(code, puts, "__init__", tuple(defaults))
    return made


@cache
def _constructor(count: int) -> CodeType:
    """Return a constructor of so many fields, which are called by their numbers."""
    names = "".join(f", field{number}" for number in range(count))
    body = "".join(f" put{number}(self, field{number})\n" for number in range(count))
    code = compile(f"def __init__(self{names}):\n{body or ' pass'}", "<frozen>", "exec")
    made: CodeType = code.co_consts[0]
    return made


def _refuse(*_: object) -> NoReturn:
    raise attrs.exceptions.FrozenInstanceError


def _state(self: Any) -> tuple[Any, ...]:
    return tuple(getattr(self, field.name) for field in self.__attrs_attrs__)


def _restore(self: Any, state: tuple[Any, ...]) -> None:
    for field, value in zip(self.__attrs_attrs__, state, strict=True):
        object.__setattr__(self, field.name, value)


@cache
def _compared(cls: type) -> Callable[[Any], Any]:
    """Return what gets of an instance the fields that count when two are compared."""
    fields = [field for field in cls.__attrs_attrs__ if field.eq]  # type: ignore[attr-defined]
    keys = [(attrgetter(field.name), field.eq_key) for field in fields if field.eq_key]
    names = [field.name for field in fields if not field.eq_key]
    plain = attrgetter(*names) if names else type
    return (lambda self: (plain(self), *(key(get(self)) for get, key in keys))) if keys else plain


def _equal(self: Any, other: object) -> Any:
    if other.__class__ is not self.__class__:
        return NotImplemented
    cls: Any = self.__class__
    compared = _compared(cls)
    return compared(self) == compared(other)


def _hash(self: Any) -> int:
    cls: Any = self.__class__
    return hash(_compared(cls)(self))


def _repr(self: Any) -> str:
    shown = (field.name for field in self.__attrs_attrs__ if field.repr is True)
    fields = ", ".join(f"{name}={getattr(self, name)!r}" for name in shown)
    return f"{type(self).__qualname__.rpartition('>.')[2]}({fields})"


_SHARED: dict[str, Callable[..., object]] = {
    "__eq__": _equal,
    "__hash__": _hash,
    "__repr__": _repr,
}
