"""What all nouns have in common."""

from typing import Any


class Noun:
    """Base of the frozen dataclasses: equal if of one class and alike in every field.

    They do not have these methods made for them, as ``eq=False, repr=False`` says: a dataclass
    compiles its own from text each time the program starts, and a person waits for that.
    """

    __slots__ = ()

    def __eq__(self, other: object) -> bool:
        if other.__class__ is not self.__class__:
            return NotImplemented
        return _values(self) == _values(other)

    def __hash__(self) -> int:
        return hash(tuple(_values(self)))

    def __repr__(self) -> str:
        names = self.__dataclass_fields__  # type: ignore[attr-defined]  # every noun is one
        told = zip(names, _values(self), strict=True)
        return f"{type(self).__name__}({', '.join(f'{name}={value!r}' for name, value in told)})"


def _values(noun: Any) -> list[Any]:
    return [getattr(noun, name) for name in noun.__dataclass_fields__]
