"""A set of tables over what the store holds: all of it right, or every mistake told."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import Final

from prepstore.amounts import LARGEST_AMOUNT, in_billionths
from prepstore.cell_types import fold
from prepstore.chemistry.conversions import Material, NoRouteError, in_unit
from prepstore.columns import NAME_COLUMN, NAMED_IN, TABLES
from prepstore.containers import NO_CONTAINERS, ContainerChange, ContainersHeld
from prepstore.history import EVERY_TABLE
from prepstore.movements import Change, Movement, NewName, OrderChange, OrderWhat, What
from prepstore.problems import Problem, ProblemsError, at
from prepstore.tables.booked_sessions import changed_after_booking
from prepstore.tables.crosscheck import Checked, checked
from prepstore.tables.gate import named
from prepstore.tables.held_containers import containers_found
from prepstore.tables.merge import (
    Changes,
    clears,
    merge,
    repeated_names,
    sessions_left_over,
)
from prepstore.tables.probably_wrong import probably_wrong
from prepstore.tables.units import read_amount
from prepstore.tables.unreadable import UnreadableError
from prepstore.written import STORE, WrittenRow, WrittenSet


@dataclass(frozen=True, slots=True)
class Intake:
    """What the store holds after a load, what that changes, and what happens to lots.

    `counted` are the rows of lots whose amount was found to be another, `measured` those of waste
    streams whose containers were; `clear_nothing` those that
    clear an order of which nothing is to come. `left_over` are the sessions within the days of the
    set's timetable that are not in it and stay; `taken_out` are those that go, recorded under the
    number `entry_of_taken_out`. `doubts` is what is probably wrong with the set's rows. `entry` is
    the number under which the rest is recorded.
    """

    rows: Mapping[str, list[WrittenRow]]
    changes: Changes
    movements: tuple[Movement, ...]
    orders: tuple[OrderChange, ...]
    counted: tuple[WrittenRow, ...]
    clear_nothing: tuple[WrittenRow, ...]
    containers: tuple[ContainerChange, ...] = ()
    measured: tuple[WrittenRow, ...] = ()
    left_over: tuple[WrittenRow, ...] = ()
    taken_out: tuple[WrittenRow, ...] = ()
    entry_of_taken_out: int | None = None
    doubts: tuple[Problem, ...] = ()
    entry: int | None = None


@dataclass(frozen=True, slots=True)
class Held:
    """What a store holds beside its rows.

    `balances` are what lots hold, in billionths, by folded label; `renamed` says by table and
    folded old name what the thing is called now; `booked` says of sessions that are booked out, by
    folded name, which day they had then. `containers` are its waste containers, and `day` that of
    the load.
    """

    balances: Mapping[str, int]
    renamed: Mapping[tuple[str, str], NewName]
    booked: Mapping[str, date] = field(default_factory=dict)
    containers: ContainersHeld = NO_CONTAINERS
    day: date = date.min


NOTHING_HELD: Final = Held({}, {})


def intake(
    new: WrittenSet,
    stored: WrittenSet,
    of_files: Sequence[Problem],
    *,
    held: Held,
    count: bool,
) -> Intake:
    """Return what the store holds after a set is loaded.

    Args:
        new: Rows of the set.
        stored: Rows of the store; those of lots say what these hold.
        of_files: What is wrong with the files themselves.
        held: What the store holds beside its rows.
        count: Whether stock amounts that differ from the store's are recorded as a count.

    Raises:
        ProblemsError: Anything is wrong; it carries every mistake.
    """
    merged, changes = merge(stored, new)
    # Rows that clear an order are not kept, and are checked all the same.
    clearings = [row for row in new.get("on_order", []) if clears(row)]
    result = checked({**merged, "on_order": [*merged["on_order"], *clearings]}, of_files)
    balances = held.balances
    lots = {row.key: row for row in stored.get("stock", [])}
    problems = [*of_files, *repeated_names(stored, new), *result.problems]
    problems = _without_old_ones(problems, merged, stored)
    problems += _renamed(new, stored, held.renamed)
    problems += _changed_units(stored, merged)
    problems += changed_after_booking(new, stored, held.booked)
    found = _Found()
    for row in new.get("stock", []):
        _look_at(row, lots.get(row.key), (result.materials, balances), found)
    problems += found.problems
    problems += [] if count else [_differs(row, lots[row.key]) for row in found.counted]
    told = {row.key for row in new.get("waste_streams", [])}
    own = [known for known in result.known["waste_streams"] if known[0].key in told]
    waste = containers_found(own, stored, held.containers, held.day)
    problems += [one for one in waste.problems if not count or one.code != "container-differs"]
    if problems:
        raise ProblemsError(sorted(dict.fromkeys(_told_once(problems)), key=by_place))
    orders = _orders_changed(stored, merged)
    on_order = {row.key for row in stored.get("on_order", [])}
    clear_nothing = tuple(row for row in clearings if row.key not in on_order)
    return Intake(
        merged,
        changes,
        tuple(found.movements),
        orders,
        tuple(found.counted),
        clear_nothing,
        tuple(waste.changes),
        tuple(waste.differing),
        tuple(sessions_left_over(stored, new)),
        doubts=_doubts(result),
    )


def _doubts(result: Checked) -> tuple[Problem, ...]:
    """Return what is probably wrong with the rows of the set."""
    doubts = probably_wrong(result.known, result.catalogue, result.materials)
    return tuple(doubt for doubt in doubts if doubt.place.source != STORE)


def _without_old_ones(
    problems: Sequence[Problem], merged: WrittenSet, stored: WrittenSet
) -> list[Problem]:
    """Leave out mistakes of rows of the store that it had before: this set does not make them.

    So that a set which mends a store, or has nothing to do with what is wrong in it, can be loaded.
    """
    if not any(problem.place.source == STORE for problem in problems):
        return list(problems)
    had = named(checked(stored).problems, stored).keys()
    of_store = [problem for problem in problems if problem.place.source == STORE]
    old = {problem for name, problem in named(of_store, _of_store(merged)).items() if name in had}
    return [problem for problem in problems if problem not in old]


def _of_store(written: WrittenSet) -> dict[str, list[WrittenRow]]:
    return {table: [row for row in rows if row.source == STORE] for table, rows in written.items()}


@dataclass(slots=True)
class _Found:
    """What the stock rows of a set come to: movements, rows with another amount, mistakes."""

    movements: list[Movement] = field(default_factory=list)
    counted: list[WrittenRow] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)


def _look_at(
    row: WrittenRow,
    old: WrittenRow | None,
    known: tuple[Mapping[str, Material], Mapping[str, int]],
    found: _Found,
) -> None:
    """Note what a row of stock says of a lot, which the store has as `old` if it is known."""
    materials, balances = known
    amount = _amount_found(row, old, materials, balances)
    if amount is not None:
        found.movements.append(amount)
        if old is not None:
            found.counted.append(row)
    if old is not None:
        found.problems += _another_item(row, old)
        found.movements += _cells_changed(row, old, materials)


_FOLLOWS_FROM_A_RENAME: Final = frozenset({"name-unknown", "lot-of-another-item"})


def _told_once(problems: Sequence[Problem]) -> list[Problem]:
    """Leave out what merely follows in a cell of which the new name is told."""
    renamed = {problem.place for problem in problems if problem.code == _RENAMED}
    return [
        problem
        for problem in problems
        if problem.code not in _FOLLOWS_FROM_A_RENAME or problem.place not in renamed
    ]


def by_place(problem: Problem) -> tuple[int, str, int]:
    """Return what problems are told in order of: those of files, then by table and row."""
    tables = list(EVERY_TABLE)
    table = problem.place.table
    return (tables.index(table) if table in tables else -1), problem.place.source, problem.place.row


def _amount_found(
    row: WrittenRow,
    old: WrittenRow | None,
    materials: Mapping[str, Material],
    balances: Mapping[str, int],
) -> Movement | None:
    """Return a new lot's opening amount, or a known one's count; None where that is nothing new.

    None as well where the amount cannot be told; its cell is told already.
    """
    material = materials.get(fold(row.text.get("item", "")))
    number = _number(row, material)
    if material is None or number is None:
        return None
    difference = in_billionths(number) - (balances.get(row.key[0], 0) if old else 0)
    if old is not None and not difference:
        return None
    return Movement(
        lot=row.text.get("lot", ""),
        what=What.COUNTED if old else What.OPENING_AMOUNT,
        billionths=difference,
        unit=material.unit,
        written=row.text["amount"],
        item=None if old else material.name,
    )


def opening_amounts(
    stock: Iterable[WrittenRow], materials: Mapping[str, Material]
) -> Iterator[Movement]:
    """Yield the opening amount of each row of new lots that can be told."""
    for row in stock:
        amount = _amount_found(row, None, materials, {})
        if amount is not None:
            yield amount


def _number(row: WrittenRow, material: Material | None) -> Decimal | None:
    """Return the amount of a stock row in the item's unit; None where it cannot be told."""
    if material is None:
        return None
    try:
        number = in_unit(material, read_amount(row.text.get("amount", "")))
    except (UnreadableError, NoRouteError):
        return None
    return number if number < LARGEST_AMOUNT else None


_CHANGE: Final[Mapping[str, What]] = {
    "place": What.MOVED,
    "state": What.STATE_CHANGED,
    "opened": What.OPENED,
    "tested": What.TESTED,
}
"""What it is called when a cell of a lot's row changes; else it is corrected."""


def _cells_changed(
    row: WrittenRow, old: WrittenRow, materials: Mapping[str, Material]
) -> Iterator[Movement]:
    """Yield a movement for each cell of a known lot that a row changes."""
    material = materials.get(fold(row.text.get("item", "")))
    if material is None:
        return
    for column in TABLES["stock"].columns:
        was, now = old.text.get(column, ""), row.text.get(column, "")
        if column in row.columns and column not in ("lot", "item", "amount") and was != now:
            yield Movement(
                lot=old.text["lot"],
                what=_CHANGE.get(column, What.CORRECTED),
                unit=material.unit,
                change=Change(column=column, was=was, now=now),
            )


def _another_item(row: WrittenRow, old: WrittenRow) -> Iterator[Problem]:
    if fold(row.text.get("item", old.text["item"])) != fold(old.text["item"]):
        what = f"is not what the store has under the label {old.text['lot']}: {old.text['item']}."
        remedy = "Give the new container a label of its own."
        yield at(row, "item", "lot-of-another-item", what, remedy)


def _differs(row: WrittenRow, old: WrittenRow) -> Problem:
    what = f"is not what the store holds of this lot, {old.text['amount']}."
    remedy = "Write that amount, or record the difference as a count with load --count."
    return at(row, "amount", "stock-differs", what, remedy)


_RENAMED: Final = "name-renamed"
_ONE_NAME_SPACE: Final = frozenset({"items", "solutions"})


def _renamed(
    new: WrittenSet, stored: WrittenSet, renamed: Mapping[tuple[str, str], NewName]
) -> Iterator[Problem]:
    """Yield a problem for each cell that has the name by which something went before.

    A name that a thing of the store bears again is free.
    """
    if not renamed:
        return
    own = {(table, column): (table,) for table, column in _NAMES.items()}
    for (table, column), named_in in {**own, **NAMED_IN}.items():
        among = _ONE_NAME_SPACE if _ONE_NAME_SPACE.intersection(named_in) else frozenset(named_in)
        given_up = {name: now for (of, name), now in renamed.items() if of in among}
        for name in _borne(stored, among) if given_up else ():
            given_up.pop(name, None)
        for row in new.get(table, []) if given_up else ():
            now = given_up.get(fold(row.text.get(column, "")))
            if now is not None:
                what = f"was renamed to '{now.name}' on {now.since}."
                yield at(row, column, _RENAMED, what, "Write the new name.")


def _borne(stored: WrittenSet, tables: Iterable[str]) -> Iterator[str]:
    """Yield the folded names that things of these tables bear."""
    for table in tables:
        for row in stored.get(table, []):
            yield fold(row.text.get(_NAMES[table], ""))


_NAMES: Final = {**NAME_COLUMN, "stock": "lot"}
"""The column with the names of each table that may give way to others, labels of lots too."""


def _orders_changed(stored: WrittenSet, merged: WrittenSet) -> tuple[OrderChange, ...]:
    """Return what a load does to what is on order: more is placed, less is cancelled."""
    held = {row.key: row.text for row in stored.get("on_order", [])}
    now = {row.key: row.text for row in merged["on_order"]}
    changes = []
    for key in dict.fromkeys([*held, *now]):
        old, new = held.get(key, {}), now.get(key, {})
        more = int(new.get("packs", 0)) - int(old.get("packs", 0))
        cells = new or old
        if more:
            changes.append(
                OrderChange(
                    what=OrderWhat.PLACED if more > 0 else OrderWhat.CANCELLED,
                    pack=cells["pack"],
                    packs=more,
                    due=date.fromisoformat(cells["due"]),
                    reference=cells.get("reference", ""),
                    price=cells.get("price", ""),
                )
            )
    return tuple(changes)


def _changed_units(stored: WrittenSet, merged: WrittenSet) -> Iterator[Problem]:
    """Yield a problem for each item whose unit changes while the store has lots of it."""
    before = {row.key: row.text["unit"] for row in stored.get("items", [])}
    with_lots = {fold(row.text["item"]) for row in stored.get("stock", [])}
    for row in merged.get("items", []):
        unit = before.get(row.key)
        now = row.text.get("unit", unit)
        if unit is not None and fold(now or "") != fold(unit) and row.key[0] in with_lots:
            what = f"is another unit than {unit}, in which the store keeps lots of this item."
            yield at(row, "unit", "unit-changed", what, f"Leave it at {unit}.")


def summary(changes: Changes) -> Iterator[str]:
    """Yield a line a table that a load changed: what was added, changed, moved and removed."""
    counted = (
        (changes.added, "added"),
        (changes.changed, "changed"),
        (changes.moved, "moved"),
        (changes.removed, "removed"),
    )
    tables = dict.fromkeys(table for counter, _ in counted for table in counter if counter[table])
    for table in tables:
        words = [f"{counter[table]} {word}" for counter, word in counted if counter[table]]
        yield f"{table}: {', '.join(words)}"
