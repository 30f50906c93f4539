"""Stores on a server, kept by PostgreSQL; imported only for the address of one."""

from prepstore.ledger.errors import StoreError

try:
    import psycopg  # noqa: F401 - only whether it can be
except ImportError as error:
    raise StoreError(
        "A store on a server needs a part that is not installed. Install it with: "
        "pip install 'prepstore[server]'"
    ) from error
