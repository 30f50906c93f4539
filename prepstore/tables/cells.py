"""A cell's text to what its column holds: one reader a type of `prepstore.facts`.

Every reader takes trimmed text that is not blank and raises `UnreadableError`.
"""

import re
from collections.abc import Callable, Mapping
from datetime import date, time
from decimal import Decimal
from enum import StrEnum
from functools import cache, partial
from typing import Any, Final, TypeVar

from prepstore import cell_types
from prepstore.amounts import ZERO, Basis, Concentration, Kind, WrittenAmount, plain, settle
from prepstore.problems import nearest
from prepstore.tables.substance_cells import (
    acid_or_base,
    cas,
    formula,
    hazard_class,
    hazard_code,
    hazard_codes,
    reactive_groups,
    species,
    waste_code,
)
from prepstore.tables.units import leading_amount, read_amount, read_concentration, unit_word
from prepstore.tables.unreadable import UnreadableError

MOST_DAYS: Final = 36_500

WEEKDAYS: Final = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")

_NUMBER = re.compile(r"[0-9]{1,12}(?:\.[0-9]{1,12})?|\.[0-9]{1,12}")
_WHOLE = re.compile(r"[0-9]{1,6}")
_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_TIME = re.compile(r"([0-9]{1,2}):([0-9]{2})(?::00)?")
_PERCENT = re.compile(r"([0-9]+(?:\.[0-9]+)?|\.[0-9]+)\s*%")
_SHARE = re.compile(r"(.*\S)\s+([0-9]+(?:\.[0-9]+)?)\s*%")
_MILLION = 1_000_000
_HUNDRED = 100
_SIGNED = re.compile(r"[-−]?(?:[0-9]{1,6}(?:\.[0-9]{1,6})?|\.[0-9]{1,6})")
_LEAST_PH, _GREATEST_PH = Decimal(-2), Decimal(16)
"""Acids and bases of a laboratory lie within (common practice, no source)."""

_ABSOLUTE_ZERO, _HOTTEST = Decimal("-273.15"), Decimal(1000)
_LEAST = Decimal("1e-6")


def _text(text: str) -> str:
    return text


Word = TypeVar("Word", bound=StrEnum)


def read_word(text: str, words: type[Word]) -> Word:
    """Return the word of a column of fixed words, whatever its case."""
    for word in words:
        if text.casefold() == word.value.casefold():
            return word
    expected = nearest(text, [word.value for word in words])
    raise UnreadableError("word-unknown", "is not a word for this column.", expected)


def _number(text: str) -> Decimal:
    if not _NUMBER.fullmatch(text):
        if "," in text:
            raise UnreadableError(
                "number-unreadable", "is not a number: it has a comma.", "Use a point, like 1.18."
            )
        raise UnreadableError(
            "number-unreadable", "is not a number of 0 or more.", "Write it like 1.18."
        )
    return Decimal(text)


def _signed(text: str, least: Decimal, greatest: Decimal, of: str) -> Decimal:
    """Return a number that may be below 0, between two others."""
    if not _SIGNED.fullmatch(text):
        raise UnreadableError("number-unreadable", "is not a number.", "Write it like 10.2.")
    number = Decimal(text.replace("−", "-"))
    if not least <= number <= greatest:
        what = f"is no {of}: it is not between {least} and {greatest}."
        raise UnreadableError("number-out-of-range", what, "Check the number and its sign.")
    return number


def _minutes(text: str) -> Decimal:
    return _below_a_million(_number(text))


def _positive_number(text: str) -> Decimal:
    number = _below_a_million(_number(text))
    if number < _LEAST:
        raise UnreadableError("number-zero", "is too small.", "Give a number above 0.")
    return number


def _below_a_million(number: Decimal) -> Decimal:
    if number >= _MILLION:
        raise UnreadableError(
            "number-too-large", "is more than can be meant.", "Give a number below a million."
        )
    return number


def _count(text: str) -> int:
    if not _WHOLE.fullmatch(text):
        raise UnreadableError(
            "count-unreadable", "is not a whole number of 0 or more.", "Write it like 12."
        )
    return int(text)


def _days(text: str) -> int:
    days = _count(text)
    if days > MOST_DAYS:
        raise UnreadableError(
            "number-too-large", "is more days than a hundred years.", "Write it like 30."
        )
    return days


def _positive_days(text: str) -> int:
    days = _days(text)
    if not days:
        raise UnreadableError("count-unreadable", "is too few days.", "Give at least 1 day.")
    return days


def _positive_count(text: str) -> int:
    count = _count(text)
    if count == 0:
        raise UnreadableError("number-zero", "is too small.", "Give a whole number above 0.")
    return count


def _several(text: str) -> int:
    count = _count(text)
    if count <= 1:
        raise UnreadableError("number-too-small", "is too small.", "Give a whole number above 1.")
    return count


def read_percent(text: str) -> Decimal:
    """Return a percentage as a fraction of 0 to 1; `15 %`, `15%` and `0.15` are equal."""
    found = _PERCENT.fullmatch(text)
    if found is None and not _NUMBER.fullmatch(text):
        raise UnreadableError(
            "percent-unreadable", "is not a percentage.", "Write it like 15 % or 0.15."
        )
    fraction = Decimal(found[1]) / 100 if found else Decimal(text)
    if fraction > 1:
        what = "is more than 100 %." if found else "has no % sign and is more than 1."
        raise UnreadableError("percent-over-100", what, "Write it like 15 % or 0.15.")
    return fraction


def _mass_percent(text: str) -> Decimal:
    """Return a percentage by mass as a fraction of 0 to 1; `5 %` and `5` are equal."""
    percent = text.removesuffix("%").rstrip()
    if not _NUMBER.fullmatch(percent):
        raise UnreadableError(
            "percent-unreadable", "is not a percentage.", "Write it like 5 % or 5."
        )
    if Decimal(percent) > _HUNDRED:
        raise UnreadableError("percent-over-100", "is more than 100 %.", "Write it like 5 % or 5.")
    return Decimal(percent) / _HUNDRED


def _positive_percent(text: str) -> Decimal:
    fraction = read_percent(text)
    if fraction == 0:
        raise UnreadableError("number-zero", "is too small.", "Give a percentage above 0.")
    return fraction


@cache
def read_date(text: str) -> date:
    """Return an ISO 8601 date."""
    if not _DATE.fullmatch(text):
        raise UnreadableError(
            "date-unreadable", "is not a date.", "Write it year-month-day, like 2027-02-03."
        )
    try:
        day = date.fromisoformat(text)
    except ValueError:
        raise UnreadableError(
            "date-unreadable", "is a date that does not exist.", "Check the day and the month."
        ) from None
    if not cell_types.FIRST_YEAR <= day.year <= cell_types.LAST_YEAR:
        what = f"is not in the years {cell_types.FIRST_YEAR} to {cell_types.LAST_YEAR}."
        raise UnreadableError("date-unreadable", what, "Check the year.")
    return day


@cache
def _time(text: str) -> time:
    found = _TIME.fullmatch(text)
    if found is None or int(found[1]) > 23 or int(found[2]) > 59:  # noqa: PLR2004 - a clock
        raise UnreadableError(
            "time-unreadable", "is not a time of day.", "Write it HH:MM, like 09:30."
        )
    return time(int(found[1]), int(found[2]))


def _positive_amount(text: str) -> WrittenAmount:
    written = read_amount(text)
    if not any(settle(portion.number) for portion in written.portions):
        raise UnreadableError("number-zero", "is too small.", "Give an amount above 0.")
    return written


def _positive_volume(text: str) -> Decimal:
    written = _positive_amount(text)
    if any(portion.kind is not Kind.VOLUME for portion in written.portions):
        raise UnreadableError("volume-unreadable", "is not a volume.", "Write it like 50 mL.")
    return sum((portion.number for portion in written.portions), ZERO)


def _positive_mass(text: str) -> Decimal:
    written = _positive_amount(text)
    if any(portion.kind is not Kind.MASS for portion in written.portions):
        raise UnreadableError("mass-unreadable", "is not a mass.", "Write it like 0.01 g.")
    return sum((portion.number for portion in written.portions), ZERO)


def _flasks(text: str) -> tuple[Decimal, ...]:
    sizes = {_positive_volume(size) for size in _names(text)}
    if not sizes:
        raise UnreadableError(
            "volume-unreadable", "names no flask.", "Write it like 100 mL; 250 mL; 1 L."
        )
    return tuple(sorted(sizes))


def _mass_in_volume(text: str) -> Concentration:
    found = read_concentration(text)
    if found.basis is not Basis.MASS_PER_VOLUME:
        what = "is not a mass in a volume."
        raise UnreadableError("concentration-unreadable", what, "Write it like 20 mg/L.")
    return found


def _measures(text: str) -> Mapping[str, WrittenAmount]:
    sizes: dict[str, WrittenAmount] = {}
    for part in filter(None, (part.strip() for part in text.split(";"))):
        word, equals, size = (half.strip() for half in part.partition("="))
        if not equals or not word or not size:
            raise UnreadableError(
                "measures-unreadable",
                f"has a measure, '{part}', without a size.",
                "Write it like scoop = 2 g; drop = 0.05 mL.",
            )
        if unit_word(word) is not None or cell_types.fold(word) in sizes:
            raise UnreadableError(
                "measures-unreadable",
                f"gives a size to '{word}', which has one already.",
                "Give each measure a name of its own.",
            )
        sizes[cell_types.fold(word)] = _measure_size(size)
    return sizes


def _measure_size(text: str) -> WrittenAmount:
    size = _positive_amount(text)
    for portion in size.portions:
        if portion.kind is None:
            raise UnreadableError(
                "measures-unreadable",
                f"gives a size in '{portion.word}', which is not a unit.",
                "Give it in g, mL or each.",
            )
    return size


def _container(text: str) -> cell_types.Container:
    return cell_types.Container(text, leading_amount(text))


def _shares(text: str) -> tuple[cell_types.Share, ...]:
    parts = [part.strip() for part in text.split(";") if part.strip()]
    if len(parts) == 1 and not parts[0].endswith("%"):
        return (cell_types.Share(parts[0], Decimal(1)),)
    found = [_SHARE.fullmatch(part) for part in parts]
    shares = tuple(cell_types.Share(share[1], Decimal(share[2]) / 100) for share in found if share)
    example = "Write it like halogenated solvent 90 %; air 10 %."
    if len(shares) != len(parts) or not parts:
        raise UnreadableError("shares-unreadable", "has a share without a percentage.", example)
    if len({cell_types.fold(share.end) for share in shares}) != len(shares):
        raise UnreadableError("shares-unreadable", "names a place twice.", example)
    if (whole := sum((share.fraction for share in shares), Decimal(0))) != 1:
        raise UnreadableError(
            "shares-do-not-add-up",
            f"has shares that add up to {plain(whole * 100)} %.",
            "They must add up to 100 %.",
        )
    return shares


def _names(text: str) -> tuple[str, ...]:
    return tuple(name for name in (part.strip() for part in text.split(";")) if name)


def _flag(text: str) -> bool:
    if text.casefold() not in ("yes", "no"):
        raise UnreadableError("word-unknown", "is neither yes nor no.", "Write yes, or leave it.")
    return text.casefold() == "yes"


def _weekdays(text: str) -> frozenset[int]:
    days: set[int] = set()
    for part in re.split(r"[;,]", text):
        first, dash, last = (half.strip().capitalize() for half in part.partition("-"))
        last = last if dash else first
        if first not in WEEKDAYS or last not in WEEKDAYS:
            raise UnreadableError(
                "weekdays-unreadable", "does not name days of the week.", "Write it like Mon-Fri."
            )
        start, span = WEEKDAYS.index(first), (WEEKDAYS.index(last) - WEEKDAYS.index(first)) % 7
        days.update((start + offset) % 7 for offset in range(span + 1))
    return frozenset(days)


def _dates(text: str) -> frozenset[date]:
    return frozenset(read_date(name) for name in _names(text))


READERS: Final[Mapping[Any, Callable[[str], Any]]] = {
    str: _text,
    cell_types.Name: _text,
    cell_types.Names: _names,
    date: read_date,
    time: _time,
    WrittenAmount: read_amount,
    cell_types.PositiveAmount: _positive_amount,
    cell_types.PositiveVolume: _positive_volume,
    cell_types.PositiveMass: _positive_mass,
    cell_types.Flasks: _flasks,
    Concentration: read_concentration,
    cell_types.MassInVolume: _mass_in_volume,
    cell_types.PositiveNumber: _positive_number,
    cell_types.Money: _number,
    cell_types.Hours: _minutes,
    cell_types.Minutes: _minutes,
    cell_types.PositiveMinutes: _positive_number,
    cell_types.Percent: read_percent,
    cell_types.PositivePercent: _positive_percent,
    cell_types.Count: _count,
    cell_types.PositiveCount: _positive_count,
    cell_types.SeveralPacks: _several,
    cell_types.Days: _days,
    cell_types.PositiveDays: _positive_days,
    cell_types.CasNumber: cas,
    cell_types.Container: _container,
    cell_types.Formula: formula,
    cell_types.Species: species,
    cell_types.HazardCodes: hazard_codes,
    cell_types.HazardCode: hazard_code,
    cell_types.HazardClass: hazard_class,
    cell_types.ReactiveGroups: reactive_groups,
    cell_types.AcidOrBase: acid_or_base,
    cell_types.MassPercent: _mass_percent,
    cell_types.Acidity: partial(_signed, least=_LEAST_PH, greatest=_GREATEST_PH, of="pH"),
    cell_types.Celsius: partial(
        _signed, least=_ABSOLUTE_ZERO, greatest=_HOTTEST, of="temperature in °C"
    ),
    cell_types.WasteCode: waste_code,
    cell_types.Measures: _measures,
    cell_types.Shares: _shares,
    cell_types.Flag: _flag,
    cell_types.Weekdays: _weekdays,
    cell_types.Dates: _dates,
    **{
        words: partial(read_word, words=words)
        for words in (
            cell_types.ItemKind,
            cell_types.StockUnit,
            cell_types.Supply,
            cell_types.Per,
            cell_types.LotState,
            cell_types.Measure,
            cell_types.Ordering,
            cell_types.InhalationForm,
        )
    },
}
"""How each type of column is read."""
