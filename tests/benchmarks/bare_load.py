"""What a load is measured by: the csv reader and one `executemany` a table, nothing checked.

    python tests/benchmarks/bare_load.py FOLDER STORE

The store is made by the same steps and kept by the same settings as one of `prepstore load`; with a
STORE that is there already its rows are replaced.
"""

import csv
import sys
from pathlib import Path

from sqlalchemy import URL, Connection, column, create_engine, delete, insert, table

from prepstore.ledger.store_file import bring_up_to_date


def load(folder: Path, store: Path) -> int:
    """Put every row of a folder of CSV files into a store; return how many."""
    bring_up_to_date(store, may_begin=True)
    engine = create_engine(URL.create("sqlite", database=str(store)))
    with engine.connect() as connection:
        connection.exec_driver_sql("PRAGMA journal_mode = WAL")
        connection.exec_driver_sql("PRAGMA synchronous = FULL")
    with engine.begin() as connection:
        return sum(_load_table(connection, file) for file in sorted(folder.glob("*.csv")))


def _load_table(connection: Connection, file: Path) -> int:
    with file.open(encoding="utf-8", newline="") as text:
        reader = csv.reader(text)
        header = next(reader)
        rows = [dict(zip(header, cells, strict=True)) for cells in reader]
    into = table(file.stem, *map(column, header))
    connection.execute(delete(into))
    connection.execute(insert(into), rows)
    return len(rows)


if __name__ == "__main__":
    print(load(Path(sys.argv[1]), Path(sys.argv[2])), "rows")  # noqa: T201 - a report
