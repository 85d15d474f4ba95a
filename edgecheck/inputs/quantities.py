"""Kinds of values in the files that people write: what a number may be, and a record that is never changed.

No kind accepts a number beyond a million, "not a number" or infinity, text in the place of a number, or true and
false in the place of one.
"""

from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, Field, PlainValidator, TypeAdapter

LARGEST = 1e6  # nothing about a box on a roof is larger in the units of the keys; keeps sums finite

Number = Annotated[float, Field(strict=True, ge=-LARGEST, le=LARGEST)]
Positive = Annotated[float, Field(strict=True, gt=0, le=LARGEST)]
NotNegative = Annotated[float, Field(strict=True, ge=0, le=LARGEST)]
Share = Annotated[float, Field(strict=True, ge=0, le=1)]
PartShare = Annotated[float, Field(strict=True, ge=0, lt=1)]
SlowGrowth = Annotated[float, Field(strict=True, ge=0, le=0.1)]  # 1/K
Celsius = Annotated[float, Field(strict=True, ge=-100, le=300)]
Count = Annotated[int, Field(strict=True, ge=1)]
Text = Annotated[str, Field(strict=True, min_length=1)]
Flag = Annotated[bool, Field(strict=True)]

_ONE: TypeAdapter[float] = TypeAdapter(Positive)
_LIST: TypeAdapter[tuple[float, ...]] = TypeAdapter(tuple[Positive, ...])


def _one_or_list(value: Any) -> float | tuple[float, ...]:
    """Let a list be judged as a list and anything else as a number, so that a fault names one of them."""
    return _LIST.validate_python(value) if isinstance(value, list | tuple) else _ONE.validate_python(value)


PositiveOrList = Annotated[float | tuple[float, ...], PlainValidator(_one_or_list)]


class Record(BaseModel):
    """A table of a file: frozen, without unknown keys, every number finite."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)


def default(value: Any, reason: str, meaning: str, **limits: Any) -> Any:
    """Field of a key that may be left out.

    Parameters
    ----------
    value : Any
        What holds where the key is missing.
    reason : str
        Why; shown wherever the default is used. Empty for a key that may stay unknown.
    meaning : str
        What the key is.
    **limits : Any
        Further limits of the field.
    """
    extra: dict[str, Any] | None = {"reason": reason} if reason else None
    return Field(default=value, description=meaning, json_schema_extra=extra, **limits)


def key(meaning: str, **limits: Any) -> Any:
    """Field of a key that must be there; `meaning` says what it is, and why it has no default."""
    return Field(description=meaning, **limits)


def reason_of(model: type[BaseModel], name: str) -> str:
    """Why a key has its default; empty for a key without one."""
    extra = model.model_fields[name].json_schema_extra
    return str(extra.get("reason", "")) if isinstance(extra, dict) else ""
