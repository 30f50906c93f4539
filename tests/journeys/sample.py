"""The sample inventory with a few of its cells changed, and the figures of its plan by name."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from functools import cache, cached_property
from pathlib import Path
from typing import Any

from prepstore.cell_types import fold
from prepstore.columns import TABLES
from prepstore.planning.ahead.ahead import Ahead, ahead_of
from prepstore.planning.ahead.term import term_of, weeks_from
from prepstore.planning.calendar import Period
from prepstore.planning.plan import Plan
from prepstore.problems import Problem
from prepstore.report.ahead_json import ahead_rows
from prepstore.report.order_list import on_order_rows
from prepstore.report.plan_json import plan_rows
from prepstore.report.workbook.order_document import order_document
from prepstore.report.workbook.workbook import pages_of
from prepstore.safety.peroxides import due_for_test
from prepstore.shelf.shelf import Department
from prepstore.tables.crosscheck import checked
from prepstore.tables.read import read_set
from prepstore.tables.write import csv_text
from prepstore.written import WrittenRow, WrittenSet
from tests.builders import department_of

SAMPLE = Path(__file__).parents[2] / "sample_inventory"
WEEK = "2027-W10"
TODAY = date(2027, 3, 3)
Row = dict[str, Any]


@dataclass(frozen=True)
class Edit:
    """A change to one row: cells get new text (blank: emptied); without cells the row goes.

    `row` holds cells that name the row; exactly one row has them all.
    """

    table: str
    row: Mapping[str, str]
    cells: Mapping[str, str]


@dataclass(frozen=True)
class Case:
    """A rule that a row shows: the change to the row, and what becomes of a figure.

    `before` and `after` are worked out by hand. `beside` are changes that both are seen with.
    """

    rule: str
    name: str
    edits: tuple[Edit, ...]
    figure: "Callable[[Sample], object]"
    before: object
    after: object
    week: str = WEEK
    beside: tuple[Edit, ...] = ()


def case(
    rule: str,
    name: str,
    *edits: Edit,
    see: "Callable[[Sample], object]",
    before: object,
    after: object,
    week: str = WEEK,
    beside: tuple[Edit, ...] = (),
) -> Case:
    """Return a case; `see` picks the figure."""
    return Case(rule, name, edits, see, before, after, week, beside)


def refused(rule: str, name: str, *edits: Edit, code: str, says: str = "") -> Case:
    """Return a case in which the changed set is refused with one kind of problem, in words."""

    def see(sample: "Sample") -> object:
        return {
            (problem.code, says in problem.sentence)
            for problem in sample.problems
            if problem.code == code or not says
        }

    return Case(rule, name, edits, see, set(), {(code, True)})


def shown(name: str, edit: Edit, sheet: str, old: str, new: str) -> Case:
    """Return a case in which a sheet of the workbook says something else."""

    def see(sample: "Sample") -> object:
        text = sample.sheet(sheet)
        return old in text, new in text

    return Case("words", name, (edit,), see, (True, False), (False, True))


def kept(rule: str, name: str, edit: Edit, old: str, new: str) -> Case:
    """Return a case in which an export has the new words."""

    def see(sample: "Sample") -> object:
        text = sample.exported(edit.table)
        return old in text, new in text

    return Case(rule, name, (edit,), see, (True, False), (False, True))


def change(table: str, key: str, /, **cells: str) -> Edit:
    """Return a change to the row that its table's first key column names."""
    return Edit(table, {TABLES[table].key[0]: key}, cells)


def gone(table: str, key: str) -> Edit:
    """Return the removal of a row."""
    return change(table, key)


def setting(name: str, value: str) -> Edit:
    """Return a change to a setting."""
    return change("settings", name, value=value)


def line(practical: str, stage: str, item: str, /, **cells: str) -> Edit:
    """Return a change to a line of a practical."""
    return Edit("practical_lines", {"practical": practical, "stage": stage, "item": item}, cells)


def part(solution: str, item: str, /, **cells: str) -> Edit:
    """Return a change to a part of a solution; `as_` is the column `as`."""
    named = {name.rstrip("_"): text for name, text in cells.items()}
    return Edit("solution_parts", {"solution": solution, "item": item}, named)


def coming(pack: str, /, **cells: str) -> Edit:
    """Return a change to the row of a pack on order."""
    return Edit("on_order", {"pack": pack}, cells)


@cache
def _rows() -> WrittenSet:
    rows, problems = read_set(SAMPLE)
    assert not problems
    return rows


def _changed(edits: tuple[Edit, ...]) -> WrittenSet:
    rows = {table: list(of_table) for table, of_table in _rows().items()}
    for edit in edits:
        found = [
            row
            for row in rows[edit.table]
            if all(row.text.get(column) == text for column, text in edit.row.items())
        ]
        assert len(found) == 1, f"{len(found)} rows of {edit.table} have {edit.row}"
        rows[edit.table] = list(_rewritten(rows[edit.table], found[0], edit.cells))
    return rows


def _rewritten(
    rows: list[WrittenRow], found: WrittenRow, cells: Mapping[str, str]
) -> Iterator[WrittenRow]:
    for row in rows:
        if row is not found:
            yield row
        elif cells:
            text = {name: cell for name, cell in {**row.text, **cells}.items() if cell}
            assert text != row.text, f"{cells} is what the row has already"
            yield replace(row, text=text)


class Sample:
    """The sample, changed or not: its rows, what is wrong with them, and its plan."""

    def __init__(self, edits: tuple[Edit, ...], week: str) -> None:
        self.rows = _changed(edits)
        self._checked = checked(self.rows)
        self._week = week

    @property
    def problems(self) -> tuple[Problem, ...]:
        """Return what is wrong with the rows."""
        return self._checked.problems

    @cached_property
    def plan(self) -> Plan:
        """Return the plan of the week."""
        assert not self.problems, [problem.sentence for problem in self.problems]
        return self.department.plan(Period.of_week(self._week), TODAY)

    @cached_property
    def json(self) -> Row:
        """Return the plan as `--json` gives it."""
        return plan_rows(self.plan)

    def order_told(self, supplier: str) -> list[object]:
        """Return what an order to a supplier says beside its lines and its reference."""
        rows = [row for row in self.plan.orders if row.offer.supplier.supplier == supplier]
        first = next(iter(order_document(self.plan, rows).blocks))
        return [row.values[1] for row in first[1:]]

    def _ahead(self, last_moved: Mapping[str, date]) -> Ahead:
        of = self.department
        asked_from = Period.of_week(self._week)
        weeks = weeks_from(asked_from, 1, TODAY)
        plans = list(term_of(of.catalogue, of.timetable, of.stores, weeks, TODAY))
        return ahead_of(of.stores, plans, of.catalogue.settings, asked_from, last_moved)

    @cached_property
    def term(self) -> Row:
        """Return the term from today to the end of this week, as `ahead --json` gives it."""
        return ahead_rows(self._ahead({}))

    def slow(self, day: str) -> bool:
        """Return whether lots that were used last on a day are slow movers."""
        moved = dict.fromkeys(self.department.lots, date.fromisoformat(day))
        return bool(self._ahead(moved).slow_movers)

    @property
    def department(self) -> Department:
        """Return the facts."""
        return department_of(self._checked)

    def to_be_tested(self, lot: str) -> str:
        """Return the day by which a lot is to be tested for peroxides."""
        found = self.department.lots[fold(lot)].lot
        return str(due_for_test(found, self.department.catalogue.items[fold(found.item)]))

    def value_on_order(self, pack: str) -> list[float]:
        """Return what the packs of a kind on order come to."""
        rows = on_order_rows(self.department.stores, TODAY)
        return [row["value"] for row in rows if row["pack"] == pack]

    def _one(self, table: str, column: str, name: str) -> Row:
        (found,) = (row for row in self.json[table] if row[column] == name)
        return dict(found)

    def stock(self, item: str) -> Row:
        """Return the row of `stock` of an item or solution."""
        return self._one("stock", "item", item)

    def lots(self, item: str) -> dict[str, float]:
        """Return what the week takes from each lot."""
        return {lot["lot"]: lot["amount"] for lot in self.stock(item)["lots"]}

    def session(self, name: str) -> Row:
        """Return a session."""
        return self._one("sessions", "session", name)

    def state(self, name: str) -> str:
        """Return the state of a session."""
        return str(self.session(name)["state"])

    def lacks(self, session: str, item: str) -> float:
        """Return what a session lacks of an item."""
        total: float = sum(
            row["amount"] for row in self.session(session)["lacks"] if row["item"] == item
        )
        return total

    def lacking(self, item: str) -> list[str]:
        """Return the sessions that lack an item, by name."""
        return sorted(
            row["session"]
            for row in self.json["sessions"]
            if any(lack["item"] == item for lack in row["lacks"])
        )

    def need(self, session: str, item: str) -> float:
        """Return what a session uses directly of an item or solution."""
        total: float = sum(
            of["amount"]
            for row in self.json["needs"]
            if row["item"] == item
            for of in row["by_session"]
            if of["session"] == session
        )
        return total

    def batches(self, solution: str) -> list[Row]:
        """Return the batches of a solution, in order of make-day."""
        return [row for row in self.json["making_up"] if row["solution"] == solution]

    def made(self, solution: str, key: str) -> list[Any]:
        """Return one figure of each batch of a solution."""
        return [row[key] for row in self.batches(solution)]

    def part(self, solution: str, item: str) -> float:
        """Return how much of a part the only batch of a solution takes."""
        (batch,) = self.batches(solution)
        (amount,) = (row["amount"] for row in batch["parts"] if row["item"] == item)
        return float(amount)

    def containers(self, session: str, item: str) -> int:
        """Return in how many containers an item is set out."""
        return sum(
            row["containers"]
            for row in self.json["setting_out"]
            if (row["session"], row["item"]) == (session, item)
        )

    def order(self, item: str) -> dict[str, int]:
        """Return the packs to order of an item, by code."""
        return {row["pack"]: row["packs"] for row in self.json["orders"] if row["item"] == item}

    def ordered(self, item: str, key: str) -> list[Any]:
        """Return one figure of each order row of an item."""
        return [row[key] for row in self.json["orders"] if row["item"] == item]

    def waste(self, stream: str, key: str, unit: str | None = None) -> Any:  # noqa: ANN401 - JSON
        """Return a figure of a waste stream; 0 where it has no row."""
        found = [
            row
            for row in self.json["waste"]
            if row["stream"] == stream and unit in (None, row["unit"])
        ]
        return found[0][key] if found else 0

    def waste_on(self, stream: str, day: str) -> float:
        """Return what is allowed for in a stream on a day."""
        total: float = sum(
            of["allow_for"]
            for row in self.json["waste"]
            if row["stream"] == stream
            for of in row["by_day"]
            if of["date"] == day
        )
        return total

    def balance(self, session: str, item: str, place: str) -> tuple[float, float]:
        """Return what of an item's lines in a session is in one place, without spare and with."""
        rows = [
            row for row in self.json["balance"] if (row["session"], row["item"]) == (session, item)
        ]
        expected: float = sum(row["expected"][place] for row in rows)
        allow_for: float = sum(row["allow_for"][place] for row in rows)
        return expected, allow_for

    def other_end(self, end: str, unit: str) -> float:
        """Return what is allowed for as kept, or into the air or the drain."""
        total: float = sum(
            row["allow_for"]
            for row in self.json["other_ends"]
            if (row["end"], row["unit"]) == (end, unit)
        )
        return total

    def apparatus(self, item: str, key: str) -> Any:  # noqa: ANN401 - as JSON gives it
        """Return a figure of a piece of apparatus."""
        return self._one("apparatus", "item", item)[key]

    def warned(self, about: str, words: str = "") -> int:
        """Return how many warnings about something have these words."""
        return sum(
            row["about"] == about and words in row["message"] for row in self.json["warnings"]
        )

    def delivered(self, item: str) -> dict[str, float]:
        """Return what the week takes from each delivery, by pack."""
        taken: dict[str, float] = {}
        for one in self.plan.stock[fold(item)].served:
            for draw in one.draws:
                if draw.delivery is not None:
                    pack = draw.delivery.pack
                    taken[pack] = taken.get(pack, 0) + float(draw.amount)
        return taken

    def sheet(self, name: str) -> str:
        """Return the words of a sheet of the workbook, a line a row."""
        (page,) = (page for page in pages_of(self.plan) if page.name == name)
        heads = " | ".join(column.heading for column in page.columns)
        rows = (row for block in (*page.blocks, page.if_room, *page.on_screen) for row in block)
        lines = (" | ".join(str(value) for value in row.values) for row in rows)
        return "\n".join([heads, *lines])

    def exported(self, table: str) -> str:
        """Return a table as an export writes it."""
        return csv_text(tuple(TABLES[table].columns), self.rows[table])


@cache
def unchanged(week: str, *, is_by_item: bool = False) -> Sample:
    """Return the sample as it is, or with packs chosen one item at a time."""
    return Sample((setting("ordering", "by item"),) if is_by_item else (), week)
