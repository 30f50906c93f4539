"""What JSON is to hold, as a value: rows, lists, single values; and the one check of them all."""

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

_LONGEST_SHOWN = 39


@dataclass(frozen=True, slots=True)
class One:
    """A single value: what is expected in words, and whether a value is that."""

    expected: str
    is_right: Callable[[Any], bool]


@dataclass(frozen=True, slots=True)
class Row:
    """Values by key; other keys may stand beside them.

    Where what stands under the first key of `with_it` is not 0, the second must not be null.
    """

    keys: Mapping[str, "Shape"]
    with_it: tuple[str, str] | None = None


@dataclass(frozen=True, slots=True)
class Listed:
    """Any number of what has one shape."""

    of: "Row | One"


Shape = One | Row | Listed


@dataclass(frozen=True, slots=True)
class Mistake:
    """What is wrong, and the steps to its place from the outside in: keys and numbers of rows."""

    place: tuple[str, ...]
    what: str

    def inside(self, step: str) -> "Mistake":
        """Return it as it is seen from one step further out."""
        return replace(self, place=(step, *self.place))

    def __str__(self) -> str:
        """Return it as words that follow the name of the file."""
        return "".join(f", {step}" for step in self.place) + f": {self.what}"


def mistake_in(value: object, shape: Shape) -> Mistake | None:
    """Return the first mistake of what JSON holds; None where it has the shape.

    Args:
        value: What was read, its numbers as `int` or `Decimal`.
        shape: What it is to be.

    >>> shape = Row({"lots": Listed(One("text", lambda value: isinstance(value, str)))})
    >>> print(mistake_in({"lots": ["L1", 2]}, shape))
    , lots, entry 2: found 2, expected text
    """
    match shape:
        case One():
            return None if shape.is_right(value) else _other(value, shape.expected)
        case Row():
            if not isinstance(value, dict):
                return _other(value, "a row in { }")
            return _mistake_in_row(value, shape)
        case Listed():
            if not isinstance(value, list):
                return _other(value, "a list in [ ]")
            return _mistake_in_list(value, shape.of)


def _mistake_in_row(row: Mapping[str, Any], shape: Row) -> Mistake | None:
    for key, of in shape.keys.items():
        if key not in row:
            return Mistake((), f"'{key}' is missing")
        if mistake := mistake_in(row[key], of):
            return mistake.inside(key)
    if shape.with_it is None:
        return None
    key, needed = shape.with_it
    if not row[key] or row[needed] is not None:
        return None
    return Mistake((needed,), f"found null, and '{key}' is not 0")


def _mistake_in_list(rows: list[Any], of: Row | One) -> Mistake | None:
    word = "row" if isinstance(of, Row) else "entry"
    for number, row in enumerate(rows, start=1):
        if mistake := mistake_in(row, of):
            return mistake.inside(f"{word} {number}")
    return None


def _other(value: object, expected: str) -> Mistake:
    return Mistake((), f"found {_shown(value)}, expected {expected}")


def _shown(value: object) -> str:
    """Return a value as its file has it, cut short; of what holds others its brackets alone."""
    match value:
        case dict():
            text = "{…}" if value else "{}"
        case list():
            text = "[…]" if value else "[]"
        case Decimal():
            text = str(value)
        case str():
            text = json.dumps(value, ensure_ascii=not value.isprintable())
        case _:
            text = json.dumps(value)
    return text if len(text) <= _LONGEST_SHOWN else f"{text[:_LONGEST_SHOWN]}…"
