"""The schema's steps in a server's words; they are stated once, in `ledger/schema.py`.

Steps are written in the few words of SQL that are read here: tables and columns of TEXT and
INTEGER, indexes, and triggers that add up or refuse. What is put in other words is what the two
databases call by other names.
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from typing import Any, Final

from prepstore.ledger.ledger import Ledger as Steps
from prepstore.ledger.schema import STEPS
from prepstore.ledger.server.connections import SCHEMA, Ledger

_BEGINNING: Final = (
    f"CREATE SCHEMA {SCHEMA}",
    "CREATE TABLE schema_steps (taken BIGINT NOT NULL)",
    "INSERT INTO schema_steps VALUES (0)",
    'CREATE TABLE made_as (part TEXT COLLATE "C" PRIMARY KEY, definition TEXT NOT NULL)',
    f"""CREATE FUNCTION only_added() RETURNS trigger LANGUAGE plpgsql
SET search_path = {SCHEMA} AS $$
BEGIN
    RAISE EXCEPTION '% are only added', TG_TABLE_NAME
        USING ERRCODE = 'integrity_constraint_violation';
END $$""",
    f"""CREATE FUNCTION is_day(day TEXT) RETURNS boolean IMMUTABLE LANGUAGE plpgsql
SET search_path = {SCHEMA} AS $$
BEGIN
    RETURN day ~ '^[0-9]{{4}}-[0-9]{{2}}-[0-9]{{2}}$' AND make_date(
        substr(day, 1, 4)::int, substr(day, 6, 2)::int, substr(day, 9, 2)::int) IS NOT NULL;
EXCEPTION WHEN datetime_field_overflow THEN
    RETURN false;
END $$""",
)
"""What a store on a server has beside its tables.

Which steps it has had, what its parts were made as, and what its triggers and checks ask.
"""

_WORDS: Final = (
    (r"\bINTEGER\b", "BIGINT"),
    # Sorted and compared by the numbers of the signs, whatever the language of the server.
    (r"\bTEXT\b", 'TEXT COLLATE "C"'),
    # A column of whole numbers takes no others.
    (r" CHECK \(typeof\(\w+\) = 'integer'\)", ""),
    (r"(\w+) IS date\(\1, '\+0 days'\)", r"is_day(\1)"),
    (r" WITHOUT ROWID$", ""),
)
_NUMBERED: Final = re.compile(r'CREATE TABLE "?(\w+)"? \((\w+) INTEGER PRIMARY KEY')
_TRIGGER: Final = re.compile(r"CREATE TRIGGER (\w+) (BEFORE|AFTER) (\w+) ON (\w+) BEGIN (.*); END")
_DROP_TRIGGER: Final = re.compile(r"DROP TRIGGER (\w+)")
_MOVES_ROWS: Final = re.compile(r"(SELECT|INSERT|UPDATE|DELETE)\b")


def in_words_of_the_server(statement: str) -> Iterator[str]:
    """Yield what a statement of a step is on a server: one statement or several."""
    trigger, drop = _TRIGGER.fullmatch(statement), _DROP_TRIGGER.fullmatch(statement)
    if trigger is not None:
        yield from _trigger(*trigger.groups())
    elif drop is not None:
        yield f"DROP FUNCTION {drop[1]}() CASCADE"
    else:
        words = statement
        for pattern, other in _WORDS:
            words = re.sub(pattern, other, words)
        yield words
        numbered = _NUMBERED.match(statement)
        # Rows of a set are always given their position.
        if numbered is not None and numbered[2] != "position":
            yield from _numbers(*numbered.groups())


def _trigger(name: str, moment: str, change: str, table: str, body: str) -> Iterator[str]:
    if body.startswith("SELECT RAISE"):
        yield _calling(name, f"{moment} {change} ON {table} FOR EACH ROW", "only_added")
        if change == "DELETE":
            emptied = f"BEFORE TRUNCATE ON {table} FOR EACH STATEMENT"
            yield _calling(f"{table}_no_truncate", emptied, "only_added")
        return
    acts = [_or_ignored(act) for act in body.split("; ")]
    yield _function(name, f"{'; '.join(acts)}; RETURN NULL;")
    yield _calling(name, f"{moment} {change} ON {table} FOR EACH ROW", name)


def _or_ignored(act: str) -> str:
    if not act.startswith("INSERT OR IGNORE INTO "):
        return act
    return f"{act.replace('INSERT OR IGNORE INTO ', 'INSERT INTO ')} ON CONFLICT DO NOTHING"


def _numbers(table: str, column: str) -> Iterator[str]:
    """Yield what numbers rows without a gap, as SQLite does: the next after the largest."""
    name = f"{table}_number"
    largest = f"(SELECT max({column}) FROM {table})"
    yield _function(name, f"NEW.{column} := coalesce({largest}, 0) + 1; RETURN NEW;")
    where = f"BEFORE INSERT ON {table} FOR EACH ROW WHEN (NEW.{column} IS NULL)"
    yield _calling(name, where, name)


def _function(name: str, body: str) -> str:
    return (
        f"CREATE OR REPLACE FUNCTION {name}() RETURNS trigger LANGUAGE plpgsql "
        f"SET search_path = {SCHEMA} AS $$ BEGIN {body} END $$"
    )


def _calling(name: str, where: str, function: str) -> str:
    return f"CREATE TRIGGER {name} {where} EXECUTE FUNCTION {function}()"


class _Translated(Steps):
    """What a step speaks to: a server, in the words of SQLite."""

    def __init__(self, ledger: Ledger, *, is_new: bool) -> None:
        self._ledger = ledger
        self._is_new = is_new

    def execute(self, statement: str, values: Sequence[Any] = (), /) -> Iterable[Sequence[Any]]:
        if not _MOVES_ROWS.match(statement):
            for words in in_words_of_the_server(statement):
                self._ledger.execute(words)
            return ()
        # A store that is being made has no rows that a step could take over.
        if self._is_new:
            return ()
        words = statement.replace("%", "%%").replace("?", "%s") if values else statement
        done = self._ledger.execute(words, values or None)
        return done.fetchall() if done.description is not None else ()


def take_steps(ledger: Ledger, taken: int | None) -> None:
    """Take all steps that are wanting, in the running transaction of the store's owner.

    Args:
        ledger: Of the database, with the store's schema first in its search path.
        taken: How many were taken; None where there is no store.
    """
    # Here, since most commands find a store that wants no steps.
    from prepstore.ledger.server.guards import set_guards  # noqa: PLC0415
    from prepstore.ledger.server.roles import renew_rights  # noqa: PLC0415

    if taken is None:
        for words in _BEGINNING:
            ledger.execute(words)
    steps = _Translated(ledger, is_new=taken is None)
    for step in STEPS[taken or 0 :]:
        step(steps)
    # Tables that are new are guarded as well, and the roles may do with them what is theirs.
    set_guards(ledger)
    renew_rights(ledger)
    ledger.execute("UPDATE schema_steps SET taken = %s", (len(STEPS),))
    ledger.execute("DELETE FROM made_as")
    with ledger.cursor() as rows:
        rows.executemany("INSERT INTO made_as VALUES (%s, %s)", list(parts_of(ledger).items()))


_PARTS: Final = f"""
SELECT 'column ' || c.relname || '.' || a.attname,
    concat_ws(' ', format_type(a.atttypid, a.atttypmod), l.collname, a.attnotnull,
    pg_get_expr(d.adbin, d.adrelid))
FROM pg_attribute a JOIN pg_class c ON c.oid = a.attrelid AND c.relkind = 'r'
    LEFT JOIN pg_collation l ON l.oid = a.attcollation
    LEFT JOIN pg_attrdef d ON d.adrelid = c.oid AND d.adnum = a.attnum
WHERE c.relnamespace = '{SCHEMA}'::regnamespace AND a.attnum > 0 AND NOT a.attisdropped
UNION ALL SELECT 'rule ' || conrelid::regclass || '.' || conname, pg_get_constraintdef(oid)
FROM pg_constraint WHERE connamespace = '{SCHEMA}'::regnamespace AND contype <> 'n'
UNION ALL SELECT 'index ' || indexname, indexdef FROM pg_indexes WHERE schemaname = '{SCHEMA}'
UNION ALL SELECT 'trigger ' || t.tgname, pg_get_triggerdef(t.oid) || t.tgenabled::text
FROM pg_trigger t JOIN pg_class c ON c.oid = t.tgrelid
WHERE c.relnamespace = '{SCHEMA}'::regnamespace AND NOT t.tgisinternal
UNION ALL SELECT 'function ' || proname, concat_ws(' ', md5(prosrc), prosecdef, proconfig)
FROM pg_proc WHERE pronamespace = '{SCHEMA}'::regnamespace
"""


def parts_of(ledger: Ledger) -> dict[str, str]:
    """Return what each part of a store is made as: columns, rules, indexes and triggers."""
    return dict(ledger.execute(_PARTS).fetchall())
