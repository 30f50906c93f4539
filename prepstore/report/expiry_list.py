"""What goes out of date, and what is to be tested, as lines and as rows for other programs."""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any, Final

from prepstore.amounts import Concentration, fine_amount_in_words
from prepstore.cell_types import LotState
from prepstore.facts import Item
from prepstore.report.row_lists import number_in_json
from prepstore.report.text_table import as_table
from prepstore.report.wording import money_in_words
from prepstore.safety.peroxide_formers import SOURCE, PublishedFormer
from prepstore.safety.peroxides import reckoned_from
from prepstore.shelf.expiry import Loss, TooLittle
from prepstore.shelf.peroxides import ToTest
from prepstore.shelf.prices import cents

EXPIRY_COLUMNS: Final = (
    "lot", "item", "last_day", "amount", "taken", "left", "unit", "value", "place",
)  # fmt: skip
PEROXIDE_COLUMNS: Final = (
    "lot", "item", "amount", "unit", "received", "opened", "tested", "due", "overdue", "remark",
    "state", "place",
)  # fmt: skip


def expiry_rows(losses: Sequence[Loss]) -> list[dict[str, Any]]:
    """Return a row a lot; figures are numbers in its unit, `value` in the currency."""
    return [
        {
            "lot": loss.held.label,
            "item": loss.held.material.name,
            "last_day": loss.last_day.isoformat(),
            "amount": number_in_json(loss.held.amount),
            "taken": number_in_json(loss.taken),
            "left": number_in_json(loss.left),
            "unit": str(loss.held.unit),
            "value": None if loss.value is None else number_in_json(cents(Fraction(loss.value))),
            "place": loss.held.lot.place,
        }
        for loss in losses
    ]


def expiry_lines(losses: Sequence[Loss], currency: str | None, last: date) -> Iterator[str]:
    """Yield a heading, a line a lot, and what all that will be lost is worth.

    Args:
        losses: The lots, the first to go out of date first.
        currency: Of prices.
        last: The day up to which was looked.
    """
    heading = ("last day", "lot", "item", "there", "to be used", "left", "value", "place")
    yield from as_table(heading, [_loss_cells(loss, currency) for loss in losses])
    if not losses:
        yield f"Nothing goes out of date up to {last} before it is used."
        return
    # Of cents, as they stand above it, so that a pocket calculator comes to the same.
    known = [cents(Fraction(loss.value)) for loss in losses if loss.value is not None]
    unpriced = len(losses) - len(known)
    if unpriced:
        lots = "1 lot" if unpriced == 1 else f"{unpriced} lots"
        yield f"The value of {lots} is not known: no pack of what is in there is sold."
    total = money_in_words(sum(known, Decimal(0)), currency)
    yield (
        f"Stock worth {total} goes out of date up to {last}, at the price of the cheapest pack "
        "of each item."
    )


def _loss_cells(loss: Loss, currency: str | None) -> tuple[str, ...]:
    held = loss.held
    return (
        loss.last_day.isoformat(),
        held.label,
        held.material.name,
        fine_amount_in_words(held.amount, held.unit),
        fine_amount_in_words(loss.taken, held.unit) if loss.taken else "",
        fine_amount_in_words(loss.left, held.unit),
        "" if loss.value is None else money_in_words(cents(Fraction(loss.value)), currency),
        held.lot.place or "",
    )


def peroxide_rows(found: Sequence[ToTest], today: date) -> list[dict[str, Any]]:
    """Return a row a lot; days are ISO dates, None where they are not known."""
    return [
        {
            "lot": one.held.label,
            "item": one.held.material.name,
            "amount": number_in_json(one.held.amount),
            "unit": str(one.held.unit),
            "received": _iso(one.held.lot.received),
            "opened": _iso(one.held.lot.opened),
            "tested": _iso(one.held.lot.tested),
            "due": _iso(one.due),
            "overdue": one.is_overdue(today),
            "remark": _remark(one),
            "state": str(one.held.lot.state),
            "place": one.held.lot.place,
        }
        for one in found
    ]


def _iso(day: date | None) -> str | None:
    return day.isoformat() if day else None


def _remark(one: ToTest) -> str:
    """Return what is missing for a day to be known; blank where nothing is."""
    if one.has_no_known_day:
        return "no day is known"
    if one.has_no_time:
        is_open = one.held.lot.opened is not None
        return f"no {'peroxide_test' if is_open else 'peroxide_test_sealed'} is set"
    return ""


def peroxide_lines(found: Sequence[ToTest], today: date) -> Iterator[str]:
    """Yield a heading, a line a lot, and what to do about each of which no day is known.

    Args:
        found: The lots, in the order to show them.
        today: The day that decides what is overdue.
    """
    heading = ("test by", "lot", "item", "there", "counted from", "", "state", "place")
    yield from as_table(heading, [_test_cells(one, today) for one in found])
    if not found:
        yield "No lot with anything in it is due for a peroxide test."
    for one in found:
        yield from _what_is_missing(one)


def _test_cells(one: ToTest, today: date) -> tuple[str, ...]:
    lot = one.held.lot
    start = reckoned_from(lot)
    what = "tested" if start == lot.tested else "opened" if lot.opened else "received"
    return (
        _iso(one.due) or ("not set" if one.has_no_time else "not known"),
        lot.lot,
        one.held.material.name,
        fine_amount_in_words(one.held.amount, one.held.unit),
        f"{what} {start}" if start else "no day is known",
        "OVERDUE" if one.is_overdue(today) else "",
        "" if lot.state is LotState.USABLE else str(lot.state),
        lot.place or "",
    )


def _what_is_missing(one: ToTest) -> Iterator[str]:
    name, label = one.item.item, one.held.label
    if one.has_no_known_day:
        yield (
            f"{label}: opened? received? tested? Write the day into the table stock if a record "
            "gives it. If not, its age is not known: leave it closed and ask the competent person."
        )
    elif one.has_no_time and one.held.lot.opened is not None:
        yield f"{label}: it is open, and {name} has no peroxide_test. Set the days it may stand."


def not_watched_lines(found: Iterable[tuple[Item, PublishedFormer]]) -> Iterator[str]:
    """Yield a line for each item of the published list without a time, and how to read the list."""
    is_any = False
    for item, listed in found:
        is_any = True
        note = f"; {listed.note}" if listed.note else ""
        yield (
            f"{item.item} is on the list of {SOURCE} (its class {listed.listed_as}: "
            f"{listed.months_opened} months after opening, {listed.months_unopened} "
            f"unopened{note}) and has no peroxide_test."
        )
    if is_any:
        yield (
            "Other lists give other times and other names for the classes: set the days that "
            "your own rules give."
        )


CAUTION: Final = (
    "Never open or move a container with crystals in it or around its cap, or one of unknown age: "
    "keep others away and ask the competent person. Safety data sheets and local codes come first."
)


def above_limit_line(limit: Concentration) -> str:
    """Return what is to be done about a container whose test was above the limit."""
    return (
        f"Above the limit of {limit}. Do not open the container or move it further, keep others "
        "away, and ask the competent person what to do with it."
    )


def next_test_line(item: str, due: date | None) -> str:
    """Return when a container is to be tested again."""
    if due is None:
        return (
            f"{item} has no number of days to its next test: set peroxide_test in the table items."
        )
    return f"Test it again, or discard it, by {due}."


def too_little_lines(found: Sequence[TooLittle]) -> Iterator[str]:
    """Yield a line for each item or solution below its minimum."""
    for one in found:
        unit = one.material.unit
        held, minimum = (fine_amount_in_words(x, unit) for x in (one.held, one.minimum))
        yield f"{one.material.name}: {held}, minimum {minimum}"
