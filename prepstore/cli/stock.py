"""Commands that show the shelf: list, history and usage. Those that change it stand beside it."""

import datetime
from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated

import typer

from prepstore.cli.list_options import (
    AsCsv,
    AsJson,
    Form,
    Out,
    form_of,
    refuse_other_than_workbook,
)
from prepstore.cli.lots_then import day_past, lots_of_day
from prepstore.cli.outcome import answers
from prepstore.cli.period_options import read_day
from prepstore.cli.stock_worth import ListedLots, Worths, grouping_named, list_worths
from prepstore.cli.store_option import Store

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from prepstore.ledger.movements import Asked
    from prepstore.movements import Recorded
    from prepstore.report.history_list import LotNames
    from prepstore.report.stock_list import Chosen
    from prepstore.shelf.past import Lots

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
        typer.Option(
            "--on", parser=read_day, metavar="DATE", help="As it was on a day (default: today)."
        ),
    ] = None,
    value: Annotated[
        bool, typer.Option("--value", help="With what each lot is worth, and how that is known.")
    ] = False,
    by: Annotated[
        str | None,
        typer.Option("--by", metavar="GROUP", help="Their worth by item, storage or place."),
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
    from prepstore.facts import LotState

    if state is not None and state not in list(LotState):
        raise typer.BadParameter(f"'{state}' is none of {', '.join(LotState)}.")
    from prepstore.report.stock_list import Chosen

    store: Store = context.obj
    picked = _Picked(on, expiring, below_minimum, opened_too_long, with_empty=empty)
    chosen = Chosen(item, place, state)
    if value or by is not None or out is not None:
        worth = Worths(grouping_named(by), out, with_empty=empty)
        list_worths(store, form, worth, lambda connection: _listed(connection, chosen, picked))
        return
    _list(store, form, chosen, picked, with_empty=empty)


def _list(
    store: Store, form: Form, chosen: "Chosen", picked: "_Picked", *, with_empty: bool
) -> None:
    from prepstore.ledger.store_file import reading
    from prepstore.report.row_lists import as_csv, as_json
    from prepstore.report.stock_list import COLUMNS, numbers_of, stock_lines

    with reading(store.path) as connection:
        found = _listed(connection, chosen, picked)
    if form is Form.TEXT:
        lines = stock_lines(found.lots, with_empty=with_empty)
        typer.echo("\n".join([*lines, *found.remarks]))
    else:
        lots = [numbers_of(lot) for lot in found.lots]
        typer.echo("\n".join(as_json(lots) if form is Form.JSON else as_csv(lots, COLUMNS)))


def _listed(connection: "Connection", chosen: "Chosen", picked: "_Picked") -> ListedLots:
    """Return the lots that are listed, as they are or stood on the day that is asked for."""
    from prepstore.cli.rooms import refuse_old_name, today
    from prepstore.ledger.load import written_rows
    from prepstore.ledger.lots import balances
    from prepstore.ledger.movements import emptied_on
    from prepstore.report.stock_list import refuse_unknown_place, stock_rows, without_old

    refuse_old_name(connection, chosen.item, "items", "solutions")
    past, then = day_past(picked.on), None
    rows, held = written_rows(connection, "stock", "items", "solutions"), balances(connection)
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

    from prepstore.cli.rooms import shelf_in, today
    from prepstore.facts import fold
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
        asked = _check_asked(connection, asked)
        lines = _history_lines(connection, asked, form, (what, lot, item))
    typer.echo("\n".join(lines))


def _check_asked(connection: "Connection", asked: "Asked") -> "Asked":
    """Return what is asked for with the session as it is spelled in the record.

    Raises:
        RefusedError: Neither the record nor the timetable has such a session, or such a person
            has recorded nothing; names the nearest.
    """
    from dataclasses import replace

    from prepstore.facts import fold
    from prepstore.ledger.load import written_rows
    from prepstore.ledger.movements import people_and_sessions
    from prepstore.problems import RefusedError, nearest

    if asked.session is None and asked.by is None:
        return asked
    people, sessions = people_and_sessions(connection)
    if asked.by is not None and asked.by not in people:
        raise RefusedError(f"'{asked.by}' has recorded nothing. {nearest(asked.by, people)}")
    if asked.session is None:
        return asked
    rows = written_rows(connection, "timetable")["timetable"]
    spelled = {fold(name): name for row in rows if (name := row.text.get("session"))}
    spelled |= {fold(name): name for name in sessions}
    if fold(asked.session) not in spelled:
        expected = nearest(asked.session, spelled.values())
        raise RefusedError(f"There is no session '{asked.session}'. {expected}".rstrip())
    return replace(asked, session=spelled[fold(asked.session)])


def _history_lines(
    connection: "Connection", asked: "Asked", form: Form, named: tuple[str | None, ...]
) -> list[str]:
    from dataclasses import replace

    from prepstore.ledger.labels import began_again
    from prepstore.ledger.lots import lot_names
    from prepstore.ledger.movements import recorded
    from prepstore.report.history_list import (
        HISTORY_COLUMNS,
        LotNames,
        history_lines,
        history_rows,
    )
    from prepstore.report.row_lists import as_csv, as_json

    names = LotNames(lot_names(connection), began_again(connection))
    lots = _lots_asked_for(connection, names, *named)
    found = recorded(connection, replace(asked, lots=lots.labels))
    found = [one for one in found if lots.has(one, names)]
    if form is Form.TEXT:
        left = _left_at_end(connection, asked, lots)
        shown = list(history_lines(found, names, left))
        if asked.newest is not None and len(found) == asked.newest:
            shown.append("These are the latest; --all shows the others as well.")
        return shown
    rows = history_rows(found, names)
    return list(as_json(rows) if form is Form.JSON else as_csv(rows, HISTORY_COLUMNS))


@dataclass(frozen=True, slots=True)
class _LotsAsked:
    """Which movements are asked for: of lots by folded label (None: all), or of an item.

    With a label goes the last movement that is meant; None is all of them.
    """

    last: "dict[str, int | None] | None" = None
    item: str | None = None

    @property
    def labels(self) -> tuple[str, ...] | None:
        """Return the folded labels of the lots."""
        return None if self.last is None else tuple(self.last)

    def has(self, one: "Recorded", names: "LotNames") -> bool:
        """Return whether a movement of one of the lots is meant."""
        from prepstore.facts import fold

        if self.item is not None and fold(names.of(one)[1]) != self.item:
            return False
        last = None if self.last is None else self.last.get(one.movement.lot)
        return last is None or one.number <= last


def _lots_asked_for(
    connection: "Connection",
    names: "LotNames",
    what: str | None,
    lot: str | None,
    item: str | None,
) -> _LotsAsked:
    """Return the lots asked for, gone ones included, and the labels that a lot had before."""
    from prepstore.cli.rooms import shelf_in
    from prepstore.facts import fold
    from prepstore.ledger.labels import with_earlier_labels

    if what is None and lot is None and item is None:
        return _LotsAsked()
    label = fold(lot if lot is not None else what or "")
    if label not in names.names:
        shelf = shelf_in(connection)
        if lot is None and (what is None or not shelf.is_lot(what)):
            name = fold(shelf.material(item or what or "").name)
            return _LotsAsked(dict.fromkeys(names.labels_of(name)), name)
        label = fold(shelf.lot(lot or what or "").label)
    return _LotsAsked(with_earlier_labels(connection, label))


def _left_at_end(connection: "Connection", asked: "Asked", lots: _LotsAsked) -> dict[str, int]:
    """Return what a lot holds at its end, where its history is asked for without a gap.

    Of a label that it had before, nothing was left.
    """
    from prepstore.ledger.lots import balances

    has_gaps = any((asked.session, asked.by, asked.last_day))
    if has_gaps or lots.item is not None or lots.last is None:
        return {}
    held = balances(connection, *lots.last)
    return {lot: 0 if last else held.get(lot, 0) for lot, last in lots.last.items()}


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
        _check_named(connection, item, practical)
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


def _check_named(connection: "Connection", item: str | None, practical: str | None) -> None:
    """Refuse an item or a practical that no table has; say which is nearest.

    Raises:
        RefusedError: There is none of that name.
    """
    from prepstore.cli.rooms import refuse_unknown

    refuse_unknown(connection, item, "items", "solutions")
    refuse_unknown(connection, practical, "practicals")
