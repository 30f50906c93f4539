"""A small week planned twice: as it was, and after something has changed."""

from collections.abc import Mapping
from typing import Final

from prepstore.planning.changes import changes_between
from prepstore.planning.differs import Differs
from prepstore.planning.plan import Plan
from prepstore.report.plan_papers import papers_of
from tests.builders import plan_of

BEFORE: Final[Mapping[str, str]] = {
    "items": """
        item,   kind,       unit, turnaround
        salt,   reagent,    g,
        ether,  solvent,    mL,
        ice,    consumable, g,
        funnel, apparatus,  each, 30""",
    "solutions": "solution,shelf_life\nbrine,30",
    "solution_parts": "solution,item,amount\nbrine,salt,100 g/L\nbrine,ether,to volume",
    "practicals": "practical,title\nP,One\nQ,Two",
    "practical_lines": """
        practical, item,   amount, per,   spare, to,     shared_by, container
        P,         brine,  40 mL,  group, 0 %,   waste,  3,         bottle
        P,         salt,   10 g,   group, 0 %,   kept,   ,
        P,         funnel, 1 each, group, 0 %,   ,       ,
        Q,         ether,  50 mL,  group, 0 %,   waste,  ,""",
    "timetable": """
        session, practical, date,       start, end,   room,  students
        S,       P,         2027-02-02, 09:00, 11:00, Lab 1, 6
        T,       P,         2027-02-04, 09:00, 11:00, Lab 1, 4
        U,       Q,         2027-02-04, 09:00, 11:00, Lab 2, 2""",
    "stock": """
        lot, item,   amount
        L1,  salt,   500 g
        L2,  salt,   500 g
        E1,  ether,  600 mL
        F1,  funnel, 6 each""",
    "suppliers": "supplier,lead_days\nShop,1",
    "packs": "pack,item,supplier,size,price\nA,ether,Shop,100 mL,5\nB,salt,Shop,1 kg,9",
    "on_order": "pack,packs,due,reference\nA,1,2027-02-01,PO 1",
    "waste_streams": "stream,measure,container,fill_limit\nwaste,volume,1 L,100 %",
}
TODAY = "2027-01-28"


def planned(today: str = TODAY, **tables: str) -> Plan:
    """Return the plan of the week, some tables changed."""
    return plan_of(today=today, **{**BEFORE, **tables})


def differences(
    today: str = TODAY, before: Mapping[str, str] | None = None, **now: str
) -> tuple[Differs, ...]:
    """Return what differs from the week as it was, planned on Thursday 28 January."""
    plan = planned(today, **{**(before or {}), **now})
    return changes_between(papers_of(planned(**(before or {}))), papers_of(plan), plan)


def edited(table: str, *edits: tuple[str, str]) -> str:
    """Return a table of the week with some texts replaced, each of which must stand in it."""
    text = BEFORE[table]
    for old, new in edits:
        assert old in text, f"{old} is not in {table}"
        text = text.replace(old, new)
    return text


def without(table: str, start: str) -> str:
    """Return a table of the week without the row that begins so."""
    rows = BEFORE[table].split("\n")
    kept = [row for row in rows if not row.strip().startswith(start)]
    assert len(kept) == len(rows) - 1, f"{start} is not a row of {table}"
    return "\n".join(kept)
