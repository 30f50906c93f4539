"""What is wrong with a store, in plain words: its file, its sums, and what belongs to nothing."""

from collections.abc import Iterator

from sqlalchemy import Connection, func, select

from prepstore.amounts import of_billionths, plain
from prepstore.cell_types import fold
from prepstore.ledger.containers import CONTAINER_CHANGES, CONTAINERS, EMPTY_CONTAINERS
from prepstore.ledger.damage import broken_references, damage_of, strange_parts
from prepstore.ledger.entries import ENTRIES
from prepstore.ledger.load import stored_key
from prepstore.ledger.lots import BALANCES, STOCK
from prepstore.ledger.movements import MOVEMENTS, SESSION_USES, session_uses
from prepstore.ledger.names import NAME_CHANGES
from prepstore.ledger.orders import ON_ORDER, ORDER_CHANGES
from prepstore.ledger.timetable import TIMETABLE_CHANGES

_GO_BACK = "Go back to a backup (prepstore restore FILE)."


def faults(connection: Connection) -> Iterator[str]:
    """Yield a sentence for each fault of a store; none where it is sound.

    Takes time in proportion to what the store holds.
    """
    damaged = damage_told(connection)
    # What is read from a damaged file says nothing.
    yield from damaged or faults_of_a_whole_file(connection)


def damage_told(connection: Connection) -> list[str]:
    """Return a sentence for each damage of a store's file."""
    return [f"The file is damaged: {line}. {_GO_BACK}" for line in damage_of(connection)]


def faults_of_a_whole_file(connection: Connection) -> Iterator[str]:
    """Yield a sentence for each fault of a store whose file is not damaged."""
    for part in strange_parts(connection):
        what = f"The {part} of the file is not as this version makes it."
        yield f"{what} Another program has changed it. {_GO_BACK}"
    for table, parent in broken_references(connection):
        yield f"A row of {table} belongs to a row of {parent} that is not there. {_GO_BACK}"
    yield from _sums(connection)
    yield from _empty_entries(connection)
    yield from _orders(connection)
    yield from _containers(connection)
    yield from _used_less_than_nothing(connection)


def _sums(connection: Connection) -> Iterator[str]:
    """Yield a sentence for each lot whose balance is not the sum of its movements."""
    sums = select(MOVEMENTS.c.lot, func.sum(MOVEMENTS.c.billionths).label("billionths"))
    summed = {row.lot: row.billionths for row in connection.execute(sums.group_by(MOVEMENTS.c.lot))}
    balances = {row.lot: row.billionths for row in connection.execute(select(BALANCES))}
    for lot in sorted(summed.keys() | balances.keys()):
        moved, held = summed.get(lot), balances.get(lot)
        if moved is None or held is None or moved != held:
            yield (
                f"Lot {lot}: its movements come to {_digits(moved)}, but its balance is "
                f"{_digits(held)}. {_GO_BACK}"
            )


def _digits(billionths: int | None) -> str:
    return "nothing at all" if billionths is None else plain(of_billionths(billionths))


def _orders(connection: Connection) -> Iterator[str]:
    """Yield a sentence for each order of which another number is to come than its changes say."""
    changes = ORDER_CHANGES.c
    of_one = (changes.reference, changes.pack, changes.due)
    summed = select(*of_one, func.sum(changes.packs).label("packs")).group_by(*of_one)
    said: dict[str | None, int] = {}
    for row in connection.execute(summed):
        key = stored_key((fold(row.reference), fold(row.pack), fold(row.due)))
        said[key] = said.get(key, 0) + row.packs
    for row in connection.execute(select(ON_ORDER)):
        come = said.pop(row.key, 0)
        if come != int(row.packs):
            what = f"{row.packs} of {row.pack}, due {row.due}, are on order, but its changes"
            yield f"{what} come to {come}. {_GO_BACK}"
    for key, packs in said.items():
        if packs:
            name = (key or "").replace("\x1f", ", ").strip(", ")
            yield f"Nothing is on order as {name}, but its changes come to {packs}. {_GO_BACK}"


def _containers(connection: Connection) -> Iterator[str]:
    """Yield a sentence for each container that is not what its changes come to; for empty ones."""
    changes = CONTAINER_CHANGES.c
    levels: dict[str, int] = {}
    states: dict[str, str] = {}
    empty: dict[str, int] = {}
    for row in connection.execute(select(CONTAINER_CHANGES).order_by(changes.container_change)):
        empty[row.stream] = empty.get(row.stream, 0) + row.empty
        if row.container is not None:
            levels[row.container] = levels.get(row.container, 0) + row.billionths
            states[row.container] = states.get(row.container, "") if row.now is None else row.now
    kept = {
        row.container: (row.billionths, row.state) for row in connection.execute(select(CONTAINERS))
    }
    for label in sorted(levels.keys() | kept.keys()):
        come_to = (levels[label], states[label]) if label in levels else None
        if come_to != kept.get(label):
            what = f"Container {label}: its changes come to {_stands(come_to)}, but it holds"
            yield f"{what} {_stands(kept.get(label))}. {_GO_BACK}"
    numbers = {row.stream: row.number for row in connection.execute(select(EMPTY_CONTAINERS))}
    for stream in sorted(empty.keys() | numbers.keys()):
        number_told, number = empty.get(stream, 0), numbers.get(stream, 0)
        if number_told != number:
            what = f"Waste stream {stream}: its changes come to {number_told} empty containers"
            yield f"{what}, but the store keeps {number}. {_GO_BACK}"


def _stands(level_and_state: tuple[int, str] | None) -> str:
    if level_and_state is None:
        return "nothing at all"
    level, state = level_and_state
    return f"{_digits(level)}, {state or 'not there'}"


def _empty_entries(connection: Connection) -> Iterator[str]:
    """Yield a sentence for each entry to which nothing belongs."""
    entries = ENTRIES.c
    with_something = select(MOVEMENTS.c.entry).union(
        select(SESSION_USES.c.entry),
        select(ORDER_CHANGES.c.entry),
        select(NAME_CHANGES.c.entry),
        select(TIMETABLE_CHANGES.c.entry),
        select(CONTAINER_CHANGES.c.entry),
    )
    empty = select(entries.entry).where(entries.entry.not_in(with_something))
    for (entry,) in connection.execute(empty):
        yield f"Entry {entry} has nothing that was recorded with it. {_GO_BACK}"


def _used_less_than_nothing(connection: Connection) -> Iterator[str]:
    """Yield a sentence for each session that has brought back more of an item than it used."""
    used: dict[tuple[str, str], int] = {}
    # By the names of now: what was used under one may come back under another.
    for use in session_uses(connection):
        of = use.session, use.item
        used[of] = used.get(of, 0) + use.used
    for (session, item), billionths in used.items():
        if billionths < 0:
            what = f"Session {session} is recorded to have used less than 0 of {item}."
            yield f"{what} {_GO_BACK}"


def counts(connection: Connection) -> tuple[int, int]:
    """Return how many lots and how many movements a store has; lots that are gone do not count."""
    there = select(func.count()).select_from(STOCK).where(STOCK.c.gone.is_(None))
    lots = connection.execute(there).scalar_one()
    movements = connection.execute(select(func.count()).select_from(MOVEMENTS)).scalar_one()
    return int(lots), int(movements)
