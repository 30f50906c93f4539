"""Numbered steps that bring a store up to date; a shipped step is never edited."""

from collections.abc import Callable
from decimal import Decimal
from typing import Final

from prepstore.amounts import in_billionths
from prepstore.cell_types import fold
from prepstore.ledger.container_step import waste_containers
from prepstore.ledger.ledger import Ledger

Step = Callable[[Ledger], None]


def _tables_of_a_set(ledger: Ledger) -> None:
    columns = {
        "items": "item kind unit cas formula strength density measures minimum restock_to "
        "opened_life supply daily_capacity turnaround minutes_per_use hazards storage notes",
        "solutions": "solution shelf_life step largest_batch density minimum restock_to hazards "
        "storage instructions",
        "solution_parts": "solution item amount as",
        "practicals": "practical title group_size notes",
        "practical_lines": "practical stage item amount per spare optional to within shared_by "
        "container notes",
        "timetable": "session practical date start end room students group_size "
        "demonstrator_sets leave_out",
        "stock": "lot item amount expiry opened state containers place",
        "suppliers": "supplier lead_days delivery_charge minimum_order",
        "packs": "pack item supplier size price",
        "on_order": "pack packs due reference",
        "waste_streams": "stream measure container fill_limit empty_containers part_full "
        "list_code notes",
        "replacements": "item replaced_by factor to reason",
        "settings": "setting value",
    }
    for table, names in columns.items():
        cells = ", ".join(f'"{name}" TEXT' for name in names.split())
        ledger.execute(
            f'CREATE TABLE "{table}" (position INTEGER PRIMARY KEY, key TEXT UNIQUE, {cells})'
        )


def _movements(ledger: Ledger) -> None:
    ledger.execute(
        "CREATE TABLE movements (movement INTEGER PRIMARY KEY, lot TEXT NOT NULL, "
        "what TEXT NOT NULL, number TEXT NOT NULL, unit TEXT NOT NULL, written TEXT NOT NULL, "
        "on_day TEXT NOT NULL, at_utc TEXT NOT NULL, by TEXT NOT NULL, "
        "reason TEXT NOT NULL DEFAULT '')"
    )
    ledger.execute("CREATE INDEX movements_of_lot ON movements (lot)")
    for change in ("UPDATE", "DELETE"):
        ledger.execute(
            f"CREATE TRIGGER movements_no_{change.lower()} BEFORE {change} ON movements "
            "BEGIN SELECT RAISE(ABORT, 'movements are only added'); END"
        )


def _entries_and_balances(ledger: Ledger) -> None:
    """Keep who recorded what in entries, changes as whole billionths, a balance beside each lot."""
    ledger.execute(
        "CREATE TABLE entries (entry INTEGER PRIMARY KEY, "
        "on_day TEXT NOT NULL CHECK (on_day IS date(on_day, '+0 days')), at_utc TEXT NOT NULL, "
        "by TEXT NOT NULL CHECK (by <> ''), session TEXT, reason TEXT)"
    )
    ledger.execute("ALTER TABLE movements RENAME TO movements_as_digits")
    ledger.execute("DROP INDEX movements_of_lot")
    ledger.execute(
        "CREATE TABLE movements (movement INTEGER PRIMARY KEY, "
        "entry INTEGER NOT NULL REFERENCES entries (entry), "
        "lot TEXT NOT NULL REFERENCES stock (key) DEFERRABLE INITIALLY DEFERRED, "
        "what TEXT NOT NULL, billionths INTEGER NOT NULL CHECK (typeof(billionths) = 'integer'), "
        "unit TEXT NOT NULL CHECK (unit IN ('g', 'mL', 'each')), written TEXT, "
        "changed TEXT, was TEXT, now TEXT, stream TEXT, order_line TEXT, "
        "reverses INTEGER UNIQUE REFERENCES movements (movement), "
        "CHECK (what NOT IN ('used', 'discarded') OR billionths <= 0), "
        "CHECK (what NOT IN ('received', 'made', 'returned') OR billionths >= 0))"
    )
    _balances(ledger)
    _take_over_digits(ledger)
    ledger.execute("DROP TABLE movements_as_digits")
    for table, column in (
        ("entries", "on_day"),
        ("entries", "session"),
        ("entries", "by"),
        ("movements", "entry"),
        ("movements", "lot"),
    ):
        ledger.execute(f"CREATE INDEX {table}_by_{column} ON {table} ({column})")
    for table in ("entries", "movements"):
        _only_added(ledger, table)


def _balances(ledger: Ledger) -> None:
    ledger.execute(
        "CREATE TABLE balances (lot TEXT PRIMARY KEY "
        "REFERENCES stock (key) DEFERRABLE INITIALLY DEFERRED, "
        "billionths INTEGER NOT NULL CHECK (billionths BETWEEN 0 AND 1000000000000000000)) "
        "WITHOUT ROWID"
    )
    ledger.execute(
        "CREATE TRIGGER movements_keep_balances AFTER INSERT ON movements BEGIN "
        "INSERT OR IGNORE INTO balances (lot, billionths) VALUES (NEW.lot, 0); "
        "UPDATE balances SET billionths = billionths + NEW.billionths WHERE lot = NEW.lot; END"
    )


def _only_added(ledger: Ledger, table: str) -> None:
    for change in ("UPDATE", "DELETE"):
        ledger.execute(
            f"CREATE TRIGGER {table}_no_{change.lower()} BEFORE {change} ON {table} "
            f"BEGIN SELECT RAISE(ABORT, '{table} are only added'); END"
        )


def _take_over_digits(ledger: Ledger) -> None:
    """Copy movements, each lot's sums rounded to a billionth and not each movement by itself."""
    exact: dict[str, Decimal] = {}
    whole: dict[str, int] = {}
    for number, lot, what, digits, unit, written, on_day, at_utc, by, reason in ledger.execute(
        "SELECT movement, lot, what, number, unit, written, on_day, at_utc, by, reason "
        "FROM movements_as_digits ORDER BY movement"
    ):
        key = fold(lot)
        exact[key] = exact.get(key, Decimal(0)) + Decimal(digits)
        change = in_billionths(exact[key]) - whole.get(key, 0)
        whole[key] = whole.get(key, 0) + change
        ledger.execute(
            "INSERT INTO entries (entry, on_day, at_utc, by, reason) VALUES (?, ?, ?, ?, ?)",
            (number, on_day, at_utc, by, reason or None),
        )
        ledger.execute(
            "INSERT INTO movements (movement, entry, lot, what, billionths, unit, written) "
            "VALUES (?, ?, ?, ?, ?, ?, ?)",
            (number, number, key, what, change, unit, written),
        )


def _session_uses(ledger: Ledger) -> None:
    ledger.execute(
        "CREATE TABLE session_uses (session_use INTEGER PRIMARY KEY, "
        "entry INTEGER NOT NULL REFERENCES entries (entry), "
        "session TEXT NOT NULL, session_date TEXT NOT NULL, practical TEXT NOT NULL, "
        "item TEXT NOT NULL, unit TEXT NOT NULL, "
        "planned INTEGER NOT NULL CHECK (typeof(planned) = 'integer'), "
        "used INTEGER NOT NULL CHECK (typeof(used) = 'integer'))"
    )
    for column in ("session", "session_date", "entry"):
        ledger.execute(f"CREATE INDEX session_uses_by_{column} ON session_uses ({column})")
    _only_added(ledger, "session_uses")


def _columns_of_tests_prices_and_retirement(ledger: Ledger) -> None:
    columns = {
        "items": ("peroxide_test", "peroxide_test_sealed", "retired"),
        "solutions": ("retired",),
        "practicals": ("retired",),
        "suppliers": ("retired",),
        "stock": ("received", "tested"),
        "on_order": ("price",),
    }
    for table, names in columns.items():
        for name in names:
            ledger.execute(f'ALTER TABLE "{table}" ADD COLUMN "{name}" TEXT')


def _order_changes(ledger: Ledger) -> None:
    """Keep what happens to orders; those that are there are placed by an entry of their own."""
    ledger.execute(
        "CREATE TABLE order_changes (order_change INTEGER PRIMARY KEY, "
        "entry INTEGER NOT NULL REFERENCES entries (entry), what TEXT NOT NULL, "
        "pack TEXT NOT NULL, packs INTEGER NOT NULL CHECK (typeof(packs) = 'integer'), "
        "due TEXT NOT NULL, reference TEXT NOT NULL, price TEXT, "
        "reverses INTEGER UNIQUE REFERENCES order_changes (order_change), "
        "CHECK (what <> 'placed' OR packs > 0), "
        "CHECK (what NOT IN ('arrived', 'cancelled') OR packs < 0))"
    )
    for column in ("entry", "pack", "reference"):
        ledger.execute(f"CREATE INDEX order_changes_by_{column} ON order_changes ({column})")
    _only_added(ledger, "order_changes")
    ledger.execute(
        "INSERT INTO entries (entry, on_day, at_utc, by, reason) "
        "SELECT (SELECT coalesce(max(entry), 0) + 1 FROM entries), date('now'), "
        "strftime('%Y-%m-%dT%H:%M:%f000+00:00', 'now'), 'prepstore', 'on order before' "
        "WHERE EXISTS (SELECT 1 FROM on_order)"
    )
    ledger.execute(
        "INSERT INTO order_changes (entry, what, pack, packs, due, reference, price) "
        "SELECT (SELECT max(entry) FROM entries), 'placed', pack, CAST(packs AS INTEGER), due, "
        "coalesce(reference, ''), price FROM on_order"
    )


def _name_changes(ledger: Ledger) -> None:
    ledger.execute(
        "CREATE TABLE name_changes (name_change INTEGER PRIMARY KEY, "
        "entry INTEGER NOT NULL REFERENCES entries (entry), what TEXT NOT NULL, "
        "of_table TEXT NOT NULL, was TEXT NOT NULL, now TEXT NOT NULL)"
    )
    ledger.execute("CREATE INDEX name_changes_by_entry ON name_changes (entry)")
    _only_added(ledger, "name_changes")


def _what_a_lot_began_as(ledger: Ledger) -> None:
    """Keep what a movement cost and was of, which lots are there no longer, and the last movement.

    `item` stands with the movement that a lot began with, as it was called then. `gone` says why a
    lot is there no longer. `lacked` is what a session was to take and nobody had.
    """
    columns = {
        "movements": ("item TEXT", "note TEXT", "paid TEXT", "supplier TEXT", "delivery_note TEXT"),
        "session_uses": ("lacked INTEGER NOT NULL DEFAULT 0 CHECK (typeof(lacked) = 'integer')",),
        "stock": ("batch_number TEXT", "gone TEXT"),
        "balances": ("last_movement INTEGER",),
    }
    for table, definitions in columns.items():
        for definition in definitions:
            ledger.execute(f'ALTER TABLE "{table}" ADD COLUMN {definition}')
    ledger.execute("CREATE INDEX movements_began ON movements (lot) WHERE item IS NOT NULL")
    ledger.execute("DROP TRIGGER movements_keep_balances")
    ledger.execute(
        "UPDATE balances SET last_movement = "
        "(SELECT max(movement) FROM movements WHERE movements.lot = balances.lot)"
    )
    ledger.execute(
        "CREATE TRIGGER movements_keep_balances AFTER INSERT ON movements BEGIN "
        "INSERT OR IGNORE INTO balances (lot, billionths) VALUES (NEW.lot, 0); "
        "UPDATE balances SET billionths = billionths + NEW.billionths, "
        "last_movement = NEW.movement WHERE lot = NEW.lot; END"
    )


def _columns_of_what_does_not_keep(ledger: Ledger) -> None:
    columns = {
        "items": ("shelf_life",),
        "solutions": ("measures", "make_within"),
        "practical_lines": ("one_lot",),
    }
    for table, names in columns.items():
        for name in names:
            ledger.execute(f'ALTER TABLE "{table}" ADD COLUMN "{name}" TEXT')


def _timetable_changes(ledger: Ledger) -> None:
    ledger.execute(
        "CREATE TABLE timetable_changes (timetable_change INTEGER PRIMARY KEY, "
        "entry INTEGER NOT NULL REFERENCES entries (entry), session TEXT NOT NULL, "
        "changed TEXT NOT NULL, was TEXT NOT NULL, now TEXT NOT NULL)"
    )
    ledger.execute("CREATE INDEX timetable_changes_by_entry ON timetable_changes (entry)")
    _only_added(ledger, "timetable_changes")


def _what_orders_are_chosen_by(ledger: Ledger) -> None:
    for table, names in {
        "price_breaks": "pack from price",
        "storage_limits": "storage most",
    }.items():
        cells = ", ".join(f'"{name}" TEXT' for name in names.split())
        ledger.execute(
            f'CREATE TABLE "{table}" (position INTEGER PRIMARY KEY, key TEXT UNIQUE, {cells})'
        )
    ledger.execute('ALTER TABLE "items" ADD COLUMN "most_held" TEXT')
    ledger.execute('ALTER TABLE "solutions" ADD COLUMN "minutes_to_make" TEXT')


def _what_is_in_waste_and_how_it_is_classified(ledger: Ledger) -> None:
    columns = {
        "items": ("group", "retention", "acid_or_base"),
        "solutions": ("to", "pH", "flash_point", "viscosity"),
        "practical_lines": ("holds_back",),
    }
    for table, names in columns.items():
        for name in names:
            ledger.execute(f'ALTER TABLE "{table}" ADD COLUMN "{name}" TEXT')
    limits = "item class h_code from below m_factor ate form in_force source"
    cells = ", ".join(f'"{name}" TEXT' for name in limits.split())
    ledger.execute(
        f'CREATE TABLE "hazard_limits" (position INTEGER PRIMARY KEY, key TEXT UNIQUE, {cells})'
    )


def _reserved_labels(ledger: Ledger) -> None:
    ledger.execute(
        "CREATE TABLE label_changes (label_change INTEGER PRIMARY KEY, "
        "entry INTEGER NOT NULL REFERENCES entries (entry), "
        "what TEXT NOT NULL CHECK (what IN ('reserved', 'freed')), label TEXT NOT NULL, "
        "solution TEXT NOT NULL, make_on TEXT NOT NULL)"
    )
    ledger.execute("CREATE INDEX label_changes_by_entry ON label_changes (entry)")
    _only_added(ledger, "label_changes")


def _database_users(ledger: Ledger) -> None:
    """Keep as whom a server knew the one who recorded an entry; nothing in a file."""
    ledger.execute('ALTER TABLE "entries" ADD COLUMN "database_user" TEXT')


def _collections_called(ledger: Ledger) -> None:
    ledger.execute('ALTER TABLE "container_changes" ADD COLUMN "expected" TEXT')


def _taken_in(ledger: Ledger) -> None:
    """Keep of an entry that was recorded in a copy when it was taken in from there, and which."""
    for column in ("taken_in", "taken_from"):
        ledger.execute(f'ALTER TABLE "entries" ADD COLUMN "{column}" TEXT')


STEPS: Final[tuple[Step, ...]] = (
    _tables_of_a_set,
    _movements,
    _entries_and_balances,
    _session_uses,
    _columns_of_tests_prices_and_retirement,
    _order_changes,
    _name_changes,
    _what_a_lot_began_as,
    _columns_of_what_does_not_keep,
    _timetable_changes,
    _what_orders_are_chosen_by,
    _what_is_in_waste_and_how_it_is_classified,
    waste_containers,
    _reserved_labels,
    _database_users,
    _collections_called,
    _taken_in,
)
