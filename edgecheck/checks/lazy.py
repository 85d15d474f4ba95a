"""Parts of a result that are worked out when somebody first looks at them.

A list of a thousand sites needs a dozen numbers of each; the hourly tables and the records behind a report are many
times that work. A part is given as `Later` and made at the first look, once; reports, files and tests see plain values.
"""

from collections.abc import Callable, Iterator, Mapping
from typing import Any, Generic, TypeVar

T = TypeVar("T")


class Later(Generic[T]):
    """A value that is made at the first call, once.

    Parameters
    ----------
    make : callable
        Without arguments.
    """

    def __init__(self, make: Callable[[], T]) -> None:
        self._make: Callable[[], T] | None = make

    def __call__(self) -> T:
        """Value."""
        make = self._make
        if make is not None:
            self._value = make()
            self._make = None  # lets go of what it was made from
        return self._value

    def __reduce__(self) -> tuple[Any, ...]:
        return (_same, (self(),))


def _same(value: T) -> T:
    """What a `Later` is on the other side of a pickle."""
    return value


class Lazy(Generic[T]):
    """A field of a dataclass that may be given as `Later` and is read as the value.

    Parameters
    ----------
    default : object, optional
        Of the field; without it the field must be given.
    """

    def __init__(self, *default: T) -> None:
        self._default = default

    def __set_name__(self, owner: type, name: str) -> None:
        self._name = f"_{name}"

    def __get__(self, instance: object | None, owner: type | None = None) -> T:
        if instance is None:
            if not self._default:
                raise AttributeError("a field without a default")
            return self._default[0]
        value = vars(instance)[self._name]
        return value() if isinstance(value, Later) else value

    def __set__(self, instance: object, value: T | Later[T]) -> None:
        vars(instance)[self._name] = value


class Sections(Mapping[str, Any]):
    """Sections of a record by name; those given as `Later` are made at the first look.

    Parameters
    ----------
    sections : mapping
        Name -> value or `Later`.
    """

    def __init__(self, sections: Mapping[str, Any]) -> None:
        given = sections._sections if isinstance(sections, Sections) else sections
        self._sections: dict[str, Any] = dict(given)

    def __getitem__(self, name: str) -> Any:
        value = self._sections[name]
        return value() if isinstance(value, Later) else value

    def __iter__(self) -> Iterator[str]:
        return iter(self._sections)

    def __len__(self) -> int:
        return len(self._sections)

    def with_more(self, more: Mapping[str, Any]) -> "Sections":
        """The same record with further sections; none is made."""
        return Sections({**self._sections, **more})
