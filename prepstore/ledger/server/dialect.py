"""How SQLAlchemy speaks to a server: without questions of its own, which each cost a trip."""

from typing import Any

from sqlalchemy import Connection
from sqlalchemy.dialects.postgresql.psycopg import PGDialect_psycopg


class Spoken(PGDialect_psycopg):
    """SQLAlchemy's words for PostgreSQL; transactions are begun and ended by us alone."""

    supports_statement_cache = True

    def initialize(self, connection: Connection) -> None:
        """Ask nothing: what would be asked is known, or not used."""

    def on_connect(self) -> None:
        """Do nothing: what a server remarks is told to nobody."""

    def do_begin(self, dbapi_connection: Any) -> None:  # noqa: ANN401 - as SQLAlchemy has it
        """Begin nothing."""

    def do_commit(self, dbapi_connection: Any) -> None:  # noqa: ANN401
        """End nothing."""

    def do_rollback(self, dbapi_connection: Any) -> None:  # noqa: ANN401
        """End nothing; to close the connection undoes what is not kept."""
