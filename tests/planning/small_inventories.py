"""A hypothesis strategy of small whole sets of tables, valid by construction.

Tables are rows of text, so that a failing case prints in the notation people use, and so that a
law can shuffle or scale them before they are read.
"""

import datetime
from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from functools import cached_property
from typing import Final

from hypothesis import strategies as st

from prepstore.planning.calendar import Period
from prepstore.planning.plan import Plan
from prepstore.shelf.shelf import Department
from tests.builders import WEEK, facts_from

Row = dict[str, str]
Tables = dict[str, list[Row]]
Cells = st.SearchStrategy[Row]

FIRST = datetime.date(2027, 1, 28)
"""Sessions, lots and deliveries fall in the three weeks from this Thursday; W05 is the second."""

UNIT: Final = {
    "salt": "g",
    "acid": "mL",
    "ethanol": "mL",
    "hexane": "mL",
    "water": "mL",
    "ice": "g",
    "glove": "each",
    "funnel": "each",
    "evaporator": "each",
    "brine": "mL",
    "dilute brine": "mL",
    "eluent": "mL",
}
"""Everything a line may name, and what it is kept in."""

APPARATUS = {"funnel", "evaporator"}
BOUGHT = ("salt", "acid", "ethanol", "hexane", "glove")
SOLUTIONS = ("brine", "dilute brine", "eluent")


@dataclass(frozen=True)
class Case:
    """A set of tables and the day on which its plans are made."""

    tables: Tables
    today: datetime.date
    _plans: dict[str, Plan] = field(default_factory=dict, compare=False, repr=False)

    @cached_property
    def department(self) -> Department:
        """Return the facts, read as any other set is."""
        return facts_of(self.tables)

    def plan(self, week: str = WEEK) -> Plan:
        """Return the plan of a week, which is made once."""
        if week not in self._plans:
            self._plans[week] = self.department.plan(Period.of_week(week), self.today)
        return self._plans[week]


def facts_of(tables: Tables) -> Department:
    """Return the facts of a set."""
    return facts_from({name: csv_of(rows) for name, rows in tables.items() if rows})


def csv_of(rows: list[Row]) -> str:
    """Return the rows of a table as CSV text."""
    columns = list(dict.fromkeys(column for row in rows for column in row))
    lines = [",".join(f'"{row.get(column, "")}"' for column in columns) for row in rows]
    return "\n".join([",".join(columns), *lines])


def _days(least: int = 0, most: int = 20) -> st.SearchStrategy[str]:
    return st.integers(least, most).map(lambda days: (FIRST + datetime.timedelta(days)).isoformat())


def _or_blank(strategy: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    return st.one_of(st.just(""), strategy)


def _row(**cells: str | st.SearchStrategy[str]) -> Cells:
    return st.fixed_dictionaries(
        {
            name: cell if isinstance(cell, st.SearchStrategy) else st.just(cell)
            for name, cell in cells.items()
        }
    )


def _of(*words: str) -> st.SearchStrategy[str]:
    return st.sampled_from(words)


def _amounts(unit: str) -> st.SearchStrategy[str]:
    """Return amounts of a script: whole, broken, in portions."""
    if unit == "each":
        return _of("1 each", "2 each", "3 x 2 each")
    return _of(f"10 {unit}", f"0.7 {unit}", f"3 x 15 {unit}", f"25 {unit} + 2 x 2.5 {unit}")


_ITEMS: Final[tuple[Cells, ...]] = (
    _row(
        item="salt",
        kind="reagent",
        unit="g",
        formula="NaCl",
        strength=_of("", "98 % w/w"),
        density=_of("", "2.16"),
        measures="scoop = 2 g",
        minimum=_of("", "0 g", "100 g"),
        restock_to=_of("", "150 g"),
        opened_life=_of("", "5"),
        retention=_of("", "0.4 mL"),
    ),
    _row(
        item="acid",
        kind="reagent",
        unit="mL",
        formula="HCl",
        strength="37 % w/w",
        density="1.18",
        measures="drop = 0.05 mL",
        minimum=_of("", "50 mL"),
    ),
    _row(
        item="ethanol",
        kind="solvent",
        unit="mL",
        density="0.79",
        opened_life=_of("", "10"),
        shelf_life=_of("", "0", "2"),
    ),
    _row(
        item="hexane",
        kind="solvent",
        unit="mL",
        density=_of("", "0.66"),
        shelf_life=_of("", "", "1", "4"),
    ),
    _row(item="water", kind="solvent", unit="mL", supply=_of("bought", "made on site")),
    _row(
        item="ice",
        kind="consumable",
        unit="g",
        supply="made on site",
        daily_capacity=_of("", "0 g", "300 g"),
    ),
    _row(
        item="glove",
        kind="consumable",
        unit="each",
        measures="pair = 2 each",
        retention=_of("", "3 mL"),
    ),
    _row(item="funnel", kind="apparatus", unit="each", turnaround=_of("", "45")),
    _row(item="evaporator", kind="apparatus", unit="each", minutes_per_use=_of("", "16")),
)

_SOLUTIONS: Final[tuple[Cells, ...]] = tuple(
    _row(
        solution=name,
        shelf_life=_of("", "0", "1", "4", "30"),
        step=_of("", "20 mL", "100 mL"),
        largest_batch=_of("", "200 mL", "1 L"),
        density=_of("", "1.02"),
        to=_of("", "", "solvent", "solid 60 %; drain 40 %"),
    )
    for name in SOLUTIONS
)

_PARTS: Final[tuple[Cells, ...]] = (
    _row(solution="brine", item="salt", amount=_of("1 mol/L", "5 % w/v", "300 ppm")),
    _row(solution="brine", item="water", amount="to volume"),
    _row(solution="dilute brine", item="brine", amount=_of("125 mL/L", "0.0005 mol/L")),
    _row(solution="dilute brine", item="acid", amount="0.1 mol/L"),
    _row(solution="dilute brine", item="water", amount="to volume"),
    _row(solution="eluent", item="hexane", amount="3 parts"),
    _row(solution="eluent", item="ethanol", amount=_of("1 parts", "2 parts")),
)


def _lines(name: str) -> Cells:
    ends = _or_blank(
        _of("solvent", "solid 30 %; air 70 %", "kept", "solvent 50 %; solid 25 %; drain 25 %")
    )
    return _row(
        practical=_of("P", "P", "Q"),
        stage=_of("wash", "dry"),
        item=name,
        amount=_amounts(UNIT[name]),
        per=_of("student", "group", "session"),
        spare=_of("", "0 %", "7 %"),
        optional=_of("", "yes"),
        to="" if name in APPARATUS else ends,
        shared_by=_of("", "3"),
        container="" if name in APPARATUS else _of("", "funnel", "100 mL bottle"),
        one_lot=_of("", "", "yes"),
        within=_of("", "60") if name == "evaporator" else "",
    )


def _sessions(number: int) -> Cells:
    times = st.sampled_from([{}, {"start": "09:00", "end": "11:30"}, {"start": "11:00"}])
    row = _row(
        session=f"S{number}",
        practical=_of("P", "P", "Q"),
        date=_days(3, 13),
        students=_of("5", "6", "11", "1", "0"),
        group_size=_of("", "2"),
        demonstrator_sets=_of("", "1"),
    )
    return st.builds(lambda cells, clock: {**cells, **clock}, row, times)


def _stock(number: int, names: list[str]) -> Cells:
    def of_item(name: str) -> Cells:
        unit = UNIT[name]
        in_date = _days(4) if name in SOLUTIONS else _or_blank(_days(4))
        return _row(
            lot=f"L{number}",
            item=name,
            amount=_of(f"60 {unit}", f"250 {unit}", f"3 {unit}", f"0 {unit}"),
            expiry=in_date,
            opened=_or_blank(_days(most=6)),
            state=_of("usable", "usable", "usable", "quarantine"),
        )

    return st.sampled_from(sorted({*names, *BOUGHT, "brine"})).flatmap(of_item)


def _packs(name: str) -> st.SearchStrategy[list[Row]]:
    unit = UNIT[name]
    one = _row(
        item=name,
        supplier=_of("near", "far"),
        size=_of(f"10 {unit}", f"25 {unit}", f"60 {unit}", f"100 {unit}"),
        price=_of("0", "1.20", "3", "7.95"),
    )
    return st.lists(one, min_size=1, max_size=3).map(
        lambda rows: [{"pack": f"{name}-{number}", **row} for number, row in enumerate(rows)]
    )


def _on_order(packs: list[Row]) -> st.SearchStrategy[list[Row]]:
    if not packs:
        return st.just([])
    one = _row(
        pack=st.sampled_from([row["pack"] for row in packs]),
        packs=_of("1", "2"),
        due=_days(1, 10),
    )
    return st.lists(one, max_size=6).map(
        lambda rows: [{"reference": f"PO {number}", **row} for number, row in enumerate(rows)]
    )


_STREAMS: Final[tuple[Cells, ...]] = (
    _row(
        stream="solvent", measure="volume", container=_of("", "200 mL"), part_full=_of("", "5 mL")
    ),
    _row(stream="solid", measure="mass", container=_of("", "1 kg"), fill_limit=_of("", "80 %")),
)

_REPLACEMENTS: Final[Cells] = _row(
    item="hexane", replaced_by="ethanol", factor=_of("", "1.2"), to=_of("", "solvent")
)

_SETTINGS: Final[tuple[Cells, ...]] = (
    _row(setting="prep_lead", value=_of("0", "1", "2")),
    _row(setting="holidays", value=_of("", "2027-01-29", "2027-02-02; 2027-02-05")),
    _row(setting="working_days", value=_of("Mon-Fri", "Mon-Sat", "Tue; Thu")),
    _row(setting="spare reagent", value=_of("0 %", "10 %")),
    _row(setting="flasks", value=_of("", "100 mL; 300 mL")),
)


_sold = st.lists(st.sampled_from(BOUGHT), min_size=2, unique=True)


@st.composite
def cases(draw: st.DrawFn) -> Case:
    """Return small whole sets with up to five sessions, eight lines and seven lots."""
    names: list[str] = draw(st.lists(st.sampled_from(sorted(UNIT)), min_size=3, max_size=8))
    packs = [row for name in draw(_sold) for row in draw(_packs(name))]
    tables: Tables = {
        "items": draw(st.tuples(*_ITEMS).map(list)),
        "solutions": draw(st.tuples(*_SOLUTIONS).map(list)),
        "solution_parts": draw(st.tuples(*_PARTS).map(list)),
        "practicals": [
            {"practical": "P", "title": "One", "group_size": "3"},
            {"practical": "Q", "title": "Two", "group_size": "1"},
        ],
        "practical_lines": [draw(_lines(name)) for name in names],
        "timetable": [draw(_sessions(number)) for number in range(draw(st.integers(2, 5)))],
        "stock": [draw(_stock(number, names)) for number in range(draw(st.integers(2, 7)))],
        "suppliers": [
            {"supplier": "near", "lead_days": "1"},
            {"supplier": "far", "lead_days": "4"},
        ],
        "packs": packs,
        "on_order": draw(_on_order(packs)),
        "waste_streams": draw(st.tuples(*_STREAMS).map(list)),
        "replacements": draw(st.lists(_REPLACEMENTS, max_size=1)),
        "settings": draw(st.tuples(*_SETTINGS).map(list)),
    }
    _leave_out(tables, draw(st.booleans()))
    _hold_back(tables, draw(st.booleans()))
    return Case(tables, FIRST + datetime.timedelta(draw(st.integers(0, 6))))


def _leave_out(tables: Tables, leave: bool) -> None:  # noqa: FBT001 - drawn
    """Let the first session leave out a stage, if its practical has an optional line in one."""
    first = tables["timetable"][0]
    stages = [
        row["stage"]
        for row in tables["practical_lines"]
        if row["practical"] == first["practical"] and row["optional"]
    ]
    if leave and stages:
        first["leave_out"] = stages[0]


def _hold_back(tables: Tables, hold: bool) -> None:  # noqa: FBT001 - drawn
    """Let salt and gloves hold back what is kept in mL in the same practical, where anything is."""
    for row in tables["practical_lines"] if hold else []:
        liquids = [
            other["item"]
            for other in tables["practical_lines"]
            if other["practical"] == row["practical"] and UNIT[other["item"]] == "mL"
        ]
        if row["item"] in ("salt", "glove") and liquids:
            row["holds_back"] = liquids[0]


def shuffled(tables: Tables) -> st.SearchStrategy[Tables]:
    """Return the same set with the rows of every table in another order.

    What an agent holds back is taken off lines in their order, which is then kept.
    """
    is_held = any("holds_back" in row for row in tables["practical_lines"])
    return st.fixed_dictionaries(
        {
            name: st.just(rows) if is_held and name == "practical_lines" else st.permutations(rows)
            for name, rows in tables.items()
        }
    )


def rounded(value: object) -> object:
    """Return any part of a plan's JSON with its numbers to nine places and lists sorted."""
    match value:
        case bool() | None | str():
            return value
        case int() | float() | Decimal():
            return round(float(value), 9) + 0.0
        case Mapping():
            return {name: rounded(part) for name, part in value.items()}
        case list() | tuple():
            return sorted((rounded(part) for part in value), key=repr)
        case _:
            return value
