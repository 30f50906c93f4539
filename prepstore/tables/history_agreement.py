"""Whether the tables of a set say what the history beside them comes to."""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final

from prepstore.amounts import of_billionths, plain
from prepstore.cell_types import fold
from prepstore.columns import NAME_COLUMN, NAMED_IN, TABLES
from prepstore.movements import Movement, NameWhat
from prepstore.problems import Problem, at, nearest
from prepstore.tables.container_history import containers_that_differ
from prepstore.tables.history_checks import ReadHistory, lots_in_doubt
from prepstore.written import WrittenRow, WrittenSet

_CODE: Final = "history-differs"
_REMEDY: Final = "Export the store again, so that tables and history are of one moment."


@dataclass(frozen=True, slots=True)
class Beside:
    """A history and the tables of a set beside it.

    `opening` are the amounts that the rows of stock say, as far as they can be told, by folded
    label.
    """

    history: ReadHistory
    tables: WrittenSet
    opening: Mapping[str, Movement]


def disagreements(beside: Beside) -> Iterator[Problem]:
    """Yield what a history says otherwise than the tables, or names that they do not have."""
    yield from _former_lots(beside)
    yield from _unknown_lots(beside)
    yield from _amounts(beside)
    yield from _cells(beside)
    yield from _orders(beside)
    yield from _names(beside)
    if beside.history.is_whole("container_changes"):
        known = beside.history.known["container_changes"]
        yield from containers_that_differ(known, beside.tables)


def _rows_by_lot(beside: Beside, table: str = "stock") -> dict[str, WrittenRow]:
    rows = beside.tables if table == "stock" else beside.history.written
    return {fold(row.text.get("lot", "")): row for row in rows.get(table, ())}


def _former_lots(beside: Beside) -> Iterator[Problem]:
    """Yield a problem for each former lot with the label of another, or of what is not known."""
    seen = set(_rows_by_lot(beside))
    named = NAMED_IN["stock", "item"]
    names = {table: _names_of(beside.tables, table) for table in named}
    known = {folded: name for of_table in names.values() for folded, name in of_table.items()}
    entries = {fact.entry for _, fact in beside.history.known["entries"]}
    for row, fact in beside.history.known["former_lots"]:
        by = fact.label_taken_by
        if by is not None and by not in entries:
            yield at(row, "label_taken_by", _CODE, "is not an entry of this history.", _REMEDY)
        if by is None and fold(fact.lot) in seen:
            what = "is the label of another lot as well."
            yield at(row, "lot", "name-twice", what, "Keep one of the two.")
        if by is None:
            seen.add(fold(fact.lot))
        if fold(fact.item) not in known:
            what = f"is not a name in {' or '.join(named)}."
            yield at(row, "item", "name-unknown", what, nearest(fact.item, known.values()))


def _names_of(tables: WrittenSet, table: str) -> dict[str, str]:
    """Return the names of a table as they are spelled, by folded name."""
    column = NAME_COLUMN[table]
    names = (row.text.get(column, "") for row in tables.get(table, ()))
    return {fold(name): name for name in names}


def _unknown_lots(beside: Beside) -> Iterator[Problem]:
    known = {**_rows_by_lot(beside), **_rows_by_lot(beside, "former_lots")}
    labels = [row.text.get("lot", "") for row in known.values()]
    told: set[str] = set()
    for row, fact in beside.history.known["movements"]:
        if fold(fact.lot) not in known:
            # Comparing labels takes long; one label is compared once.
            expected = "" if fold(fact.lot) in told else nearest(fact.lot, labels)
            told.add(fold(fact.lot))
            yield at(row, "lot", "lot-unknown", "is not a lot of stock or former_lots.", expected)


def _amounts(beside: Beside) -> Iterator[Problem]:
    """Yield a problem for each row of stock whose amount or unit the movements do not come to."""
    in_doubt = lots_in_doubt(beside.history)
    if "" in in_doubt:
        return
    held: Counter[str] = Counter()
    last: dict[str, tuple[WrittenRow, Any]] = {}
    for row, fact in beside.history.known["movements"]:
        held[fold(fact.lot)] += fact.change
        last[fold(fact.lot)] = row, fact
    for lot, row in _rows_by_lot(beside).items():
        said = beside.opening.get(lot)
        if said is None or lot in in_doubt:
            continue
        if held[lot] != said.billionths:
            come_to = f"{plain(of_billionths(held[lot]))} {said.unit}"
            what = f"is not what the movements of this lot come to, {come_to}."
            yield at(row, "amount", _CODE, what, _REMEDY)
        if lot in last and last[lot][1].unit.kind is not said.unit:
            what = f"is not the unit in which the tables keep {row.text['item']}, {said.unit}."
            yield at(last[lot][0], "unit", _CODE, what, _REMEDY)


def _cells(beside: Beside) -> Iterator[Problem]:
    """Yield a problem for each cell of a lot that its last change left otherwise."""
    in_doubt = lots_in_doubt(beside.history)
    rows = _rows_by_lot(beside)
    for (lot, column), now in _last_changes(beside.history).items():
        row = rows.get(lot)
        if row is None or not in_doubt.isdisjoint(("", lot)) or column in row.told:
            continue
        if row.text.get(column, "") != now:
            found = "is" if column in row.text else "The cell is blank, which is"
            say = f"is '{now}' there" if now else "is blank there"
            what = f"{found} not what the movements of this lot say: it {say}."
            yield at(row, column, _CODE, what, _REMEDY)


def _last_changes(history: ReadHistory) -> dict[tuple[str, str], str]:
    """Return what each lot's cells were last changed to, by folded label and column.

    What happened to an earlier lot of a label is left out.
    """
    found: dict[str, dict[str, str]] = {}
    for _, fact in history.known["movements"]:
        lot = fold(fact.lot)
        if fact.item is not None:
            found.pop(lot, None)
        if fact.changed in TABLES["stock"].columns:
            found.setdefault(lot, {})[fact.changed] = (fact.now or "").strip()
    return {(lot, column): now for lot, cells in found.items() for column, now in cells.items()}


def _orders(beside: Beside) -> Iterator[Problem]:
    """Yield a problem for each order of which other packs are to come than its changes say."""
    packs = _names_of(beside.tables, "packs")
    come: Counter[tuple[str, ...]] = Counter()
    last: dict[tuple[str, ...], WrittenRow] = {}
    for row, fact in beside.history.known["order_changes"]:
        key: tuple[str, ...] = (fold(fact.reference), fold(fact.pack), fact.due.isoformat())
        come[key] += fact.packs
        last[key] = row
        if fold(fact.pack) not in packs:
            expected = nearest(fact.pack, packs.values())
            yield at(row, "pack", "name-unknown", "is not a name in packs.", expected)
    if not beside.history.is_whole("order_changes"):
        return
    for row in beside.tables.get("on_order", ()):
        said = come.pop(row.key, 0)
        number = row.text.get("packs", "")
        if number.isdecimal() and number.lstrip("0") != str(said or ""):
            what = f"is not what the changes of this order come to, {said}."
            yield at(row, "packs", _CODE, what, _REMEDY)
    for key, left in come.items():
        if left:
            what = f"leaves {left} on order, of which there is no row in on_order."
            yield at(last[key], "packs", _CODE, what, _REMEDY)


def _names(beside: Beside) -> Iterator[Problem]:
    """Yield a problem for each new name that no thing bears."""
    standing: dict[tuple[str, str], tuple[WrittenRow, str]] = {}
    for row, fact in beside.history.known["name_changes"]:
        standing.pop((fact.table, fold(fact.was)), None)
        column = "now" if fact.what is NameWhat.RENAMED else "was"
        standing[fact.table, fold(getattr(fact, column))] = row, column
    for (table, name), (row, column) in standing.items():
        names = _names_of(beside.tables, table)
        if name not in names:
            expected = nearest(row.text.get(column, ""), names.values())
            yield at(row, column, "name-unknown", f"is not a name in {table}.", expected)
