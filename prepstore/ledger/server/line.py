"""A line to a server on which few trips are made: what can wait goes along with what cannot.

What is written is sent with the next question, or at the end. Questions that are said beforehand
(`ledger/ahead.py`) are sent in one go; each answer is kept until something is written that could
change it.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import islice
from typing import Any, Final

import psycopg
from sqlalchemy import Connection, StaticPool, create_engine
from sqlalchemy.dialects import registry

from prepstore.ledger.ahead import ASKING_AHEAD
from prepstore.ledger.schema import STEPS
from prepstore.ledger.server.connections import Ledger

Row = tuple[Any, ...]
Values = Sequence[Any] | Mapping[str, Any] | None

_WRITES: Final = re.compile(r'(?:INSERT INTO|UPDATE|DELETE FROM) "?(\w+)"?')
_ADDED_UP: Final = re.compile(r"\b(balances|containers|empty_containers)\b")
"""What triggers add up, so that any other table may change it."""

MANY: Final = 100
"""Rows in one go that are not held back, but sent as they are, prepared once."""


_HELD_BACK_AT_MOST: Final = 1000
"""Statements that are held in memory."""


_NOT_AS_ALWAYS: Final = ("42P01", "3F000", "42703", "55P03", "0A000")
"""What is said where there is no store, an older one, a turn to wait for, or only a copy."""


class NotBegunError(Exception):
    """A transaction was not begun in one go with its first question, and is to be begun first."""


@dataclass(frozen=True, slots=True)
class Answer:
    """What a server answered to one statement; no description where it gives no rows."""

    description: Sequence[Any] | None
    rows: Sequence[Row]


_NOTHING: Final = Answer(None, ())


class Line:
    """What SQLAlchemy takes for a connection."""

    def __init__(self, ledger: Ledger, beginning: str = "", *, only_reads: bool = False) -> None:
        """Speak through a connection.

        Args:
            ledger: The connection.
            beginning: What begins the transaction, and is sent with the first question; its last
                statement asks for the steps of the store. Blank where it has begun.
            only_reads: Whether nothing is to be written, so that nothing is held back.
        """
        self.ledger: Final = ledger
        self._beginning = beginning
        self._only_reads = only_reads
        self._unsent: list[str] = []
        self._answers: dict[str, Answer] = {}
        self._ahead: dict[str, None] = {}
        self._notes_only = False
        self._writer = psycopg.ClientCursor(ledger)

    def cursor(self) -> "LineCursor":
        """Return what one statement is put through."""
        return LineCursor(self)

    @property
    def closed(self) -> bool:
        """Return whether it was closed, or is lost."""
        return self.ledger.closed

    @property
    def broken(self) -> bool:
        """Return whether it is lost."""
        return self.ledger.broken

    def close(self) -> None:
        """Close it; what was not kept is undone."""
        self.ledger.close()

    @contextmanager
    def asking_ahead(self) -> Iterator[None]:
        """Note what is asked within; all of it goes along with the next question."""
        self._notes_only = True
        try:
            yield
        finally:
            self._notes_only = False

    def put(self, statement: str, values: Values) -> Answer:
        """Put a statement through: answered, or held back where nothing is to be answered.

        Raises:
            psycopg.Error: It, or something held back before it, cannot be done.
        """
        words = statement if values is None else self._writer.mogrify(statement, values)
        if self._notes_only:
            self._ahead[words] = None
            return _NOTHING
        written = _WRITES.match(words)
        if written is not None:
            self._forget(written[1])
            self._unsent.append(words)
            if self._only_reads or len(self._unsent) == _HELD_BACK_AT_MOST:
                self.flush()
            return _NOTHING
        if words not in self._answers:
            self._ask(words)
        return self._answers[words] if words in self._ahead else self._answers.pop(words)

    def _ask(self, question: str) -> None:
        """Ask a question, and those said beforehand that have no answer yet."""
        wanted = [one for one in {**self._ahead, question: None} if one not in self._answers]
        self._answers |= zip(wanted, self._send(wanted), strict=True)

    def put_many(self, statement: str, rows: Sequence[Sequence[Any]]) -> None:
        """Put a statement through for each of several rows."""
        if len(rows) <= MANY:
            for values in rows:
                self.put(statement, values)
            return
        self.flush()
        self._answers.clear()
        with self.ledger.cursor() as cursor:
            cursor.executemany(statement.encode(), rows)

    def end(self, word: str) -> None:
        """Send what was held back, and the word that ends the transaction."""
        self._send([word])

    def flush(self) -> None:
        """Send what was held back."""
        if self._unsent:
            *before, last = self._unsent
            self._unsent = before
            self._send([last])

    def _forget(self, table: str) -> None:
        """Forget the answers that a change of a table may change, until they are wanted again."""
        named = re.compile(rf"\b{table}\b")
        for question in list(self._answers):
            if named.search(question) or _ADDED_UP.search(question):
                del self._answers[question]
                self._ahead.pop(question, None)

    def _send(self, statements: Sequence[str]) -> list[Answer]:
        """Send what was held back and some statements in one go; return the answers to these."""
        going, self._unsent = [*self._unsent, *statements], []
        if self._beginning:
            beginning, self._beginning = self._beginning, ""
            return self._begin(beginning, going)[-len(statements) :]
        return self._sent(going)[-len(statements) :]

    def _begin(self, beginning: str, statements: Sequence[str]) -> list[Answer]:
        """Begin the transaction, and send the first statements of it along.

        Raises:
            NotBegunError: Something is not as it nearly always is; nothing was done.
        """
        try:
            answers = self._sent([beginning, *statements])
        except psycopg.Error as error:
            if (error.sqlstate or "") in _NOT_AS_ALWAYS:
                raise NotBegunError from error
            raise
        asked = answers[: -len(statements)]
        if asked[-1].rows != [(len(STEPS),)]:
            raise NotBegunError
        return answers

    def _sent(self, going: Sequence[str]) -> list[Answer]:
        with self.ledger.cursor() as cursor:
            cursor.execute(";\n".join(going).encode(), prepare=False)
            answers = [_answer(cursor)]
            while cursor.nextset():
                answers.append(_answer(cursor))
        return answers


def _answer(cursor: psycopg.Cursor[Row]) -> Answer:
    if cursor.description is None:
        return _NOTHING
    return Answer(cursor.description, cursor.fetchall())


class LineCursor:
    """What SQLAlchemy takes for a cursor: one statement, and its rows one after the other."""

    rowcount = -1
    """How many rows were changed is not known before they are."""

    def __init__(self, line: Line) -> None:
        self._line = line
        self._rows: Iterator[Row] = iter(())
        self.description: Sequence[Any] | None = None

    def execute(self, statement: str, values: Values = None) -> None:
        """Put a statement through."""
        answer = self._line.put(statement, values)
        self.description, self._rows = answer.description, iter(answer.rows)

    def executemany(self, statement: str, rows: Sequence[Sequence[Any]]) -> None:
        """Put a statement through for each of several rows."""
        self._line.put_many(statement, rows)

    def fetchone(self) -> Row | None:
        """Return the next row; None where there is none."""
        return next(self._rows, None)

    def fetchmany(self, size: int = 1) -> list[Row]:
        """Return the next rows, so many at most."""
        return list(islice(self._rows, size))

    def fetchall(self) -> list[Row]:
        """Return all rows that are left."""
        return list(self._rows)

    def close(self) -> None:
        """Let the rows go."""
        self._rows = iter(())


registry.register("postgresql.prepstore", "prepstore.ledger.server.dialect", "Spoken")


def over(line: Line) -> Connection:
    """Let SQLAlchemy speak through a line that is open already."""
    # With the signs that the values of many rows in one go are written with elsewhere.
    engine = create_engine(
        "postgresql+prepstore://",
        creator=lambda: line,
        poolclass=StaticPool,
        pool_reset_on_return=None,
        paramstyle="format",
        execution_options={ASKING_AHEAD: line.asking_ahead},
    )
    return engine.connect()
