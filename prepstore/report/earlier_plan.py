"""An earlier plan's JSON, read back to the figures that people acted on."""

import json
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

from prepstore.cell_types import NOT_ASSIGNED
from prepstore.planning.changes import Figures
from prepstore.report.errors import ReportError
from prepstore.report.plan_json import CONTRACT

_LARGEST_BYTES = 256 * 1024 * 1024


def read_earlier_plan(path: Path) -> Figures:
    """Return the figures of a plan that was written with `--json`.

    Raises:
        ReportError: The file is not there, or is no such plan.
    """
    try:
        if path.stat().st_size > _LARGEST_BYTES:
            raise _no_plan(path, "is larger than any plan")
        rows = json.loads(path.read_text(encoding="utf-8"), parse_float=Decimal)
    except OSError as error:
        raise _no_plan(path, f"cannot be read ({error.strerror})") from error
    except (ValueError, RecursionError) as error:
        raise _no_plan(path, "is not JSON") from error
    if not isinstance(rows, dict) or rows.get("contract") != CONTRACT:
        raise _no_plan(path, "is not a plan that this version reads")
    try:
        return _figures(rows)
    except (KeyError, TypeError, ValueError, ArithmeticError) as error:
        raise _no_plan(path, "lacks what a plan holds") from error


def _no_plan(path: Path, what: str) -> ReportError:
    return ReportError(f"{path} {what}. Give a file that prepstore plan --json wrote.")


def _figures(rows: dict[str, Any]) -> Figures:
    batches: dict[tuple[str, date], Decimal] = {}
    for batch in rows["making_up"]:
        key = (str(batch["solution"]), date.fromisoformat(batch["make_on"]))
        batches[key] = batches.get(key, Decimal(0)) + Decimal(batch["volume_mL"])
    return Figures(
        first=date.fromisoformat(rows["period"]["from"]),
        last=date.fromisoformat(rows["period"]["to"]),
        students={str(row["session"]): int(row["students"]) for row in rows["sessions"]},
        benches={
            (str(one["session"]), str(row["item"])): Decimal(one["amount"])
            for row in rows["needs"]
            for one in row["by_session"]
        },
        batches=batches,
        short={str(row["item"]): Decimal(row["short"]) for row in rows["stock"] if row["short"]},
        packs={(str(row["pack"]), str(row["item"])): int(row["packs"]) for row in rows["orders"]},
        containers={
            str(row["stream"]): int(row["containers"])
            for row in rows["waste"]
            if row["stream"] != NOT_ASSIGNED
        },
        units={str(row["item"]): str(row["unit"]) for row in rows["needs"]},
    )
