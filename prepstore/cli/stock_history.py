"""Commands that tell what was recorded: what happened to lots, and what sessions used."""

import datetime
from dataclasses import dataclass
from functools import partial
from itertools import chain
from typing import TYPE_CHECKING, Annotated

import typer

from prepstore.cli.list_options import AsCsv, AsJson, Form, form_of, in_form
from prepstore.cli.outcome import answers
from prepstore.cli.period_options import read_day
from prepstore.cli.store_option import Store

if TYPE_CHECKING:
    from collections.abc import Sequence

    from sqlalchemy import Connection

    from prepstore.containers import RecordedContainer
    from prepstore.ledger.movements import Asked
    from prepstore.movements import Recorded
    from prepstore.report.history_list import LotNames

_SHOWN = 50
"""Movements shown where nobody says how many."""


@answers
def history(
    context: typer.Context,
    *,
    what: Annotated[
        str | None, typer.Argument(metavar="LOT_OR_ITEM", help="A lot, or an item.")
    ] = None,
    lot: Annotated[str | None, typer.Option("--lot", help="Only this lot.")] = None,
    item: Annotated[str | None, typer.Option("--item", help="Only this item.")] = None,
    session: Annotated[str | None, typer.Option("--session", help="Only for this session.")] = None,
    by: Annotated[
        str | None, typer.Option("--by", metavar="NAME", help="Only what this person recorded.")
    ] = None,
    on: Annotated[
        datetime.date | None,
        typer.Option("--on", parser=read_day, metavar="DATE", help="Only this day."),
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
            "--newest",
            min=1,
            max=999_999_999,
            help=f"How many of the newest entries (default: {_SHOWN}).",
        ),
    ] = None,
    everything: Annotated[bool, typer.Option("--all", help="All of them.")] = False,
    json: AsJson = False,
    csv: AsCsv = False,
) -> None:
    """Show what happened to lots and waste containers, the newest last: who, when, what for.

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
    from prepstore.ledger.store import reading

    count = None if everything or form is not Form.TEXT else newest or _SHOWN
    asked = Asked(session=session, by=by, first_day=on or first, last_day=on or last, newest=count)
    store: Store = context.obj
    with reading(store.place) as connection:
        asked = _check_asked(connection, asked)
        found = _history(connection, asked, form, (what, lot, item))
    typer.echo(found)


def _check_asked(connection: "Connection", asked: "Asked") -> "Asked":
    """Return what is asked for with the session as it is spelled in the record.

    Raises:
        RefusedError: Neither the record nor the timetable has such a session, or such a person
            has recorded nothing; names the nearest.
    """
    from dataclasses import replace

    from prepstore.cell_types import fold
    from prepstore.ledger.load import written_rows
    from prepstore.ledger.movements import people_and_sessions
    from prepstore.problems import RefusedError, nearest, not_known

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
        raise not_known(asked.session, "session", spelled.values())
    return replace(asked, session=spelled[fold(asked.session)])


def _history(
    connection: "Connection", asked: "Asked", form: Form, named: tuple[str | None, ...]
) -> str:
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

    names = LotNames(lot_names(connection), began_again(connection))
    lots = _lots_asked_for(connection, names, *named)
    found = recorded(connection, replace(asked, lots=lots.labels))
    found = [one for one in found if lots.has(one, names)]
    left = _left_at_end(connection, asked, lots)
    containers = _of_containers(connection, asked, found) if lots.last is None else []
    is_cut = asked.newest is not None and len(found) == asked.newest
    cut = ["These are the latest; --all shows the others as well."] if is_cut else []
    lines = partial(chain, history_lines(found, names, left, containers), cut)
    rows = partial(history_rows, found, names, containers)
    return in_form(form, HISTORY_COLUMNS, lines=lines, rows=rows)


def _of_containers(
    connection: "Connection", asked: "Asked", shown: "Sequence[Recorded]"
) -> "list[RecordedContainer]":
    """Return the changes of waste containers asked for; of the newest entries where these are."""
    from prepstore.ledger.containers import recorded_containers

    first = shown[0].entry if shown and asked.newest is not None else 0
    found = [
        one
        for one in recorded_containers(connection, session=asked.session)
        if asked.by in (None, *one.users)
        and (asked.first_day is None or asked.first_day <= one.on_day)
        and (asked.last_day is None or one.on_day <= asked.last_day)
        and (one.entry >= first)
    ]
    return found if asked.newest is None else found[-asked.newest :]


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
        from prepstore.cell_types import fold

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
    from prepstore.cell_types import fold
    from prepstore.cli.rooms import shelf_in
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


@answers
def usage(
    context: typer.Context,
    practical: Annotated[
        str | None, typer.Option("--practical", help="Only this practical.")
    ] = None,
    item: Annotated[str | None, typer.Option("--item", help="Only this item.")] = None,
    json: AsJson = False,
    csv: AsCsv = False,
) -> None:
    """Compare what sessions really used with what was planned, by practical and item.

    Example: prepstore stock usage --item acetone
    """
    form = form_of(json=json, csv=csv)
    from prepstore.cell_types import fold
    from prepstore.ledger.movements import session_uses
    from prepstore.ledger.store import reading
    from prepstore.report.usage_list import USAGE_COLUMNS, usage_lines, usage_rows
    from prepstore.shelf.usage import usage_of

    store: Store = context.obj
    with reading(store.place) as connection:
        _check_named(connection, item, practical)
        found = [
            row
            for row in usage_of(session_uses(connection))
            if (practical is None or fold(row.practical) == fold(practical))
            and (item is None or fold(row.item) == fold(item))
        ]
    lines, rows = partial(usage_lines, found), partial(usage_rows, found)
    typer.echo(in_form(form, USAGE_COLUMNS, lines=lines, rows=rows))


def _check_named(connection: "Connection", item: str | None, practical: str | None) -> None:
    """Refuse an item or a practical that no table has; say which is nearest.

    Raises:
        RefusedError: There is none of that name.
    """
    from prepstore.cli.rooms import refuse_unknown

    refuse_unknown(connection, item, "items", "solutions")
    refuse_unknown(connection, practical, "practicals")
