"""Commands that show the shelf: list, history and usage. Those that change it stand beside it."""

import datetime
from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated

import typer

from prepstore.cli.list_options import AsCsv, AsJson, Form, form_of
from prepstore.cli.outcome import answers
from prepstore.cli.period_options import read_day
from prepstore.cli.store_option import Store

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from prepstore.ledger.movements import Asked
    from prepstore.report.stock_list import Chosen

app = typer.Typer(help="The lots in the stores, and what happens to them.", no_args_is_help=True)


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
            "--expiring", min=0, max=3660, metavar="N", help="Out of date within N days, or now."
        ),
    ] = None,
    below_minimum: Annotated[
        bool, typer.Option("--below-minimum", help="Only of what is below its minimum.")
    ] = False,
    opened_too_long: Annotated[
        bool,
        typer.Option("--opened-too-long", help="Only past opened life, or past a peroxide test."),
    ] = False,
    empty: Annotated[bool, typer.Option("--empty", help="Empty lots as well.")] = False,
    on: Annotated[
        datetime.date | None,
        typer.Option("--on", parser=read_day, metavar="DATE", help="As of a day (default: today)."),
    ] = None,
    json: AsJson = False,
    csv: AsCsv = False,
) -> None:
    """List the lots: what is there, until when, and where.

    Example: prepstore stock list --item acetone
    """
    form = form_of(json=json, csv=csv)
    from prepstore.facts import LotState

    if state is not None and state not in list(LotState):
        raise typer.BadParameter(f"'{state}' is none of {', '.join(LotState)}.")
    from prepstore.ledger.load import written_rows
    from prepstore.ledger.lots import balances
    from prepstore.ledger.store_file import reading
    from prepstore.report.row_lists import as_csv, as_json
    from prepstore.report.stock_list import COLUMNS, Chosen, stock_lines, stock_rows

    store: Store = context.obj
    picked = _Picked(on, expiring, below_minimum, opened_too_long)
    chosen = Chosen(item, place, state)
    with reading(store.path) as connection:
        rows = written_rows(connection, "stock", "items", "solutions")
        held = balances(connection)
        remarks: list[str] = []
        if picked.is_any:
            chosen, remarks = _picked_lots(connection, chosen, picked)
    lots = stock_rows(rows, held, chosen)
    if form is Form.TEXT:
        typer.echo("\n".join([*stock_lines(lots, with_empty=empty), *remarks]))
    else:
        typer.echo("\n".join(as_json(lots) if form is Form.JSON else as_csv(lots, COLUMNS)))


@dataclass(frozen=True, slots=True)
class _Picked:
    """What lots are picked by that only dates and minimums tell."""

    on: datetime.date | None
    expiring: int | None
    below_minimum: bool
    opened_too_long: bool

    @property
    def is_any(self) -> bool:
        """Return whether anything of the kind is asked for."""
        return self.expiring is not None or self.below_minimum or self.opened_too_long


def _picked_lots(
    connection: "Connection", chosen: "Chosen", picked: _Picked
) -> "tuple[Chosen, list[str]]":
    """Return the choice narrowed to the lots that all of it is true of, and what else to say."""
    from dataclasses import replace

    from prepstore.cli.rooms import shelf_in, today
    from prepstore.facts import fold
    from prepstore.report.expiry_list import too_little_lines
    from prepstore.shelf import expiry

    shelf = shelf_in(connection)
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


_SHOWN = 50
"""Movements shown where nobody says how many."""


@app.command("history")
@answers
def history(
    context: typer.Context,
    *,
    what: Annotated[
        str | None, typer.Argument(metavar="LOT_OR_ITEM", help="A lot, or an item.")
    ] = None,
    lot: Annotated[str | None, typer.Option("--lot", help="Only of this lot.")] = None,
    item: Annotated[str | None, typer.Option("--item", help="Only of this item.")] = None,
    session: Annotated[str | None, typer.Option("--session", help="Only for this session.")] = None,
    by: Annotated[str | None, typer.Option("--by", help="Only what this person recorded.")] = None,
    on: Annotated[
        datetime.date | None,
        typer.Option("--on", parser=read_day, metavar="DATE", help="Only of this day."),
    ] = None,
    first: Annotated[
        datetime.date | None,
        typer.Option("--from", parser=read_day, metavar="DATE", help="From this day on."),
    ] = None,
    last: Annotated[
        datetime.date | None,
        typer.Option("--to", parser=read_day, metavar="DATE", help="Up to this day."),
    ] = None,
    newest: Annotated[
        int | None,
        typer.Option(
            "--newest", min=1, max=999_999_999, help=f"So many of the latest (default: {_SHOWN})."
        ),
    ] = None,
    everything: Annotated[bool, typer.Option("--all", help="All of them.")] = False,
    json: AsJson = False,
    csv: AsCsv = False,
) -> None:
    """Tell what happened to lots, the latest last: who did what, when, and what for.

    Example: prepstore stock history L0236
    """
    form = form_of(json=json, csv=csv)
    if on is not None and (first or last):
        raise typer.BadParameter("Give either --on or --from and --to, not both.")
    if everything and newest is not None:
        raise typer.BadParameter("Give either --all or --newest, not both.")
    if sum(one is not None for one in (what, lot, item)) > 1:
        raise typer.BadParameter("Name the lot or the item once.")
    from prepstore.ledger.movements import Asked
    from prepstore.ledger.store_file import reading

    count = None if everything or form is not Form.TEXT else newest or _SHOWN
    asked = Asked(session=session, by=by, first_day=on or first, last_day=on or last, newest=count)
    store: Store = context.obj
    with reading(store.path) as connection:
        lines = _history_lines(connection, asked, form, (what, lot, item))
    typer.echo("\n".join(lines))


def _history_lines(
    connection: "Connection", asked: "Asked", form: Form, named: tuple[str | None, ...]
) -> list[str]:
    from dataclasses import replace

    from prepstore.ledger.lots import lot_names
    from prepstore.ledger.movements import began_again, recorded
    from prepstore.report.history_list import (
        HISTORY_COLUMNS,
        LotNames,
        history_lines,
        history_rows,
    )
    from prepstore.report.row_lists import as_csv, as_json

    lots = _lots_asked_for(connection, *named)
    names = LotNames(lot_names(connection), began_again(connection))
    found = recorded(connection, replace(asked, lots=lots))
    if form is Form.TEXT:
        shown = list(history_lines(found, names, _left_at_end(connection, asked, lots)))
        if asked.newest is not None and len(found) == asked.newest:
            shown.append("These are the latest; --all shows the others as well.")
        return shown
    rows = history_rows(found, names)
    return list(as_json(rows) if form is Form.JSON else as_csv(rows, HISTORY_COLUMNS))


def _lots_asked_for(
    connection: "Connection", what: str | None, lot: str | None, item: str | None
) -> "tuple[str, ...] | None":
    """Return the folded labels of the lots asked for, gone ones included; None: all."""
    from prepstore.cli.rooms import shelf_in
    from prepstore.facts import fold
    from prepstore.ledger.lots import lot_names

    if what is None and lot is None and item is None:
        return None
    names = lot_names(connection)
    label = lot if lot is not None else what
    if label is not None and fold(label) in names:
        return (fold(label),)
    shelf = shelf_in(connection)
    if lot is not None or (what is not None and shelf.is_lot(what)):
        return (fold(shelf.lot(lot or what or "").label),)
    name = fold(shelf.material(item or what or "").name)
    return tuple(label for label, (_, of) in names.items() if fold(of) == name)


def _left_at_end(
    connection: "Connection", asked: "Asked", lots: tuple[str, ...] | None
) -> int | None:
    """Return what the lot holds now, where one lot's history is asked for without a gap."""
    from prepstore.ledger.lots import balances

    has_gaps = any((asked.session, asked.by, asked.last_day))
    if lots is None or len(lots) != 1 or has_gaps:
        return None
    return balances(connection, *lots).get(lots[0], 0)


@app.command("usage")
@answers
def usage(
    context: typer.Context,
    practical: Annotated[
        str | None, typer.Option("--practical", help="Only of this practical.")
    ] = None,
    item: Annotated[str | None, typer.Option("--item", help="Only of this item.")] = None,
    json: AsJson = False,
    csv: AsCsv = False,
) -> None:
    """Compare what sessions really used with what was planned, by practical and item.

    Example: prepstore stock usage --item acetone
    """
    form = form_of(json=json, csv=csv)
    from prepstore.facts import fold
    from prepstore.ledger.movements import session_uses
    from prepstore.ledger.store_file import reading
    from prepstore.report.row_lists import as_csv, as_json
    from prepstore.report.usage_list import USAGE_COLUMNS, usage_lines, usage_rows
    from prepstore.shelf.usage import usage_of

    store: Store = context.obj
    with reading(store.path) as connection:
        found = [
            row
            for row in usage_of(session_uses(connection))
            if (practical is None or fold(row.practical) == fold(practical))
            and (item is None or fold(row.item) == fold(item))
        ]
    if form is Form.TEXT:
        typer.echo("\n".join(usage_lines(found)))
    else:
        rows = usage_rows(found)
        typer.echo("\n".join(as_json(rows) if form is Form.JSON else as_csv(rows, USAGE_COLUMNS)))
