"""Who may write which table of a store on a server, stated once; all may read every table."""

from collections.abc import Mapping
from dataclasses import dataclass
from hashlib import sha256
from typing import Final

from prepstore.columns import TABLES
from prepstore.ledger.kept_rows import HISTORY_TABLES
from prepstore.ledger.role import Role

_LONGEST_NAME: Final = 63
"""Bytes that a name has at most in PostgreSQL."""


@dataclass(frozen=True, slots=True)
class Writing:
    """What of a table a recorder and a keeper may write, in words of SQL; blank: nothing."""

    recorder: str = ""
    keeper: str = ""

    def of(self, role: Role) -> str:
        """Return what a role may write."""
        return {Role.RECORDER: self.recorder, Role.KEEPER: self.keeper}.get(role, "")


_ROWS: Final = "INSERT, UPDATE, DELETE"
_BY_THE_SERVER: Final = ("database_user",)
"""Columns of what is recorded that the server fills in, so that nobody else may."""

_CELLS_OF_LOTS: Final = tuple(
    column for column in ("key", "gone", *TABLES["stock"].columns) if column != "item"
)
"""What a booking changes of a lot's row; what is in the lot stays."""


def _added(table: str) -> str:
    """Return the right to add to what is recorded; numbers are given by the table itself."""
    number, *columns = (column.name for column in HISTORY_TABLES[table].c)
    if table == "entries":
        columns = [number, *columns]
    return f"INSERT ({_named(*(one for one in columns if one not in _BY_THE_SERVER))})"


def _named(*columns: str) -> str:
    return ", ".join(f'"{column}"' for column in columns)


WRITING: Final[Mapping[str, Writing]] = {
    **dict.fromkeys(TABLES, Writing(keeper=_ROWS)),
    # What stands in a row must also be recorded: see `guards`.
    "stock": Writing(f"INSERT, UPDATE ({_named(*_CELLS_OF_LOTS)})", _ROWS),
    "timetable": Writing(_ROWS, _ROWS),
    "on_order": Writing(f"INSERT, UPDATE ({_named('packs')}), DELETE", _ROWS),
    **{table: Writing(_added(table), _added(table)) for table in HISTORY_TABLES},
    "name_changes": Writing(keeper=_added("name_changes")),
    # Added up by triggers alone.
    "balances": Writing(),
    "containers": Writing(),
    "empty_containers": Writing(),
    # Who writes locks it, which needs this right; a trigger keeps its row from being changed.
    "schema_steps": Writing("UPDATE", "UPDATE"),
    "made_as": Writing(),
}
"""Every table of a store, and who may write what of it beside the owner."""

CALLED_BY_CHECKS: Final = ("is_day",)
"""Functions that whoever writes calls without knowing it, since rules of tables do."""

ADD_UP: Final = ("movements_keep_balances", "container_changes_keep_sums")
"""Functions that write what nobody else may, with the owner's rights."""


def wanted_for(table: str) -> Role:
    """Return the least role that may write something of a table."""
    writing = WRITING.get(table, Writing())
    if writing.recorder:
        return Role.RECORDER
    return Role.KEEPER if writing.keeper else Role.OWNER


def role_name(database: str, role: Role) -> str:
    """Return what a role is called: of one database, since a server's roles are of all.

    >>> role_name("prep", Role.READER)
    'prepstore_prep_reader'
    """
    name = f"prepstore_{database}_{role.value}"
    if len(name.encode()) <= _LONGEST_NAME:
        return name
    digest = sha256(database.encode()).hexdigest()[:12]
    return f"prepstore_{database[:8]}_{digest}_{role.value}"
