"""Facts and plans in a line, from the notation that people use in their tables."""

import datetime
from collections.abc import Callable, Mapping
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from tempfile import TemporaryDirectory
from textwrap import dedent
from typing import Any, TypeVar, cast

from prepstore import cell_types, facts
from prepstore.amounts import ZERO, WrittenAmount, in_billionths
from prepstore.cell_types import fold
from prepstore.chemistry.conversions import Material, in_unit
from prepstore.chemistry.materials import material_of
from prepstore.chemistry.solutions import Ingredient
from prepstore.columns import columns_of
from prepstore.planning.batches import Batch
from prepstore.planning.calendar import Calendar, Period
from prepstore.planning.demands import NOTHING, Demand, SessionWork, session_demands
from prepstore.planning.plan import Plan, StockRow
from prepstore.planning.states import SessionPlan
from prepstore.planning.waste import StreamPlan
from prepstore.problems import ProblemsError
from prepstore.report.warning_sentences import warning_in_words
from prepstore.shelf.shelf import Department
from prepstore.stores import Delivery, Holding
from prepstore.tables.cells import READERS
from prepstore.tables.crosscheck import Checked, checked
from prepstore.tables.read import read_set
from prepstore.tables.units import read_amount, read_concentration

Fact = TypeVar("Fact")

WEEK = "2027-W05"
"""Monday 1 to Sunday 7 February 2027: the week that tests plan unless they say another."""

TODAY = "2027-01-25"
"""The Monday before it."""

MON_TO_FRI = Calendar(frozenset(range(5)))


def day(text: str) -> datetime.date:
    """Return a day of 2027 written as month-day, or a whole ISO date."""
    return datetime.date.fromisoformat(text if len(text) > len("02-03") else f"2027-{text}")


def number(text: object) -> Decimal:
    """Return an exact number."""
    return Decimal(str(text))


def figures(*values: object) -> tuple[object, ...]:
    """Return figures side by side, to hold them to others in one comparison."""
    return values


def ml(volume: object) -> WrittenAmount:
    """Return so many mL, as written."""
    return read_amount(f"{volume} mL")


def g(mass: object) -> WrittenAmount:
    """Return so many g, as written."""
    return read_amount(f"{mass} g")


# One fact, each cell read as its column is.


def fact_of(fact: Callable[..., Fact], **cells: str) -> Fact:
    """Return one fact from the text of its cells; `fact` is its class."""
    columns = columns_of(cast(type, fact))
    values: dict[str, Any] = {}
    for name, text in cells.items():
        column = columns[name.rstrip("_")]
        values[column.field] = READERS[column.reads](text)
    return fact(**values)


def item(name: str = "it", **cells: str) -> facts.Item:
    """Return an item: a reagent kept in g unless its cells say otherwise."""
    return fact_of(facts.Item, **{"item": name, "kind": "reagent", "unit": "g", **cells})


def solution(name: str = "it", **cells: str) -> facts.Solution:
    """Return a solution."""
    return fact_of(facts.Solution, **{"solution": name, **cells})


def lot(label: str, amount: str = "1 g", **cells: str) -> facts.Lot:
    """Return a lot of an item called `it` unless its cells say otherwise."""
    return fact_of(facts.Lot, **{"lot": label, "item": "it", "amount": amount, **cells})


def session(name: str = "S", date: str = "2027-02-01", **cells: str) -> facts.Session:
    """Return a session of practical P with one student unless its cells say otherwise."""
    given = {"session": name, "practical": "P", "date": date, "students": "1"}
    return fact_of(facts.Session, **{**given, **cells})


# What chemistry and planning make of them.


def holding(label: str, amount: object = 1, last_day: str | None = None, **cells: str) -> Holding:
    """Return a lot that holds an amount, in g, with its last day of use."""
    ends = day(last_day) if last_day else None
    return Holding(lot(label, **cells), material(), number(amount), ends)


def delivery(due: str, amount: object, pack: str = "A", reference: str = "") -> Delivery:
    """Return packs of an item called `it` that come on a day: so much in all, in g."""
    order = facts.OnOrder(
        pack=cell_types.Name(pack),
        packs=cell_types.Count(1),
        due=day(due),
        reference=reference or None,
    )
    return Delivery(order, pack, "it", number(amount))


def material(name: str = "it", **cells: str) -> Material:
    """Return an item as a material."""
    return material_of(item(name, **cells), Decimal("0.05"))


def part(of: Material, amount: str, as_: str | None = None) -> Ingredient:
    """Return a part of a solution: `0.1 mol/L` of an item, as another formula where given."""
    species = READERS[cell_types.Species](as_) if as_ else None
    return Ingredient(of, read_concentration(amount), species)


def work(
    name: str = "S", date: str = "2027-02-01", *, is_promised: bool = False, **cells: str
) -> SessionWork:
    """Return a session that takes nothing, to be in hand the working day before."""
    held = session(name, date, **cells)
    day_of_need = MON_TO_FRI.before(held.date, 1)
    return SessionWork(held, NOTHING, day_of_need, is_promised=is_promised)


def demand(amount: object, by: SessionWork, name: str = "it") -> Demand:
    """Return what a session wants of an item or solution."""
    scale = replace(NOTHING, needs={name: number(amount)}, spare={name: ZERO})
    return next(session_demands(replace(by, scale=scale), {}))


# Whole inventories and plans.


def facts_from(tables: Mapping[str, str]) -> Department:
    """Return the facts of a set of tables given as CSV text by table name; lots hold what they say.

    The text is written to a folder and read, checked and understood as any other set is.

    Raises:
        ProblemsError: Something in the set is wrong.
    """
    with TemporaryDirectory() as folder:
        for table, text in tables.items():
            if text:
                rows = dedent(text).strip() + "\n"
                Path(folder, f"{table}.csv").write_text(rows, encoding="utf-8")
        found, problems = read_set(Path(folder))
    result = checked(found)
    if problems or result.problems:
        raise ProblemsError([*problems, *result.problems])
    return department_of(result)


def department_of(result: Checked) -> Department:
    """Return the facts of a set that has been checked; lots hold what their rows say."""
    held = {
        fold(one.lot): in_billionths(in_unit(result.materials[fold(one.item)], one.amount))
        for one in result.lots
    }
    catalogue, timetable = result.catalogue, result.timetable
    return Department(result.stores(held), catalogue=catalogue, timetable=timetable)


BY_ITEM = "setting,value\nordering,by item"
"""The table of settings with which packs are chosen one item at a time."""


def plan_of(week: str = WEEK, today: str = TODAY, **tables: str) -> Plan:
    """Return the plan of a week from CSV text by table; practical P is there if none is given."""
    given = {"practicals": "practical,title\nP,A practical", **tables}
    return facts_from(given).plan(Period.of_week(week), day(today))


def problems_of(**tables: str) -> list[str]:
    """Return the codes of what is wrong with a set of tables, P being a practical."""
    try:
        facts_from({"practicals": "practical,title\nP,A practical", **tables})
    except ProblemsError as error:
        return [problem.code for problem in error.problems]
    return []


# What a test looks at in a plan.


def stock_of(plan: Plan, name: str) -> StockRow:
    """Return how one item or solution stands."""
    return plan.stock[fold(name)]


def lots_of(plan: Plan, name: str) -> dict[str, Decimal]:
    """Return what the period draws from each lot of an item or solution."""
    return {held.lot: amount for held, amount in stock_of(plan, name).lots}


def session_of(plan: Plan, name: str = "S") -> SessionPlan:
    """Return one session of a plan."""
    return next(one for one in plan.sessions if one.work.session.session == name)


def needs_of(plan: Plan, name: str = "S") -> dict[str, Decimal]:
    """Return what one session takes, by the spelling of the item."""
    needs = session_of(plan, name).work.scale.needs
    return {plan.label(folded): amount for folded, amount in needs.items()}


def batches_of(plan: Plan, name: str) -> list[Batch]:
    """Return the batches of one solution."""
    return [batch for batch in plan.batches if batch.name == fold(name)]


def stream_of(plan: Plan, name: str) -> StreamPlan:
    """Return what one waste stream collects."""
    return next(stream for stream in plan.waste.streams if fold(stream.name) == fold(name))


def warnings_about(plan: Plan, about: str) -> list[str]:
    """Return what a plan warns of about one item, session, stream or supplier."""
    return [warning_in_words(one) for one in plan.warnings if one.about == about]
