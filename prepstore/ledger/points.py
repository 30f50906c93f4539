"""A point within a transaction to which one goes back where something is refused."""

from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy import Connection, text


@contextmanager
def going_back(connection: Connection) -> Iterator[None]:
    """Undo what is done within where it ends with an exception; what was done before stays."""
    connection.execute(text("SAVEPOINT before_it"))
    try:
        yield
    except Exception:
        connection.execute(text("ROLLBACK TO SAVEPOINT before_it"))
        raise
    connection.execute(text("RELEASE SAVEPOINT before_it"))
