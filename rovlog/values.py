"""`dataclass`, `field`, `replace` and `asdict` as in the standard library, but quick to declare.

The standard library writes and compiles every method of a class when the class is declared, and loads
`inspect` to do so. A command declares a hundred such classes and uses a dozen, which took longer than
its work. Here a constructor is compiled when the first object is made, and nothing else is compiled.

Only what rovlog uses is offered. Type checkers see the standard library's own, and what stands there
(`dataclasses.fields`, `replace`, …) takes these classes for its own.
"""

from __future__ import annotations

from collections.abc import Callable
from operator import attrgetter
from typing import TYPE_CHECKING, Any

__all__ = ["asdict", "dataclass", "field", "replace"]

_MISSING: Any = object()
_FIELDS = "_rovlog_fields"


class _Field:
    """What is said of one field: its default or what makes it, and whether `repr` shows it."""

    __slots__ = ("default", "factory", "is_shown")

    def __init__(self, default: Any, factory: Any, is_shown: bool) -> None:
        self.default, self.factory, self.is_shown = default, factory, is_shown


def _field(*, default: Any = _MISSING, default_factory: Any = _MISSING, repr: bool = True) -> Any:
    """A field with a default, with a function that makes one, or that `repr` leaves out."""
    return _Field(default, default_factory, repr)


def _dataclass(*, slots: bool, frozen: bool = False, order: bool = False) -> Callable[[type], type]:
    """Make a class of its annotated fields. `slots=True` must be given: no other kind is made here."""
    if not slots:
        raise TypeError("only classes with slots are made here")
    return lambda cls: _made(cls, frozen, order)


def _replace(value: Any, /, **changes: Any) -> Any:
    """The same value with these fields changed."""
    cls = type(value)
    for name in cls.__match_args__:
        if name not in changes:
            changes[name] = getattr(value, name)
    return cls(**changes)


def _asdict(value: Any) -> dict[str, Any]:
    """The fields by name; values among them, and in their lists and mappings, likewise."""
    return {name: _plain(getattr(value, name)) for name in type(value).__match_args__}


def _plain(value: Any) -> Any:
    if hasattr(type(value), _FIELDS):
        return _asdict(value)
    if isinstance(value, list | tuple):
        return type(value)(map(_plain, value))
    if isinstance(value, dict):
        return {_plain(key): _plain(inner) for key, inner in value.items()}
    return value


def _made(cls: type, is_frozen: bool, is_ordered: bool) -> type:
    """The class anew, with slots for its fields and with its methods."""
    fields: dict[str, _Field] = {}
    for base in cls.__mro__[:0:-1]:
        fields.update(base.__dict__.get(_FIELDS, ()))
    inherited = tuple(fields)
    space = {k: v for k, v in cls.__dict__.items() if k not in ("__dict__", "__weakref__")}
    for name in space.get("__annotations__", ()):
        given = space.pop(name, _MISSING)
        if given.__class__.__hash__ is None:
            raise ValueError(f"{name} of {cls.__name__}: all objects would share this default")
        fields[name] = given if isinstance(given, _Field) else _Field(given, _MISSING, True)
    names = tuple(fields)
    row = _row_of(names)
    methods = {
        **_comparing(row, is_ordered),
        "__repr__": _repr,
        "__hash__": _hashing(row) if is_frozen else None,
    }
    made = type(cls)(
        cls.__name__,
        cls.__bases__,
        {
            **methods,
            **space,
            **(_FROZEN if is_frozen else {}),
            "__qualname__": cls.__qualname__,
            "__slots__": tuple(name for name in names if name not in inherited),
            "__match_args__": names,
            "__dataclass_fields__": _STANDARD,
            _FIELDS: fields,
        },
    )
    made.__init__ = _first_constructor(made, fields)  # type: ignore[misc]
    return made


def _first_constructor(cls: Any, fields: dict[str, _Field]) -> Callable[..., None]:
    def first(self: Any, *values: Any, **named: Any) -> None:
        cls.__init__ = _constructor(cls, fields)
        cls.__init__(self, *values, **named)

    return first


def _constructor(cls: Any, fields: dict[str, _Field]) -> Any:
    """`__init__`, compiled: sets each field through its slot, which is the quickest way there is."""
    space: dict[str, Any] = {"_made": _MISSING}
    taken, lines = [], []
    for name, its in fields.items():
        space[f"_set_{name}"] = (
            cls.__dict__[name].__set__ if name in cls.__dict__ else getattr(cls, name).__set__
        )
        value = name
        if its.factory is not _MISSING:
            space[f"_make_{name}"] = its.factory
            value = f"_make_{name}() if {name} is _made else {name}"
            taken.append(f"{name}=_made")
        elif its.default is not _MISSING:
            space[f"_else_{name}"] = its.default
            taken.append(f"{name}=_else_{name}")
        else:
            taken.append(name)
        lines.append(f" _set_{name}(self, {value})")
    if hasattr(cls, "__post_init__"):
        lines.append(" self.__post_init__()")
    exec(f"def __init__({', '.join(['self', *taken])}):\n" + "\n".join(lines or [" pass"]), space)
    made = space["__init__"]
    made.__qualname__ = f"{cls.__qualname__}.__init__"
    return made


def _row_of(names: tuple[str, ...]) -> Callable[[Any], tuple[Any, ...]]:
    """What gives an object's fields as a tuple."""
    if len(names) > 1:
        return attrgetter(*names)
    return lambda value: tuple(getattr(value, name) for name in names)


def _comparing(row: Callable[[Any], tuple[Any, ...]], is_ordered: bool) -> dict[str, Any]:
    def equal(self: Any, other: Any) -> bool:
        return row(self) == row(other) if other.__class__ is self.__class__ else NotImplemented

    def less(self: Any, other: Any) -> bool:
        return row(self) < row(other) if other.__class__ is self.__class__ else NotImplemented

    def at_most(self: Any, other: Any) -> bool:
        return row(self) <= row(other) if other.__class__ is self.__class__ else NotImplemented

    # "More" and "at least" follow: Python asks the other side.
    return {"__eq__": equal, **({"__lt__": less, "__le__": at_most} if is_ordered else {})}


def _hashing(row: Callable[[Any], tuple[Any, ...]]) -> Callable[[Any], int]:
    return lambda self: hash(row(self))


def _repr(self: Any) -> str:
    fields = getattr(self, _FIELDS)
    shown = ", ".join(f"{name}={getattr(self, name)!r}" for name, its in fields.items() if its.is_shown)
    return f"{type(self).__qualname__}({shown})"


def _refuse_change(self: Any, name: str, value: Any = None) -> None:
    from dataclasses import FrozenInstanceError

    raise FrozenInstanceError(f"cannot change {name!r}")


def _state(self: Any) -> list[Any]:
    return [getattr(self, name) for name in self.__match_args__]


def _set_state(self: Any, state: list[Any]) -> None:
    for name, value in zip(self.__match_args__, state, strict=True):
        object.__setattr__(self, name, value)


_FROZEN = {
    "__setattr__": _refuse_change,
    "__delattr__": _refuse_change,
    "__getstate__": _state,  # for copies: they cannot be made by setting what may not be set
    "__setstate__": _set_state,
}


class _Standard:
    """The fields as the standard library keeps them, made only where something asks."""

    def __get__(self, instance: Any, owner: Any) -> Any:
        from dataclasses import field, make_dataclass

        specs = []
        for name, its in getattr(owner, _FIELDS).items():
            said = {"default": its.default, "default_factory": its.factory}
            said = {k: v for k, v in said.items() if v is not _MISSING}
            specs.append((name, "object", field(repr=its.is_shown, **said)))
        return getattr(make_dataclass(owner.__name__, specs), "__dataclass_fields__")  # noqa: B009


_STANDARD = _Standard()

if TYPE_CHECKING:
    from dataclasses import asdict, dataclass, field, replace
else:
    asdict, dataclass, field, replace = _asdict, _dataclass, _field, _replace
