"""`dataclass` as the standard library has it, for frozen classes made in a fifth of the time.

For each frozen class the standard library compiles six methods; a first answer needs a hundred and fifty such classes,
which was a third of its time. Here one is compiled, the constructor, when it is first called; the others are the same
code for all, and the fields are described when somebody asks what they are. A class that asks for more than fields,
frozen and perhaps slotted, is made by the standard library.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterable
from dataclasses import MISSING, Field, FrozenInstanceError
from inspect import get_annotations
from operator import attrgetter
from reprlib import recursive_repr
from typing import TYPE_CHECKING, Any, NoReturn, cast

if TYPE_CHECKING:
    from dataclasses import dataclass as dataclass
else:

    def dataclass(cls: type | None = None, /, *, frozen: bool = False, slots: bool = False, **more: bool) -> Any:
        """Make a class a dataclass; see the standard library's."""

        def make(plain: type) -> type:
            if not frozen or more or not _is_simple(plain):
                return dataclasses.dataclass(frozen=frozen, slots=slots, **more)(plain)
            return _frozen(plain, slots)

        return make if cls is None else make(cls)


def _is_simple(plain: type) -> bool:
    """Whether a class inherits no fields, has no methods of those made here and asks for nothing special of a field."""
    made = ("__init__", "__repr__", "__eq__", "__hash__", "__reduce__", "__setattr__", "__delattr__", "__slots__")
    values, kinds = [vars(plain).get(name) for name in get_annotations(plain)], get_annotations(plain).values()
    defaults = [value.default if isinstance(value, Field) else value for value in values]
    asked = [value for value in values if isinstance(value, Field)]
    return (
        not any("__dataclass_fields__" in vars(base) for base in plain.__mro__[1:-1])
        and not any(name in vars(plain) for name in made)
        and all(isinstance(kind, str) and "InitVar" not in kind and "KW_ONLY" not in kind for kind in kinds)
        and all(field.init and field.repr and field.hash is None and field.kw_only is MISSING for field in asked)
        and not any(type(default).__hash__ is None for default in defaults)  # which all instances would share
    )


def _frozen(plain: type, slots: bool) -> Any:
    given = {name: vars(plain).get(name, MISSING) for name in _field_names(plain)}
    for name, value in given.items():
        if isinstance(value, Field) and value.default is MISSING:
            delattr(plain, name)
        elif isinstance(value, Field):
            setattr(plain, name, value.default)
    described = _Fields(plain, given)
    made: Any = _slotted(plain, given) if slots else plain
    values = _values(given)
    compared = _values([name for name, value in given.items() if not isinstance(value, Field) or value.compare])

    def equals(self: object, other: object) -> bool:
        if self is other:
            return True
        return compared(self) == compared(other) if type(other) is type(self) else NotImplemented

    def hashed(self: object) -> int:
        return hash(compared(self))

    def reduced(self: object) -> tuple[type, tuple[Any, ...]]:
        return type(self), values(self)

    def begin(self: object, /, *values: Any, **named: Any) -> None:
        made.__init__ = _constructor(made, given)  # compiled when the first one is made: many classes have none
        made.__init__(self, *values, **named)

    methods = {"__init__": begin, "__repr__": _shown, "__eq__": equals, "__hash__": hashed, "__reduce__": reduced}
    told = {"__dataclass_fields__": described, "__dataclass_params__": _PARAMS, "__match_args__": tuple(given)}
    for name, value in {**methods, **told, "__setattr__": _refuse, "__delattr__": _refuse}.items():
        setattr(made, name, value)
    return made


@dataclasses.dataclass(frozen=True)
class _Empty:
    """Has no fields; without words of its own the standard library would work out a signature to stand here."""


_PARAMS: Any = vars(_Empty)["__dataclass_params__"]


class _Fields:
    """The fields of a class as the standard library describes them, found out when somebody asks for them."""

    def __init__(self, plain: type, given: dict[str, Any]) -> None:
        self.like = {
            "__doc__": plain.__name__,
            "__module__": plain.__module__,
            "__annotations__": get_annotations(plain),
        }
        self.like.update((name, value) for name, value in given.items() if value is not MISSING)

    def __get__(self, instance: object, owner: type) -> Any:
        made: Any = next(each for each in owner.__mro__ if vars(each).get("__dataclass_fields__") is self)
        described: Any = dataclasses.dataclass(init=False, repr=False, eq=False)(type(made.__name__, (), self.like))
        made.__dataclass_fields__ = described.__dataclass_fields__
        return made.__dataclass_fields__


def _field_names(plain: type) -> list[str]:
    return [name for name, kind in get_annotations(plain).items() if "ClassVar" not in kind.partition("[")[0]]


def _slotted(plain: type, names: Iterable[str]) -> type:
    """Return the class again with slots for its fields; a class cannot be given them once it is there."""
    left = {name: value for name, value in vars(plain).items() if name not in {*names, "__dict__", "__weakref__"}}
    taken = {name for base in plain.__mro__[1:-1] for name in vars(base).get("__slots__", ())}
    made = type(plain)(
        plain.__name__, plain.__bases__, {**left, "__slots__": tuple(n for n in names if n not in taken)}
    )
    made.__qualname__ = plain.__qualname__
    return made


@recursive_repr()
def _shown(self: Any) -> str:
    return f"{type(self).__qualname__}({', '.join(f'{name}={getattr(self, name)!r}' for name in self.__match_args__)})"


def _values(names: Iterable[str]) -> Callable[[object], tuple[Any, ...]]:
    """Return what reads some fields of an instance."""
    names = tuple(names)
    if len(names) > 1:
        return attrgetter(*names)
    return lambda self: tuple(getattr(self, name) for name in names)


def _refuse(self: object, name: str, value: object = None) -> NoReturn:
    raise FrozenInstanceError(f"cannot change {name!r} of a frozen {type(self).__name__}")


def _constructor(made: type, given: dict[str, Any]) -> Any:
    """Compile ``__init__``."""
    known: dict[str, Any] = {"_set": object.__setattr__, "_missing": MISSING}
    # Past `__setattr__` straight into the namespace, where there is one: half the time.
    setting, start = (
        ("_own[{!r}] = {}", "_own = self.__dict__") if made.__dictoffset__ else ("_set(self, {!r}, {})", "pass")
    )
    parameters, lines = ["self"], [start]
    for number, (name, default) in enumerate(given.items()):
        value, factory = name, cast("Any", MISSING)
        if isinstance(default, Field):
            factory, default = default.default_factory, default.default
        if default is not MISSING:
            known[f"_{number}"] = default
            parameters.append(f"{name}=_{number}")
        elif factory is not MISSING:
            known[f"_{number}"] = factory
            parameters.append(f"{name}=_missing")
            value = f"_{number}() if {name} is _missing else {name}"
        else:
            parameters.append(name)
        lines.append(setting.format(name, value))
    if hasattr(made, "__post_init__"):
        lines.append("self.__post_init__()")
    exec(f"def __init__({', '.join(parameters)}):\n " + "\n ".join(lines), known)
    return known["__init__"]
