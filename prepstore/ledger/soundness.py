"""What is wrong with a store, in plain words: its file, its sums, and what belongs to nothing."""

from collections.abc import Iterator

from sqlalchemy import Connection, func, select, union

from prepstore.amounts import of_billionths, plain
from prepstore.cell_types import fold
from prepstore.ledger.containers import CONTAINER_CHANGES, CONTAINERS, EMPTY_CONTAINERS
from prepstore.ledger.entries import ENTRIES
from prepstore.ledger.kept_rows import HISTORY_TABLES
from prepstore.ledger.load import stored_key
from prepstore.ledger.lots import BALANCES, STOCK
from prepstore.ledger.movements import MOVEMENTS, session_uses
from prepstore.ledger.orders import ON_ORDER, ORDER_CHANGES
from prepstore.ledger.store import checks_of


def faults(connection: Connection) -> Iterator[str]:
    """Yield a sentence for each fault of a store; none where it is sound.

    Takes time in proportion to what the store holds.
    """
    damaged = damage_told(connection)
    # What is read from a damaged file says nothing.
    yield from damaged or faults_of_a_whole_file(connection)


def damage_told(connection: Connection) -> list[str]:
    """Return a sentence for each damage of a store's file."""
    checks = checks_of(connection)
    return [
        f"The {checks.KEPT_IN} is damaged: {line}. {checks.GO_BACK}"
        for line in checks.damage_of(connection)
    ]


def faults_of_a_whole_file(connection: Connection) -> Iterator[str]:
    """Yield a sentence for each fault of a store whose file is not damaged."""
    checks = checks_of(connection)
    for part in checks.strange_parts(connection):
        what = f"The {part} of the {checks.KEPT_IN} is not as this version makes it."
        yield f"{what} Another program has changed it. {checks.GO_BACK}"
    for table, parent in checks.broken_references(connection):
        yield f"A row of {table} belongs to a row of {parent} that is not there. {checks.GO_BACK}"
    for find in (_sums, _empty_entries, _orders, _containers, _used_less_than_nothing):
        for what in find(connection):
            yield f"{what} {checks.GO_BACK}"


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
                f"{_digits(held)}."
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
            yield f"{what} come to {come}."
    for key, packs in said.items():
        if packs:
            name = (key or "").replace("\x1f", ", ").strip(", ")
            yield f"Nothing is on order as {name}, but its changes come to {packs}."


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
            yield f"{what} {_stands(kept.get(label))}."
    numbers = {row.stream: row.number for row in connection.execute(select(EMPTY_CONTAINERS))}
    for stream in sorted(empty.keys() | numbers.keys()):
        number_told, number = empty.get(stream, 0), numbers.get(stream, 0)
        if number_told != number:
            what = f"Waste stream {stream}: its changes come to {number_told} empty containers"
            yield f"{what}, but the store keeps {number}."


def _stands(level_and_state: tuple[int, str] | None) -> str:
    if level_and_state is None:
        return "nothing at all"
    level, state = level_and_state
    return f"{_digits(level)}, {state or 'not there'}"


def _empty_entries(connection: Connection) -> Iterator[str]:
    """Yield a sentence for each entry to which nothing belongs."""
    entries = ENTRIES.c
    parts = (table for name, table in HISTORY_TABLES.items() if name != "entries")
    with_something = union(*(select(part.c.entry) for part in parts))
    empty = select(entries.entry).where(entries.entry.not_in(with_something))
    for (entry,) in connection.execute(empty):
        yield f"Entry {entry} has nothing that was recorded with it."


def _used_less_than_nothing(connection: Connection) -> Iterator[str]:
    """Yield a sentence for each session that has brought back more of an item than it used."""
    used: dict[tuple[str, str], int] = {}
    # By the names of now: what was used under one may come back under another.
    for use in session_uses(connection):
        of = use.session, use.item
        used[of] = used.get(of, 0) + use.used
    for (session, item), billionths in used.items():
        if billionths < 0:
            yield f"Session {session} is recorded to have used less than 0 of {item}."


def counts(connection: Connection) -> tuple[int, int]:
    """Return how many lots and how many movements a store has; lots that are gone do not count."""
    there = select(func.count()).select_from(STOCK).where(STOCK.c.gone.is_(None))
    lots = connection.execute(there).scalar_one()
    movements = connection.execute(select(func.count()).select_from(MOVEMENTS)).scalar_one()
    return int(lots), int(movements)
