"""What listed lots are worth: one by one, in groups, or as a sheet to print."""

import datetime
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from prepstore.cli.list_options import Form, in_form
from prepstore.cli.lots_then import priced
from prepstore.cli.store_option import Store

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from prepstore.report.stock_list import Listed
    from prepstore.shelf.prices import Cost
    from prepstore.shelf.worth import Grouping, Worth
    from prepstore.written import WrittenRow


@dataclass(frozen=True, slots=True)
class ListedLots:
    """Lots that are listed, the rows of the store, and what else is to be said.

    `past` is the day on which they stood so; None is now.
    """

    lots: "list[dict[str, str]]"
    rows: "dict[str, list[WrittenRow]]"
    remarks: list[str]
    past: datetime.date | None


@dataclass(frozen=True, slots=True)
class Worths:
    """How worths are shown: in which groups, in which workbook, and whether with empty lots."""

    by: "Grouping | None"
    out: Path | None
    with_empty: bool


@dataclass(frozen=True, slots=True)
class _Shown:
    """Lots with what each is worth, in one currency."""

    lots: "Sequence[Listed]"
    worths: "Sequence[Worth]"
    currency: str | None


def grouping_named(name: str | None) -> "Grouping | None":
    """Return what lots are put together by.

    Raises:
        typer.BadParameter: There are no such groups.
    """
    from prepstore.shelf.worth import Grouping

    if name is not None and name not in list(Grouping):
        raise typer.BadParameter(f"'{name}' is not one of {', '.join(Grouping)}.")
    return None if name is None else Grouping(name)


def list_worths(
    store: Store, form: Form, asked: Worths, listed: Callable[["Connection"], ListedLots]
) -> None:
    """Print what listed lots are worth, or write it as a workbook.

    Raises:
        ReportError, StoreError, ProblemsError: It cannot be read or written.
    """
    from prepstore.cli.rooms import settings_in
    from prepstore.ledger.store import reading
    from prepstore.report.worth_list import worths_of

    with reading(store.place) as connection:
        found = listed(connection)
        # What is listed though no lot holds any of it is worth nothing.
        lots = [lot for lot in found.lots if lot["lot"]]
        prices = _prices(connection, lots, found.past)
        currency = settings_in(connection).currency
    shown = _Shown(lots, worths_of(lots, found.rows, prices), currency)
    if asked.out is not None:
        _write(store, asked, shown, found.past)
    if asked.out is None or form is not Form.TEXT:
        typer.echo(_list(form, asked, shown, found.remarks))


def _prices(
    connection: "Connection", lots: "Sequence[Listed]", past: datetime.date | None
) -> "dict[str, Cost]":
    """Return what a unit of each listed lot cost, by what was recorded up to a day."""
    from prepstore.cell_types import fold
    from prepstore.cli.rooms import shelf_in, today
    from prepstore.ledger.movements import Asked, recorded
    from prepstore.recorded import standing

    history = standing(recorded(connection, Asked(last_day=past)))
    found = priced(connection, shelf_in(connection), history, past or today())
    by_lot = found.prices.by_lot
    labels = {fold(lot["lot"]): lot["item"] for lot in lots}
    # What the store began with has no price, and may be older than the store.
    return {
        label: by_lot[label] if label in by_lot else found.estimates.of(item)
        for label, item in labels.items()
    }


def _list(form: Form, asked: Worths, shown: _Shown, remarks: Sequence[str]) -> str:
    from prepstore.report import worth_list
    from prepstore.shelf.worth import grouped, together

    if asked.by is None:
        of_lots = worth_list.worth_lines(shown.lots, shown.worths, shown.currency)
        rows = partial(worth_list.worth_rows, shown.lots, shown.worths)
        lines = partial(chain, of_lots, remarks)
        return in_form(form, worth_list.WORTH_COLUMNS, lines=lines, rows=rows)
    groups = grouped(shown.worths, asked.by)
    of_groups = worth_list.group_lines(groups, asked.by, together(shown.worths), shown.currency)
    rows = partial(worth_list.group_rows, groups, asked.by)
    lines = partial(chain, of_groups, remarks)
    return in_form(form, worth_list.group_columns(asked.by), lines=lines, rows=rows)


def _write(store: Store, asked: Worths, shown: _Shown, past: datetime.date | None) -> None:
    from prepstore.cli.rooms import today
    from prepstore.report.workbook.worth import Of, write_worth
    from prepstore.report.worth_list import total_lines
    from prepstore.shelf.worth import Grouping, together

    of = Of(past or today(), store.place.name, shown.currency)
    assert asked.out is not None
    write_worth(shown.worths, shown.lots, asked.by or Grouping.ITEM, asked.out, of)
    typer.echo(f"Wrote {asked.out}", err=True)
    for line in total_lines(together(shown.worths), shown.currency):
        typer.echo(line, err=True)
