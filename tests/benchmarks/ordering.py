"""Orders as one decision beside orders item by item, and a term of many items, in one run.

    python tests/benchmarks/ordering.py

A week in which 300 items are short, from 8 suppliers with 3 packs each; and 12 weeks of them.
Seconds are shown, the gap says how far from the least cost the orders may be.
"""

import json
import random
import sys
import tempfile
from datetime import date, timedelta
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from tests.benchmarks.ratios import PREPSTORE, spend  # noqa: E402 - after the path

ITEMS = 300
WEEKS = 12
SESSIONS_A_WEEK = 40
PRACTICALS = 40
LINES = 25
MONDAY = date(2027, 1, 11)
PLANNED_ON = "2027-01-04"


def department(seed: int = 3) -> dict[str, str]:
    """Return tables as CSV text: nearly nothing is there, so that all items are short."""
    chance = random.Random(seed)
    suppliers = "ABCDEFGH"
    packs = []
    for item in range(ITEMS):
        price = chance.uniform(3, 30)
        for size, times in ((500, 1.0), (1000, 1.8), (2500, 4.0)):
            of_one = price * times * chance.uniform(0.9, 1.15)
            by = chance.choice(suppliers)
            packs.append(f"P{item}-{size},item {item},{by},{size} mL,{of_one:.2f}")
    lines = [
        f"P{number},item {(number * 13 + line * 7) % ITEMS},{chance.randint(5, 60)} mL,group"
        for number in range(PRACTICALS)
        for line in range(LINES)
    ]
    sessions = [
        f"W{week}S{number},P{(week * 11 + number) % PRACTICALS},"
        f"{MONDAY + timedelta(weeks=week, days=number % 5)},{chance.randint(10, 30)}"
        for week in range(WEEKS)
        for number in range(SESSIONS_A_WEEK)
    ]
    return {
        "items": _csv("item,kind,unit", [f"item {item},solvent,mL" for item in range(ITEMS)]),
        "suppliers": _csv(
            "supplier,lead_days,delivery_charge,minimum_order",
            [
                f"{name},{chance.randint(1, 5)},{chance.choice([5, 8, 12.5, 20])},"
                f"{chance.choice(['', 30, 50, 100])}"
                for name in suppliers
            ],
        ),
        "packs": _csv("pack,item,supplier,size,price", packs),
        "practicals": _csv(
            "practical,title,group_size", [f"P{number},Practical,2" for number in range(PRACTICALS)]
        ),
        "practical_lines": _csv("practical,item,amount,per", lines),
        "timetable": _csv("session,practical,date,students", sessions),
        "stock": _csv("lot,item,amount", [f"L{item},item {item},1 mL" for item in range(ITEMS)]),
    }


def _csv(heading: str, rows: list[str]) -> str:
    return "\n".join([heading, *rows]) + "\n"


def _store(folder: Path, name: str, settings: str) -> str:
    tables = folder / name
    tables.mkdir()
    for table, text in {**department(), "settings": settings}.items():
        (tables / f"{table}.csv").write_text(text, encoding="utf-8")
    store = str(folder / f"{name}.db")
    spend([PREPSTORE, "--db", store, "load", str(tables)])
    return store


def main() -> None:
    """Print the table."""
    say = sys.stdout.write
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        stores = {
            mode: _store(folder, mode.replace(" ", "-"), f"setting,value\nordering,{mode}\n")
            for mode in ("by item", "jointly")
        }
        kept = _store(folder, "kept", "setting,value\nordering,jointly\nholding_cost,12 %\n")
        out = folder / "out.json"
        say("| what | time | cost | gap |\n|---|---|---|---|\n")
        for mode, store in stores.items():
            week = ["plan", "--week", "2027-W02", "--today", PLANNED_ON, "--json", str(out)]
            took = spend([PREPSTORE, "--db", store, *week]).seconds
            found = json.loads(out.read_text("utf-8"))["ordering"]
            say(f"| a week, {mode} | {took:.2f} s | {_cost(found)} |\n")
        for words, store in (("", stores["jointly"]), (", holding 12 %", kept)):
            term = ["ahead", "--from", "2027-W02", "--weeks", str(WEEKS), "--today", PLANNED_ON]
            took = spend([PREPSTORE, "--db", store, *term, "--json", str(out)]).seconds
            found = json.loads(out.read_text("utf-8"))["cost"]
            say(f"| {WEEKS} weeks{words} | {took:.2f} s | {_cost(found)} |\n")


def _cost(found: dict[str, Any]) -> str:
    bound = found["bound"]
    gap = "not asked" if bound is None else f"{100 * (1 - bound / found['total']):.2f} %"
    return f"{found['total']:.2f} | {gap}"


if __name__ == "__main__":
    main()
