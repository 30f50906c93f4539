"""Stores on a server, kept by PostgreSQL."""

import random
import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass
from typing import Final

import psycopg
from psycopg import sql
from sqlalchemy import Connection
from sqlalchemy.exc import DBAPIError

from prepstore.ledger.errors import NewerStoreError, NotAStoreError, StoreError
from prepstore.ledger.keeper import Result
from prepstore.ledger.place import ServerPlace
from prepstore.ledger.role import Role
from prepstore.ledger.schema import STEPS
from prepstore.ledger.server.connections import SCHEMA, Ledger, connected
from prepstore.ledger.server.line import Line, NotBegunError, over
from prepstore.ledger.server.sentences import (
    MAY_ONLY_BE_READ,
    PERHAPS,
    at_the_door,
    code_of,
    is_lost,
    reason_of,
    sentences,
)
from prepstore.ledger.server.steps import take_steps
from prepstore.ledger.teller import TOLD_BY

WAIT_SECONDS: Final = 30
"""How long one waits for others, whose turn takes a moment each."""

_SILENT_SECONDS: Final = 2
_LONGEST_PAUSE_SECONDS: Final = 0.2

_CAME_BETWEEN: Final = ("40001", "40P01")
"""What PostgreSQL says where somebody else came in between, so that all has to be done again."""

_NO_SUCH_TABLE: Final = ("42P01", "3F000")
_NOT_ALLOWED: Final = "42501"
_NOT_YET_MY_TURN: Final = "55P03"
_NOT_ON_A_COPY: Final = "0A000"
"""What PostgreSQL says where a server follows another one, and is asked to write."""

_MAKING: Final = 0x70726570
"""What one locks who makes a store or takes its steps (the letters prep)."""

_PLACED: Final = f"SET LOCAL search_path = {SCHEMA}, pg_temp"
_STEPS: Final = f"SELECT taken FROM {SCHEMA}.schema_steps"
# What is done before the first question goes with it: each by itself would be a trip.
_TO_READ: Final = f"BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY; {_PLACED}; {_STEPS}"
# Not `pg_advisory_xact_lock`, which sees the store as it was before one waited.
_TO_WRITE: Final = (
    f"BEGIN ISOLATION LEVEL SERIALIZABLE; {_PLACED}; SET LOCAL lock_timeout = '{{seconds}}s'; "
    "SET LOCAL idle_in_transaction_session_timeout = '5min'; "
    # By its schema, since one that may not look into it is else told that there is no such table.
    f"LOCK TABLE {SCHEMA}.schema_steps IN SHARE ROW EXCLUSIVE MODE; "
    f"SET LOCAL lock_timeout = '{WAIT_SECONDS}s'; {_STEPS}"
)


@dataclass(frozen=True, slots=True)
class _Found:
    """What there is in a database: how many steps its store has had, or no store.

    And who owns it, and whether one may act as that owner.
    """

    steps: int | None
    has_others: bool
    encoding: str
    is_copy: bool
    owner: str
    is_mine: bool


@dataclass(frozen=True, slots=True)
class ServerKeeper:
    """Keeps the store of one database; it is a `Keeper`."""

    place: ServerPlace

    def is_there(self) -> bool:
        """Return whether there is a store, or anything else in its place."""
        with sentences(self.place), self._connected() as ledger:
            found = _found(ledger)
        return found.steps is not None or found.has_others

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """Open the store to read it, in one state however long that takes."""
        with sentences(self.place), self._connected() as ledger:
            steps = _begun(ledger, _TO_READ)
            if steps != len(STEPS):
                ledger.execute("ROLLBACK")
                self._refuse_where_there_is_none(ledger)
                with self._making(ledger):
                    pass
                _begun(ledger, _TO_READ)
            with closing(over(Line(ledger, only_reads=True))) as connection:
                yield connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """Open the store, made if need be, for one transaction: all of it or nothing is kept."""
        with sentences(self.place), self._transaction() as connection:
            yield connection

    def all_or_nothing(
        self, act: Callable[[Connection], Result], *, may_make: bool = True
    ) -> Result:
        """Do something in one transaction, and again where somebody else came in between."""
        begun = time.monotonic()
        with sentences(self.place):
            with suppress(NotBegunError):
                return self._in_one_go(act)
            while True:
                try:
                    with self._transaction(may_make=may_make) as connection:
                        result = act(connection)
                except (psycopg.Error, DBAPIError) as error:
                    is_late = time.monotonic() - begun > WAIT_SECONDS
                    if code_of(error) not in _CAME_BETWEEN or is_late:
                        raise
                else:
                    return result
                # Each after another while, so that two do not meet again.
                time.sleep(random.uniform(0, _LONGEST_PAUSE_SECONDS))

    def make_roles(self) -> Mapping[Role, str]:
        """Make the roles of the database, and the store if need be; return their names."""
        from prepstore.ledger.server.roles import make_roles  # noqa: PLC0415 - of one command

        with sentences(self.place), self._connected() as ledger:
            with self._making(ledger):
                pass
            ledger.execute("SELECT pg_advisory_lock(%s)", (_MAKING,))
            ledger.execute(f"BEGIN ISOLATION LEVEL SERIALIZABLE; {_PLACED}")
            names = make_roles(ledger, _found(ledger).owner)
            self._keep(Line(ledger))
        return names

    def _in_one_go(self, act: Callable[[Connection], Result]) -> Result:
        """Do something in a transaction that is begun with its first question: a trip less.

        Raises:
            NotBegunError: It is not as it nearly always is, or somebody else came in between.
        """
        with self._connected() as ledger:
            line = Line(ledger, _TO_WRITE.format(seconds=_SILENT_SECONDS))
            try:
                with closing(over(line)) as connection:
                    result = act(connection)
                    self._keep(line)
            except (psycopg.Error, DBAPIError) as error:
                if code_of(error) in _CAME_BETWEEN:
                    raise NotBegunError from error
                raise
            return result

    @contextmanager
    def _connected(self) -> Iterator[Ledger]:
        with at_the_door(self.place):
            ledger = connected(self.place)
        # To close it undoes what is not kept.
        with closing(ledger):
            try:
                yield ledger
            except (psycopg.Error, DBAPIError) as error:
                if code_of(error) != _NOT_ALLOWED:
                    raise
                from prepstore.ledger.server.roles import beyond_role  # noqa: PLC0415 - seldom

                raise beyond_role(self.place, ledger, error) from None

    def _wants_steps(self, found: _Found) -> bool:
        """Return whether a store is older than this version, or is to be made.

        Raises:
            NotAStoreError, NewerStoreError: It is another program's database, or a newer store.
        """
        if found.steps is None and found.has_others:
            raise NotAStoreError(str(self.place))
        if found.steps is not None and found.steps > len(STEPS):
            raise NewerStoreError(str(self.place))
        return found.steps is None or found.steps < len(STEPS)

    @contextmanager
    def _transaction(self, *, may_make: bool = True) -> Iterator[Connection]:
        with self._connected() as ledger:
            steps = self._steps_at_my_turn(ledger)
            if steps != len(STEPS):
                ledger.execute("ROLLBACK")
                if not may_make:
                    self._refuse_where_there_is_none(ledger)
                with self._made(ledger, may_make=steps is None) as connection:
                    yield connection
                return
            line = Line(ledger)
            with closing(over(line)) as connection:
                yield connection
                self._keep(line)

    def _refuse_where_there_is_none(self, ledger: Ledger) -> None:
        """Refuse to go on where there is no store, nor anything else.

        Raises:
            StoreError: There is none.
            NotAStoreError, NewerStoreError: It is another program's database, or a newer store.
        """
        found = _found(ledger)
        if found.steps is None and not found.has_others:
            raise StoreError(
                f"There is no store at {self.place}. Make one with: prepstore load "
                "FOLDER_OR_WORKBOOK"
            )
        self._wants_steps(found)

    def _steps_at_my_turn(self, ledger: Ledger) -> int | None:
        """Begin to write once nobody else does; return the steps of the store; None without one."""
        for seconds in (_SILENT_SECONDS, WAIT_SECONDS):
            try:
                return _begun(ledger, _TO_WRITE.format(seconds=seconds))
            except psycopg.Error as error:
                if code_of(error) == _NOT_ON_A_COPY:
                    raise StoreError(MAY_ONLY_BE_READ.format(place=self.place)) from None
                if code_of(error) != _NOT_YET_MY_TURN or seconds == WAIT_SECONDS:
                    raise
                ledger.execute("ROLLBACK")
                TOLD_BY.get()(
                    f"{self.place} is in use by somebody else. Waiting until it is free, at most "
                    f"{WAIT_SECONDS} seconds; press Ctrl-C to stop waiting."
                )
        raise AssertionError  # the last one returns or raises

    @contextmanager
    def _made(self, ledger: Ledger, *, may_make: bool) -> Iterator[Connection]:
        """Make a store and write it in one transaction, or bring an older one up to date first."""
        if may_make:
            line = Line(ledger)
            with self._making(ledger, is_new=True), closing(over(line)) as connection:
                yield connection
                line.flush()
            return
        with self._making(ledger):
            pass
        with self._transaction() as connection:
            yield connection

    @contextmanager
    def _making(self, ledger: Ledger, *, is_new: bool = False) -> Iterator[None]:
        """Take the steps that are wanting, alone, in one transaction with what is done within."""
        ledger.execute(f"SET lock_timeout = '{WAIT_SECONDS}s'")
        ledger.execute("SELECT pg_advisory_lock(%s)", (_MAKING,))
        found = _found(ledger)
        if found.is_copy:
            raise StoreError(MAY_ONLY_BE_READ.format(place=self.place))
        if self._wants_steps(found) or is_new:
            self._refuse_what_cannot_be_made(found, is_new=is_new)
            ledger.execute(f"BEGIN ISOLATION LEVEL SERIALIZABLE; {_PLACED}")
            # So that all belongs to one, also where an administrator is at work.
            ledger.execute(sql.SQL("SET LOCAL ROLE {}").format(sql.Identifier(found.owner)))
            take_steps(ledger, found.steps)
            yield
            self._keep(Line(ledger))
        else:
            yield
        ledger.execute("SELECT pg_advisory_unlock(%s)", (_MAKING,))

    def _refuse_what_cannot_be_made(self, found: _Found, *, is_new: bool) -> None:
        if is_new and found.steps is not None:
            raise StoreError(
                f"Somebody else made {self.place} in the meantime, so nothing of this was saved. "
                "Run it again."
            )
        if found.steps is not None and not found.is_mine:
            raise StoreError(
                f"The store at {self.place} was made by an older prepstore than this one. Ask "
                f"{found.owner}, who owns it, to bring it up to date: prepstore check. Until then "
                "go on with the older prepstore."
            )
        if found.encoding != "UTF8":
            raise StoreError(
                f"The database {self.place} keeps text as {found.encoding}, which has not all "
                "signs. Have a database made that keeps it as UTF8."
            )

    def _keep(self, line: Line) -> None:
        try:
            line.end("COMMIT")
        except psycopg.Error as error:
            if not is_lost(error):
                raise
            reason = reason_of(self.place, error)
            raise StoreError(PERHAPS.format(place=self.place, reason=reason)) from None


_WHAT_IS_THERE: Final = f"""
SELECT EXISTS (SELECT FROM pg_tables WHERE schemaname = '{SCHEMA}' AND tablename = 'schema_steps'),
    EXISTS (SELECT FROM pg_tables WHERE schemaname NOT IN ('pg_catalog', 'information_schema')),
    current_setting('server_encoding'), pg_is_in_recovery(),
    pg_get_userbyid(owner)::text, pg_has_role(owner, 'MEMBER')
FROM (SELECT coalesce((SELECT nspowner FROM pg_namespace WHERE nspname = '{SCHEMA}'), datdba)
    FROM pg_database WHERE datname = current_database()) AS owned (owner)
"""


def _begun(ledger: Ledger, words: str) -> int | None:
    """Begin a transaction; return how many steps its store has had, None where there is none."""
    try:
        answers = ledger.execute(words, prepare=False)
    except psycopg.Error as error:
        if code_of(error) not in _NO_SUCH_TABLE:
            raise
        return None
    while answers.nextset():
        pass
    ((steps,),) = answers.fetchall()
    return int(steps)


def _found(ledger: Ledger) -> _Found:
    is_there, *rest = ledger.execute(_WHAT_IS_THERE).fetchall()[0]
    steps = None
    if is_there:
        ((steps,),) = ledger.execute(_STEPS).fetchall()
    return _Found(steps, *rest)
