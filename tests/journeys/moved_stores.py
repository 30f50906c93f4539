"""Whether a store that was moved by way of tables is the same, row for row, word for word."""

from pathlib import Path
from typing import Any

from typer.testing import CliRunner

from prepstore.cli.main import app
from prepstore.columns import TABLES
from prepstore.ledger.place import Place
from tests.conftest import Places
from tests.past_our_code import answered

WEEK = ("--week", "2027-W05", "--today", "2027-01-25")
NUMBERED = (
    "entries",
    "movements",
    "session_uses",
    "order_changes",
    "name_changes",
    "timetable_changes",
    "balances",
    "container_changes",
    "label_changes",
    "containers",
    "empty_containers",
)
_TYPED = {
    ("stock", "amount"),
    ("waste_streams", "part_full"),
    ("waste_streams", "empty_containers"),
}
LISTS: tuple[tuple[str, ...], ...] = (
    ("stock", "history", "--all"),
    ("stock", "history", "--json"),
    ("stock", "list", "--json"),
    ("order", "history", "--json"),
    ("stock", "names"),
    ("stock", "usage", "--json"),
)


def said(store: Place, *words: str) -> tuple[int, str]:
    """Return a command's exit code and all that it says of a store, whatever the store's name."""
    result = CliRunner().invoke(app, ["--db", str(store), *words])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.output
    return result.exit_code, result.output.replace(str(store), "STORE")


def done(store: Place, *words: str) -> str:
    """Return what a command that must succeed says."""
    code, text = said(store, *words)
    assert code == 0, text
    return text


def content(store: Place) -> dict[str, list[tuple[Any, ...]]]:
    """Return every row of a store by table; rows of a set in their order, without its numbers.

    Of lots and waste streams without the words in which their amounts were typed once: these tell
    nothing, and the lists that are compared beside say what they hold.
    """
    found = {table: answered(store, f"SELECT * FROM {table} ORDER BY 1") for table in NUMBERED}
    for table in TABLES:
        told = [column for column in TABLES[table].columns if (table, column) not in _TYPED]
        of_lots = ("gone",) if table == "stock" else ()
        cells = ", ".join(f'"{column}"' for column in ("key", *told, *of_lots))
        found[table] = answered(store, f"SELECT {cells} FROM {table} ORDER BY position")
    return found


def texts(folder: Path) -> dict[str, bytes]:
    """Return the bytes of each file of a folder."""
    return {file.name: file.read_bytes() for file in sorted(folder.iterdir())}


def assert_moves(
    store: Place, folder: Path, into: Places | None = None, *, week: tuple[str, ...] = WEEK
) -> None:
    """Export a store with its history as a folder and as a workbook, load each, compare.

    Each is loaded into a file, unless it is said into what.
    """
    done(store, "export", str(folder / "out"), "--history")
    done(store, "export", str(folder / "out.xlsx"), "--history")
    for name in ("out", "out.xlsx"):
        other = into(f"{name}.db") if into is not None else folder / f"{name}.db"
        done(other, "load", str(folder / name))
        assert content(other) == content(store)
        assert done(other, "check") == done(store, "check")
        done(other, "export", str(folder / f"{name}-again"), "--history")
        assert texts(folder / f"{name}-again") == texts(folder / "out")
    for words in (*LISTS, ("plan", *week, "--json", "-")):
        assert said(other, *words) == said(store, *words), words


def assert_undoes_alike(store: Place, other: Place) -> None:
    """Try to undo every entry of two equal stores, and hold what is said side by side."""
    for (entry,) in answered(store, "SELECT entry FROM entries ORDER BY entry"):
        words = ("stock", "undo", str(entry), "--dry-run")
        assert said(other, *words) == said(store, *words), entry
