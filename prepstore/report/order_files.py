"""A plan's orders, one CSV a supplier."""

import csv
import io
import re
from collections.abc import Container, Iterable
from itertools import chain, count
from pathlib import Path

from prepstore.formula_guard import guarded
from prepstore.planning.orders import OrderRow
from prepstore.planning.plan import Plan
from prepstore.report.wording import money_in_words
from prepstore.whole_file import make_folder, write_whole

_HEADINGS = (
    "supplier", "pack", "item", "size", "packs", "price", "cost", "currency",
    "needed_by", "order_by", "late", "stops",
)  # fmt: skip


def write_orders(plan: Plan, folder: Path) -> dict[Path, list[OrderRow]]:
    """Write one CSV a supplier that has anything to deliver; return the files with their rows.

    Raises:
        OSError: The folder cannot be written.
    """
    by_supplier: dict[str, list[OrderRow]] = {}
    for row in plan.orders:
        by_supplier.setdefault(row.offer.supplier.supplier, []).append(row)
    make_folder(folder)
    files: dict[Path, list[OrderRow]] = {}
    for supplier, rows in sorted(by_supplier.items()):
        file = _file_for(supplier, folder, files)
        write_whole(file, _csv_of(plan, rows).encode("utf-8"))
        files[file] = rows
    return files


def _file_for(supplier: str, folder: Path, taken: Container[Path]) -> Path:
    """Return a file of its own for a supplier, whatever signs its name has."""
    plain_name = re.sub(r"\W+", "-", supplier.casefold()).strip("-")[:60] or "supplier"
    names = chain([plain_name], (f"{plain_name}-{number}" for number in count(2)))
    return next(file for name in names if (file := folder / f"order-{name}.csv") not in taken)


def _csv_of(plan: Plan, rows: Iterable[OrderRow]) -> str:
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(_HEADINGS)
    for row in rows:
        pack = row.offer.pack
        writer.writerow(
            [
                guarded(row.offer.supplier.supplier),
                guarded(pack.pack),
                guarded(plan.label(row.name)),
                str(pack.size),
                row.packs,
                money_in_words(row.price, None),
                money_in_words(row.cost, None),
                guarded(plan.catalogue.settings.currency or ""),
                row.needed_by or "",
                row.order_by or "",
                "late" if row.is_late else "",
                guarded("; ".join(work.session.session for work in row.stops)),
            ]
        )
    return text.getvalue()
