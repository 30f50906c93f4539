"""What a server refuses that no right of a table can say, whoever asks and with what program.

A recorder writes rows of lots, sessions and orders; each of them must say what was recorded in the
same transaction. What was recorded belongs to an entry of the same transaction, which bears the
name of who is logged in. A store's owner can take all of this away, and nobody else.
"""

from collections.abc import Iterator, Mapping
from typing import Final

from prepstore.ledger.kept_rows import HISTORY_TABLES
from prepstore.ledger.server.connections import SCHEMA, Ledger
from prepstore.ledger.server.rights import ADD_UP

_IS_OWNER: Final = (
    f"pg_has_role(session_user, (SELECT nspowner FROM pg_namespace WHERE nspname = '{SCHEMA}'), "
    "'MEMBER')"
)
_IS_KEEPER: Final = f"has_table_privilege(session_user, '{SCHEMA}.settings', 'UPDATE')"
_IS_OF_NOW: Final = "xmin = pg_current_xact_id()::xid"
"""Whether a row was written in the running transaction."""


def _refuse(words: str, wanted: str) -> str:
    """Return what refuses in these words, and says in its hint which role is wanted."""
    return f"RAISE EXCEPTION '{words}' USING ERRCODE = 'insufficient_privilege', HINT = '{wanted}'"


_SAME_ORDER: Final = (
    'due = one.due AND lower(pack COLLATE "default") = lower(one.pack COLLATE "default") AND '
    "lower(coalesce(reference, '') COLLATE \"default\") = "
    "lower(coalesce(one.reference, '') COLLATE \"default\")"
)

_FUNCTIONS: Final[Mapping[str, str]] = {
    "of_own_entry": f"""
BEGIN
    IF EXISTS (SELECT FROM entries WHERE entry = NEW.entry AND {_IS_OF_NOW}) OR {_IS_OWNER} THEN
        RETURN NEW;
    END IF;
    {_refuse("what was recorded before is not added to", "owner")};
END""",
    "next_entry": f"""
BEGIN
    IF NEW.entry = (SELECT coalesce(max(entry), 0) + 1 FROM entries) OR {_IS_OWNER} THEN
        RETURN NEW;
    END IF;
    {_refuse("entries are numbered without a gap", "owner")};
END""",
    "opened_by_a_keeper": f"""
BEGIN
    IF {_IS_KEEPER} THEN
        RETURN NEW;
    END IF;
    {_refuse("opening amounts come with a load", "keeper")};
END""",
    # Who records a delivery also undoes it, and may bring back what was undone.
    "ordered_by_a_keeper": f"""
BEGIN
    IF {_IS_KEEPER} OR NEW.what = 'arrived' OR NEW.what = 'undone' AND EXISTS (
        SELECT FROM order_changes AS was WHERE was.order_change = NEW.reverses
            AND (was.packs, was.pack, was.due, was.reference)
            = (-NEW.packs, NEW.pack, NEW.due, NEW.reference)
    ) AND EXISTS (
        WITH RECURSIVE back (number) AS (
            SELECT NEW.reverses
            UNION SELECT reverses FROM order_changes JOIN back ON order_change = number
        ) SELECT FROM order_changes JOIN back ON order_change = number WHERE what = 'arrived'
    ) THEN
        RETURN NEW;
    END IF;
    {_refuse("orders are placed and changed by a keeper", "keeper")};
END""",
    "order_as_recorded": f"""
DECLARE
    one RECORD := CASE TG_OP WHEN 'DELETE' THEN OLD ELSE NEW END;
    recorded BIGINT;
    held BIGINT;
BEGIN
    IF {_IS_KEEPER} THEN
        RETURN NULL;
    END IF;
    SELECT coalesce(sum(packs), 0) INTO recorded FROM order_changes WHERE {_SAME_ORDER};
    SELECT coalesce(sum(packs::bigint), 0) INTO held FROM on_order WHERE {_SAME_ORDER};
    IF recorded <> held OR held < 0 THEN
        {_refuse("what is on order follows what is recorded of it", "keeper")};
    END IF;
    RETURN NULL;
END""",
    "lot_as_recorded": f"""
BEGIN
    IF NOT {_IS_KEEPER} AND NOT EXISTS (
        SELECT FROM balances WHERE {_IS_OF_NOW} AND lot IN
            (split_part(NEW.key, E'\\x1f', 1), split_part(OLD.key, E'\\x1f', 1))
    ) THEN
        {_refuse("a row of a lot changes with what is recorded of it", "keeper")};
    END IF;
    RETURN NULL;
END""",
    "session_as_recorded": f"""
DECLARE
    was JSONB := coalesce(to_jsonb(OLD), '{{}}');
    now JSONB := coalesce(to_jsonb(NEW), '{{}}');
    change timetable_changes;
BEGIN
    IF {_IS_KEEPER} THEN
        RETURN NULL;
    END IF;
    SELECT * INTO change FROM timetable_changes
        WHERE {_IS_OF_NOW} ORDER BY timetable_change DESC LIMIT 1;
    IF TG_OP <> 'UPDATE' THEN
        was := was - 'key' - 'position';
        now := now - 'key' - 'position';
    END IF;
    IF change IS NULL OR coalesce(was ->> change.changed, '') <> change.was
        OR coalesce(now ->> change.changed, '') <> change.now
        OR jsonb_strip_nulls(was - change.changed) <> jsonb_strip_nulls(now - change.changed)
        OR lower(coalesce(was ->> 'session', now ->> 'session', change.session))
            <> lower(change.session)
    THEN
        {_refuse("a row of the timetable changes with what is recorded of it", "keeper")};
    END IF;
    RETURN NULL;
END""",
    "steps_by_the_owner": f"""
BEGIN
    IF NOT {_IS_OWNER} THEN
        {_refuse("steps are taken by the owner", "owner")};
    END IF;
    RETURN NULL;
END""",
}

_CALLED: Final[Mapping[tuple[str, str], str]] = {
    **{
        (table, "of_own_entry"): "BEFORE INSERT ON {} FOR EACH ROW"
        for table in HISTORY_TABLES
        if table != "entries"
    },
    ("entries", "next_entry"): "BEFORE INSERT ON {} FOR EACH ROW",
    **{
        (table, "opened_by_a_keeper"): (
            "BEFORE INSERT ON {} FOR EACH ROW WHEN (NEW.what = 'opening amount')"
        )
        for table in ("movements", "container_changes")
    },
    ("order_changes", "ordered_by_a_keeper"): "BEFORE INSERT ON {} FOR EACH ROW",
    ("order_changes", "order_as_recorded"): "AFTER INSERT ON {} DEFERRABLE INITIALLY DEFERRED",
    ("on_order", "order_as_recorded"): (
        "AFTER INSERT OR UPDATE OR DELETE ON {} DEFERRABLE INITIALLY DEFERRED"
    ),
    ("stock", "lot_as_recorded"): "AFTER INSERT OR UPDATE ON {} DEFERRABLE INITIALLY DEFERRED",
    ("timetable", "session_as_recorded"): "AFTER INSERT OR UPDATE OR DELETE ON {} FOR EACH ROW",
    ("schema_steps", "steps_by_the_owner"): (
        "BEFORE UPDATE OR DELETE OR TRUNCATE ON {} FOR EACH STATEMENT"
    ),
}
"""Of which table each function is asked, and when; what is deferred is asked before it is kept."""


def _statements() -> Iterator[str]:
    for name, body in _FUNCTIONS.items():
        yield f"CREATE OR REPLACE FUNCTION {name}() RETURNS trigger LANGUAGE plpgsql AS $${body}$$"
    for (table, name), moment in _CALLED.items():
        trigger, where = f"{table}_{name}", moment.format(table)
        is_deferred = where.endswith("DEFERRED")
        kind, rows = ("CONSTRAINT TRIGGER", " FOR EACH ROW") if is_deferred else ("TRIGGER", "")
        yield f"DROP TRIGGER IF EXISTS {trigger} ON {table}"
        yield f"CREATE {kind} {trigger} {where}{rows} EXECUTE FUNCTION {name}()"
    yield "ALTER TABLE entries ALTER COLUMN database_user SET DEFAULT session_user"


def set_guards(ledger: Ledger) -> None:
    """Make what guards a store, or make it anew, in the running transaction.

    Args:
        ledger: Of the database, with the store's schema first in its search path, and of its owner.
    """
    for words in _statements():
        ledger.execute(words)
    names = f"SELECT proname FROM pg_proc WHERE pronamespace = '{SCHEMA}'::regnamespace"
    for (name,) in ledger.execute(f"{names} AND proname <> 'is_day'").fetchall():
        # Else a table that somebody makes for a while would stand before the store's.
        ledger.execute(f'ALTER FUNCTION "{name}"() SET search_path = {SCHEMA}, pg_temp')
    for name in ADD_UP:
        ledger.execute(f"ALTER FUNCTION {name}() SECURITY DEFINER")
