"""The schema step that gives waste containers a history; as it was shipped, and never edited."""

import re
from collections.abc import Iterator
from decimal import Decimal
from typing import Final

from prepstore.amounts import in_billionths
from prepstore.ledger.ledger import Ledger


def waste_containers(ledger: Ledger) -> None:
    """Keep what happens to waste containers; what streams say of them is how they begin."""
    ledger.execute(
        "CREATE TABLE container_changes (container_change INTEGER PRIMARY KEY, "
        "entry INTEGER NOT NULL REFERENCES entries (entry), stream TEXT NOT NULL, container TEXT, "
        "what TEXT NOT NULL, "
        "billionths INTEGER NOT NULL CHECK (typeof(billionths) = 'integer'), "
        "unit TEXT NOT NULL CHECK (unit IN ('g', 'mL')), written TEXT, was TEXT, now TEXT, "
        "empty INTEGER NOT NULL CHECK (typeof(empty) = 'integer'), item TEXT, "
        "item_billionths INTEGER NOT NULL CHECK (typeof(item_billionths) = 'integer'), "
        "item_unit TEXT, lot TEXT, "
        "reverses INTEGER UNIQUE REFERENCES container_changes (container_change), "
        "CHECK (container IS NOT NULL OR billionths = 0), "
        "CHECK (what <> 'filled' OR billionths >= 0), "
        "CHECK (what <> 'taken back' OR billionths <= 0), "
        "CHECK ((was IS NULL) = (now IS NULL)))"
    )
    for column in ("entry", "container"):
        ledger.execute(
            f"CREATE INDEX container_changes_by_{column} ON container_changes ({column})"
        )
    for change in ("UPDATE", "DELETE"):
        ledger.execute(
            f"CREATE TRIGGER container_changes_no_{change.lower()} BEFORE {change} ON "
            "container_changes BEGIN SELECT RAISE(ABORT, 'container_changes are only added'); END"
        )
    _sums(ledger)
    _opening(ledger)


def _sums(ledger: Ledger) -> None:
    """Keep what the changes of each container come to, and of the empty ones of each stream."""
    ledger.execute(
        "CREATE TABLE containers (container TEXT PRIMARY KEY, stream TEXT NOT NULL, "
        "state TEXT NOT NULL CHECK (state IN ('', 'open', 'sealed', 'collected')), "
        "billionths INTEGER NOT NULL CHECK (billionths BETWEEN 0 AND 1000000000000000000)) "
        "WITHOUT ROWID"
    )
    ledger.execute(
        "CREATE UNIQUE INDEX containers_one_open ON containers (stream) WHERE state = 'open'"
    )
    ledger.execute(
        "CREATE TABLE empty_containers (stream TEXT PRIMARY KEY, "
        "number INTEGER NOT NULL CHECK (number BETWEEN 0 AND 1000000000000)) WITHOUT ROWID"
    )
    ledger.execute(
        "CREATE TRIGGER container_changes_keep_sums AFTER INSERT ON container_changes BEGIN "
        "INSERT OR IGNORE INTO containers (container, stream, state, billionths) "
        "SELECT NEW.container, NEW.stream, '', 0 WHERE NEW.container IS NOT NULL; "
        "UPDATE containers SET billionths = billionths + NEW.billionths, "
        "state = coalesce(NEW.now, state), stream = NEW.stream WHERE container = NEW.container; "
        "INSERT OR IGNORE INTO empty_containers (stream, number) VALUES (NEW.stream, 0); "
        "UPDATE empty_containers SET number = number + NEW.empty WHERE stream = NEW.stream; END"
    )


def _opening(ledger: Ledger) -> None:
    """Record, with an entry of its own, what the streams of an older store say of containers."""
    streams = list(
        ledger.execute(
            "SELECT stream, measure, part_full, empty_containers FROM waste_streams "
            "ORDER BY position"
        )
    )
    changes = [change for cells in streams for change in _of_stream(*cells)]
    if not changes:
        return
    ledger.execute(
        "INSERT INTO entries (entry, on_day, at_utc, by, reason) "
        "SELECT coalesce(max(entry), 0) + 1, date('now'), "
        "strftime('%Y-%m-%dT%H:%M:%f000+00:00', 'now'), 'prepstore', 'waste containers before' "
        "FROM entries"
    )
    opened = 0
    for stream, unit, written, billionths, empty in changes:
        opened += billionths is not None
        label = f"printf('W%02d-%03d', strftime('%Y', 'now') % 100, {opened})"
        ledger.execute(
            "INSERT INTO container_changes (entry, stream, container, what, billionths, unit, "
            "written, was, now, empty, item_billionths) "
            f"SELECT max(entry), ?, {'NULL' if billionths is None else label}, 'opening amount', "
            "?, ?, ?, ?, ?, ?, 0 FROM entries",
            (
                stream,
                billionths or 0,
                unit,
                written,
                *((None, None) if billionths is None else ("", "open")),
                empty,
            ),
        )


_Opening = tuple[str, str, str | None, int | None, int]


def _of_stream(
    stream: str, measure: str, part_full: str | None, empty: str | None
) -> Iterator[_Opening]:
    """Yield what a stream's row says of its open container, and of its empty ones."""
    unit = "mL" if (measure or "").strip().casefold() == "volume" else "g"
    billionths = _billionths(part_full, unit) if part_full else None
    if billionths is not None:
        yield stream, unit, part_full, billionths, 0
    if empty and empty.strip().isdecimal():
        yield stream, unit, None, None, int(empty)


_TERM = re.compile(r"(?:([0-9]+)\s*[x×*]\s*)?([0-9]*\.?[0-9]+)\s*([^\W\d_]+[3³]?)")
_TERM_TIMES = re.compile(r"([0-9]*\.?[0-9]+)\s*([^\W\d_]+[3³]?)(?:\s+x|\s*[×*])\s*([0-9]+)")
_PREFIXES: Final = {
    "k": "1e3", "d": "1e-1", "c": "1e-2", "m": "1e-3", "µ": "1e-6", "μ": "1e-6", "u": "1e-6",
    "n": "1e-9", "": "1",
}  # fmt: skip
_OTHERS: Final = {"cm3": "1e-3", "cm³": "1e-3", "dm3": "1", "dm³": "1"}


def _billionths(text: str, unit: str) -> int | None:
    """Return an amount as it was written in billionths of a unit; None where it cannot be told."""
    terms = [_term(term.strip(), unit) for term in text.split("+")]
    known = [term for term in terms if term is not None]
    return in_billionths(sum(known, Decimal(0))) if len(known) == len(terms) else None


def _term(text: str, unit: str) -> Decimal | None:
    if (found := _TERM.fullmatch(text)) is not None:
        count, number, word = found.groups()
    elif (found := _TERM_TIMES.fullmatch(text)) is not None:
        number, word, count = found.groups()
    else:
        return None
    size = _size(word, unit)
    return None if size is None else Decimal(count or 1) * Decimal(number) * size


def _size(word: str, unit: str) -> Decimal | None:
    """Return how many mL or g a unit word is; None where it is none of that sort."""
    if unit == "mL":
        litres = _OTHERS.get(word)
        if litres is None and word[-1] in "lL":
            litres = _PREFIXES.get(word[:-1])
        return None if litres is None else Decimal(litres) * 1000
    grams = _PREFIXES.get(word[:-1]) if word.endswith("g") else None
    return None if grams is None else Decimal(grams)
