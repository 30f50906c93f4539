"""The list of lots. The commands that change them, and tell their history, stand beside it."""

import datetime
from dataclasses import dataclass
from functools import partial
from itertools import chain
from typing import TYPE_CHECKING, Annotated

import typer

from prepstore.cli.help_words import Commands
from prepstore.cli.list_options import (
    AsCsv,
    AsJson,
    Form,
    Out,
    form_of,
    in_form,
    refuse_other_than_workbook,
)
from prepstore.cli.lots_then import day_past, lots_of_day
from prepstore.cli.outcome import answers
from prepstore.cli.period_options import read_day
from prepstore.cli.stock_worth import ListedLots, Worths, grouping_named, list_worths
from prepstore.cli.store_option import Store

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from prepstore.report.stock_list import Chosen
    from prepstore.shelf.past import Lots

app = Commands(help="The lots in the stores, and what happens to them.", no_args_is_help=True)


@app.command("list")
@answers
def list_lots(
    context: typer.Context,
    *,
    item: Annotated[str | None, typer.Option("--item", help="Only this item.")] = None,
    place: Annotated[str | None, typer.Option("--place", help="Only at this place.")] = None,
    state: Annotated[
        str | None, typer.Option("--state", help="Only usable, quarantine or reserved ones.")
    ] = None,
    expiring: Annotated[
        int | None,
        typer.Option(
            "--expiring",
            min=0,
            max=3660,
            metavar="DAYS",
            help="Only lots out of date now or within so many days.",
        ),
    ] = None,
    below_minimum: Annotated[
        bool, typer.Option("--below-minimum", help="Only what is below its minimum.")
    ] = False,
    opened_too_long: Annotated[
        bool,
        typer.Option(
            "--opened-too-long", help="Only lots past their opened life or their peroxide test."
        ),
    ] = False,
    empty: Annotated[bool, typer.Option("--empty", help="Show empty lots as well.")] = False,
    on: Annotated[
        datetime.date | None,
        typer.Option(
            "--on", parser=read_day, metavar="DATE", help="As it was on this day (default: today)."
        ),
    ] = None,
    value: Annotated[
        bool,
        typer.Option("--value", help="Also show what each lot is worth, and how that is known."),
    ] = False,
    by: Annotated[
        str | None,
        typer.Option("--by", metavar="GROUP", help="Show their value by item, storage or place."),
    ] = None,
    out: Out = None,
    json: AsJson = False,
    csv: AsCsv = False,
) -> None:
    """List the lots: what is there, until when, and where; on a day that is past, what was there.

    Example: prepstore stock list --item acetone
    """
    form = form_of(json=json, csv=csv)
    refuse_other_than_workbook(out)
    from prepstore.cell_types import LotState

    if state is not None and state not in list(LotState):
        raise typer.BadParameter(f"'{state}' is not one of {', '.join(LotState)}.")
    from prepstore.report.stock_list import Chosen

    store: Store = context.obj
    picked = _Picked(on, expiring, below_minimum, opened_too_long, with_empty=empty)
    chosen = Chosen(item, place, state)
    if value or by is not None or out is not None:
        worth = Worths(grouping_named(by), out, with_empty=empty)
        list_worths(
            store, form, worth, lambda connection: _listed(connection, chosen, picked, form)
        )
        return
    _list(store, form, chosen, picked, with_empty=empty)


def _list(
    store: Store, form: Form, chosen: "Chosen", picked: "_Picked", *, with_empty: bool
) -> None:
    from prepstore.ledger.store import reading
    from prepstore.report.stock_list import COLUMNS, numbers_of, stock_lines

    with reading(store.place) as connection:
        found = _listed(connection, chosen, picked, form)
    of_lots = stock_lines(found.lots, with_empty=with_empty)
    lines = partial(chain, of_lots, found.remarks)
    rows = partial(map, numbers_of, found.lots)
    typer.echo(in_form(form, COLUMNS, lines=lines, rows=lambda: list(rows())))


def _listed(
    connection: "Connection", chosen: "Chosen", picked: "_Picked", form: Form
) -> ListedLots:
    """Return the lots that are listed, as they are or stood on the day that is asked for."""
    from prepstore.cli.rooms import refuse_old_name, rows_in, today
    from prepstore.ledger.load import written_rows
    from prepstore.ledger.lots import balances
    from prepstore.ledger.movements import emptied_on
    from prepstore.report.stock_list import refuse_unknown_place, stock_rows, without_old

    refuse_old_name(connection, chosen.item, "items", "solutions")
    past, then = day_past(picked.on), None
    if form is Form.TEXT:  # what people read is what lots hold, whatever was typed
        rows = written_rows(connection, "stock", "items", "solutions")
    else:
        rows = rows_in(connection, "stock", "items", "solutions", "solution_parts", "settings")
    held = balances(connection)
    if past is not None:
        then = lots_of_day(connection, past)
        rows["stock"], held = list(then.rows), dict(then.balances)
    refuse_unknown_place(chosen.place, rows["stock"])
    remarks: list[str] = []
    if picked.is_any:
        chosen, remarks = _picked_lots(connection, chosen, picked, then)
    lots = stock_rows(rows, held, chosen)
    if not (picked.with_empty or past):
        lots = without_old(lots, emptied_on(connection), picked.on or today())
    return ListedLots(lots, rows, remarks, past)


@dataclass(frozen=True, slots=True)
class _Picked:
    """What lots are picked by that only dates and minimums tell."""

    on: datetime.date | None
    expiring: int | None
    below_minimum: bool
    opened_too_long: bool
    with_empty: bool

    @property
    def is_any(self) -> bool:
        """Return whether anything of the kind is asked for."""
        return self.expiring is not None or self.below_minimum or self.opened_too_long


def _picked_lots(
    connection: "Connection", chosen: "Chosen", picked: _Picked, then: "Lots | None"
) -> "tuple[Chosen, list[str]]":
    """Return the choice narrowed to the lots that all of it is true of, and what else to say."""
    from dataclasses import replace

    from prepstore.cell_types import fold
    from prepstore.cli.rooms import shelf_in, today
    from prepstore.report.expiry_list import too_little_lines
    from prepstore.shelf import expiry

    shelf = shelf_in(connection, then)
    day = picked.on or today()
    lots = set(shelf.lots)
    if picked.expiring is not None:
        last = day + datetime.timedelta(days=picked.expiring)
        lots &= {fold(held.label) for held in expiry.expiring(shelf.lots.values(), last)}
    if picked.opened_too_long:
        lots &= {fold(held.label) for held in expiry.opened_too_long(shelf, day)}
    if not picked.below_minimum:
        return replace(chosen, lots=lots), []
    too_little = [
        one for one in expiry.below_minimum(shelf, day) if chosen.is_of(one.material.name)
    ]
    of_those = {fold(h.label) for one in too_little for h in shelf.lots_of(one.material.name)}
    alone = picked.expiring is None and not picked.opened_too_long
    bare = [
        fold(one.material.name)
        for one in too_little
        if alone and not shelf.lots_of(one.material.name)
    ]
    narrowed = replace(chosen, lots=lots & of_those, without_lots=bare)
    return narrowed, list(too_little_lines(too_little))
