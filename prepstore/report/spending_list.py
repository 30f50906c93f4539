"""What was spent, what sessions cost and what was used, as lines and as rows."""

from collections.abc import Iterable, Iterator, Sequence
from enum import StrEnum
from typing import Any, Final

from prepstore.amounts import fine_amount_in_words
from prepstore.report.costs import (
    COST_COLUMNS,
    cost_cells,
    cost_in_words,
    known_in_words,
    money_cell,
    no_price_lines,
)
from prepstore.report.row_lists import number_in_json
from prepstore.report.text_table import as_table
from prepstore.shelf.prices import Cost, sum_of
from prepstore.shelf.spending import ItemUse, PracticalCost, SessionCost, Spending, Spent


class By(StrEnum):
    """What spending is shown by."""

    SUPPLIER = "supplier"
    SESSION = "session"
    PRACTICAL = "practical"
    ITEM = "item"


SPENDING_COLUMNS: Final = {
    By.SUPPLIER: ("month", "supplier", "cost", *COST_COLUMNS),
    By.SESSION: ("day", "session", "practical", "cost", *COST_COLUMNS),
    By.PRACTICAL: ("practical", "sessions", "cost", *COST_COLUMNS),
    By.ITEM: ("month", "item", "unit", "used", "into_solutions", "cost", *COST_COLUMNS),
}
NO_SUPPLIER: Final = "no supplier given"
Row = Spent | SessionCost | PracticalCost | ItemUse


def rows_by(found: Spending, by: By) -> Sequence[Row]:
    """Return the rows that are shown."""
    rows: dict[By, Sequence[Row]] = {
        By.SUPPLIER: found.suppliers,
        By.SESSION: found.sessions,
        By.PRACTICAL: found.practicals,
        By.ITEM: found.items,
    }
    return rows[by]


def spending_rows(found: Spending, by: By) -> list[dict[str, Any]]:
    """Return a row a supplier and month, session, practical, or item and month."""
    return [
        {**_cells(row), "cost": money_cell(row.cost), **cost_cells(row.cost)}
        for row in rows_by(found, by)
    ]


def _cells(row: Row) -> dict[str, Any]:
    match row:
        case Spent():
            return {"month": row.month, "supplier": row.supplier or None}
        case SessionCost():
            day = row.day.isoformat()
            return {"day": day, "session": row.session, "practical": row.practical}
        case PracticalCost():
            return {"practical": row.practical, "sessions": row.sessions}
        case ItemUse():
            return {
                "month": row.month,
                "item": row.item,
                "unit": str(row.unit),
                "used": number_in_json(row.used),
                "into_solutions": number_in_json(row.into_solutions),
            }


_HEADINGS: Final = {
    By.SUPPLIER: ("month", "supplier"),
    By.SESSION: ("day", "session", "practical"),
    By.PRACTICAL: ("practical", "sessions"),
    By.ITEM: ("month", "item", "used", "of it into solutions"),
}
_NOTHING: Final = {
    By.SUPPLIER: "Nothing was bought in that time.",
    By.SESSION: "No session was booked out in that time.",
    By.PRACTICAL: "No session was booked out in that time.",
    By.ITEM: "Nothing was used in that time.",
}


def spending_lines(found: Spending, by: By, currency: str | None) -> Iterator[str]:
    """Yield a heading, a line a row, and what all of it comes to."""
    rows = rows_by(found, by)
    lines = [
        (*in_words(row), cost_in_words(row.cost, currency), known_in_words(row.cost))
        for row in rows
    ]
    yield from as_table((*_HEADINGS[by], "cost", "known"), lines)
    if not rows:
        yield _NOTHING[by]
        return
    total = total_of(rows)
    yield f"{cost_in_words(total, currency) or 'Cost not known'} in all: {known_in_words(total)}"
    yield from beside_total(rows)


def in_words(row: Row) -> tuple[str, ...]:
    """Return the cells of a row that say what its cost is of."""
    match row:
        case Spent():
            return row.month, row.supplier or NO_SUPPLIER
        case SessionCost():
            return row.day.isoformat(), row.session, row.practical
        case PracticalCost():
            return row.practical, str(row.sessions)
        case ItemUse():
            into = row.into_solutions
            return (
                row.month,
                row.item,
                fine_amount_in_words(row.used, row.unit),
                fine_amount_in_words(into, row.unit) if into else "",
            )


def total_of(rows: Iterable[Row]) -> Cost:
    """Return what all rows cost; what went into solutions counts with the solutions alone."""
    cost = Cost()
    for row in rows:
        cost += row.cost
        if isinstance(row, ItemUse):
            twice = row.cost_into_solutions
            cost += Cost(-twice.paid, -twice.estimated)
    return cost


def beside_total(rows: Sequence[Row]) -> Iterator[str]:
    """Yield what is to be known of a total: what is not in it."""
    if any(isinstance(row, ItemUse) and row.into_solutions for row in rows):
        yield "What went into solutions is left out of the total: it counts when they are used."
    yield from no_price_lines(sum_of(row.cost for row in rows).lacking)
