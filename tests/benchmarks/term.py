"""A made-up term of any size: the same department with more and more sessions.

Forty practicals of 25 lines each unless more are asked for; items, solutions and lots grow with
nothing but what is asked.
"""

from collections.abc import Iterator
from datetime import date, timedelta

PRACTICALS = 40
LINES = 25
ITEMS = 200
SOLUTIONS = 20
FIRST_DAY = date(2027, 1, 4)
YEAR = 365
WEEK = 7


def term(
    sessions: int,
    lots: int,
    *,
    days: int = YEAR,
    least_in_lot: int = 500,
    practicals: int = PRACTICALS,
) -> dict[str, str]:
    """Return a set of tables as CSV text by table name.

    Args:
        sessions: How many, spread over the working days.
        lots: How many, dealt out over the items.
        days: How many from the first one on; 7 give a week.
        least_in_lot: What the smallest lot holds; the largest holds nearly twice as much.
        practicals: How many, of 25 lines each.
    """
    return {
        "items": _csv("item,kind,unit,density,formula", _items()),
        "solutions": _csv("solution,shelf_life,step,largest_batch", _solutions()),
        "solution_parts": _csv("solution,item,amount", _parts()),
        "practicals": _csv("practical,title,group_size", _practicals(practicals)),
        "practical_lines": _csv("practical,stage,item,amount,per,to,shared_by", _lines(practicals)),
        "timetable": _csv(
            "session,practical,date,start,end,room,students", _sessions(sessions, practicals, days)
        ),
        "stock": _csv("lot,item,amount,expiry", _lots(lots, least_in_lot)),
        "suppliers": _csv("supplier,lead_days", ["Supplier One,3", "Supplier Two,6"]),
        "packs": _csv("pack,item,supplier,size,price", _packs()),
        "waste_streams": _csv(
            "stream,measure,container", ["solvent,volume,25 L", "solid,mass,10 kg"]
        ),
        # What it is compared with chooses no packs; `ordering.py` measures orders chosen as one.
        "settings": "setting,value\nordering,by item\n",
    }


def last_day(days: int = YEAR) -> date:
    """Return the last of the days on which sessions fall."""
    return FIRST_DAY + timedelta(days=days - 1)


def _csv(heading: str, rows: Iterator[str] | list[str]) -> str:
    return "\n".join([heading, *rows]) + "\n"


def _items() -> Iterator[str]:
    for number in range(ITEMS):
        if number % 4 == 3:
            yield f"counted {number},consumable,each,,"
        elif number % 4 == 2:
            yield f"solid {number},reagent,g,1.5,NaCl"
        else:
            yield f"liquid {number},solvent,mL,0.8,"


def item_name(number: int) -> str:
    """Return the name of an item by its number."""
    kind = ("liquid", "liquid", "solid", "counted")[number % 4]
    return f"{kind} {number}"


def _solutions() -> Iterator[str]:
    for number in range(SOLUTIONS):
        yield f"solution {number},{7 + number},100 mL,5 L"


def _parts() -> Iterator[str]:
    for number in range(SOLUTIONS):
        yield f"solution {number},solid {number * 4 + 2},0.{1 + number % 8} mol/L"
        yield f"solution {number},liquid {number * 4},to volume"


def _practicals(count: int) -> Iterator[str]:
    for number in range(count):
        yield f"P{number:02},Practical {number},2"


def _lines(practicals: int) -> Iterator[str]:
    for practical in range(practicals):
        for line in range(LINES):
            per = ("student", "group", "session")[line % 3]
            if line % 8 == 7:
                solution = (practical + line) % SOLUTIONS
                yield f"P{practical:02},work-up,solution {solution},{5 + line} mL,{per},solvent,"
                continue
            name = item_name((practical * 5 + line * 3) % ITEMS)
            unit = "each" if "counted" in name else "g" if "solid" in name else "mL"
            to = "solid" if unit == "g" else "solvent 90 %; air 10 %" if unit == "mL" else ""
            shared_by = "4" if line % 5 == 0 else ""
            yield f"P{practical:02},main,{name},{1 + line % 7} {unit},{per},{to},{shared_by}"


def _sessions(count: int, practicals: int, days: int) -> Iterator[str]:
    every = [FIRST_DAY + timedelta(days=day) for day in range(days)]
    working = [day for day in every if day.weekday() < 5]
    for number in range(count):
        day = working[number * len(working) // count]
        practical = number * 7 % practicals
        students = 8 + number % 17
        room = f"Lab {number % 12}"
        yield f"S{number:05},P{practical:02},{day},09:00,12:00,{room},{students}"


def _lots(count: int, least: int) -> Iterator[str]:
    for number in range(count):
        name = item_name(number % ITEMS)
        unit = "each" if "counted" in name else "g" if "solid" in name else "mL"
        expiry = FIRST_DAY + timedelta(days=90 + number % 700)
        yield f"L{number:05},{name},{least + number % least} {unit},{expiry}"


def _packs() -> Iterator[str]:
    for number in range(ITEMS):
        name = item_name(number)
        unit = "each" if "counted" in name else "g" if "solid" in name else "mL"
        yield f"A{number},{name},Supplier One,500 {unit},9.50"
        yield f"B{number},{name},Supplier Two,2500 {unit},39.00"
