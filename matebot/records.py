"""`dataclass` as the standard library has it, for frozen classes made in a fifth of the time.

For each frozen class the standard library compiles six methods; a first answer needs a hundred and fifty such classes,
which was a third of its time. Here one is compiled, the constructor, and the others are the same code for all. A class
that asks for more than fields, frozen and perhaps slotted, is made by the standard library.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from dataclasses import MISSING, Field, FrozenInstanceError, fields
from operator import attrgetter
from reprlib import recursive_repr
from typing import TYPE_CHECKING, Any, NoReturn

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
    made = ("__init__", "__repr__", "__eq__", "__hash__", "__reduce__", "__setattr__", "__delattr__")
    asked = [value for value in vars(plain).values() if isinstance(value, Field)]
    return (
        not any(dataclasses.is_dataclass(base) for base in plain.__mro__[1:])
        and not any(name in vars(plain) for name in made)
        and all(field.init and field.repr and field.hash is None and field.kw_only is MISSING for field in asked)
    )


def _frozen(plain: type, slots: bool) -> Any:
    if plain.__doc__ is None:
        plain.__doc__ = plain.__name__  # or the standard library would work out a signature for it
    made: Any = dataclasses.dataclass(init=False, repr=False, eq=False, slots=slots)(plain)
    made.__dataclass_params__.frozen = True
    held = fields(made)
    values, compared = _values(held), _values([field for field in held if field.compare])
    names = [field.name for field in held]

    @recursive_repr()
    def shown(self: object) -> str:
        return f"{type(self).__qualname__}({', '.join(f'{name}={getattr(self, name)!r}' for name in names)})"

    def equals(self: object, other: object) -> bool:
        if self is other:
            return True
        return compared(self) == compared(other) if type(other) is type(self) else NotImplemented

    def hashed(self: object) -> int:
        return hash(compared(self))

    def reduced(self: object) -> tuple[type, tuple[Any, ...]]:
        return type(self), values(self)

    methods = {"__init__": _constructor(made, held), "__repr__": shown, "__eq__": equals, "__hash__": hashed}
    for name, method in {**methods, "__reduce__": reduced, "__setattr__": _refuse, "__delattr__": _refuse}.items():
        setattr(made, name, method)
    return made


def _values(held: Any) -> Callable[[object], tuple[Any, ...]]:
    """Return what reads some fields of an instance."""
    names = [field.name for field in held]
    if len(names) > 1:
        return attrgetter(*names)
    return lambda self: tuple(getattr(self, name) for name in names)


def _refuse(self: object, name: str, value: object = None) -> NoReturn:
    raise FrozenInstanceError(f"cannot change {name!r} of a frozen {type(self).__name__}")


def _constructor(made: type, held: tuple[Field[Any], ...]) -> Any:
    """Compile ``__init__``."""
    known: dict[str, Any] = {"_set": object.__setattr__, "_missing": MISSING}
    # Past `__setattr__` straight into the namespace, where there is one: half the time.
    setting, start = (
        ("_own[{!r}] = {}", "_own = self.__dict__") if made.__dictoffset__ else ("_set(self, {!r}, {})", "pass")
    )
    parameters, lines = ["self"], [start]
    for number, field in enumerate(held):
        name = value = field.name
        if field.default is not MISSING:
            known[f"_{number}"] = field.default
            parameters.append(f"{name}=_{number}")
        elif field.default_factory is not MISSING:
            known[f"_{number}"] = field.default_factory
            parameters.append(f"{name}=_missing")
            value = f"_{number}() if {name} is _missing else {name}"
        else:
            parameters.append(name)
        lines.append(setting.format(name, value))
    if hasattr(made, "__post_init__"):
        lines.append("self.__post_init__()")
    exec(f"def __init__({', '.join(parameters)}):\n " + "\n ".join(lines), known)
    return known["__init__"]
