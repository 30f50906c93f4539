"""What LibreOffice makes of our workbooks: figures, texts that look like formulas, pages.

Skipped where its command `soffice` (and, for the pages, `pdftotext`) is not found. To have both,
on Debian or Ubuntu: `apt install libreoffice-calc poppler-utils`; on macOS with Homebrew:
`brew install --cask libreoffice` and `brew install poppler`, with `soffice` on the PATH.
"""

import re
import shutil
import subprocess
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from openpyxl.workbook import Workbook

from prepstore.formula_guard import guarded
from prepstore.planning.calendar import Period
from prepstore.planning.plan import Plan
from prepstore.report.workbook.order import by_supplier
from prepstore.report.workbook.workbook import Origin, pages_of, write_workbook
from prepstore.tables.write import write_set
from tests.benchmarks.term import term
from tests.builders import facts_from, plan_of
from tests.tables.written_rows import written

SOFFICE = shutil.which("soffice")
PDFTOTEXT = shutil.which("pdftotext")
ORIGIN = Origin(version="9.8.7", store="chemistry.db")

pytestmark = pytest.mark.slow  # a spreadsheet program
needs_soffice = pytest.mark.skipif(SOFFICE is None, reason="soffice is not installed: see above")
needs_pdftotext = pytest.mark.skipif(PDFTOTEXT is None, reason="pdftotext is not installed")

RUN_AS_FORMULAS = ["=1+1", "+1", "-1", "@SUM(A1)", "=cmd|'/c calc'!A1"]


def convert(to: str, files: list[Path], into: Path) -> None:
    """Convert files in one go, with a profile of its own, so that no open window is in the way."""
    assert SOFFICE is not None
    profile = (into / "profile").as_uri()
    options = [f"-env:UserInstallation={profile}", "--headless", "--convert-to", to]
    command = [SOFFICE, *options, "--outdir", str(into), *map(str, files)]
    subprocess.run(command, check=True, capture_output=True, timeout=120)


def odd_tables() -> dict[str, str]:
    """Return a set of tables whose names and notes would run as formulas."""
    items, lines, timetable = (
        ["item,kind,unit,notes"], ["practical,item,amount,per,notes"],
        ["session,practical,date,students"],
    )  # fmt: skip
    for number, text in enumerate(RUN_AS_FORMULAS, start=1):
        items.append(f"{text},reagent,g,{text}")
        lines.append(f"P,{text},1 g,student,{text}")
        timetable.append(f"{text},P,2027-02-0{number},3")
    texts = {"items": items, "practical_lines": lines, "timetable": timetable}
    return {table: "\n".join(rows) for table, rows in texts.items()}


@dataclass(frozen=True)
class Back:
    """Workbooks as they come back from LibreOffice, values instead of formulas."""

    folder: Path

    def book(self, name: str) -> Workbook:
        return openpyxl.load_workbook(self.folder / f"{name}.xlsx", data_only=True)

    def texts(self, name: str) -> list[object]:
        return [cell.value for cell in cells_of(self.book(name))]


def cells_of(book: Workbook) -> Iterator[Any]:
    for sheet in book:
        for row in sheet.iter_rows():
            yield from row


@pytest.fixture(scope="module")
def back(tmp_path_factory: pytest.TempPathFactory, sample_plan: Plan) -> Back:
    """Send the sample's workbook, an odd one and odd tables through LibreOffice once."""
    ours, back = (tmp_path_factory.mktemp(name) for name in ("ours", "back"))
    write_workbook(sample_plan, ours / "sample.xlsx", ORIGIN)
    write_workbook(plan_of(**odd_tables()), ours / "odd.xlsx", ORIGIN)
    rows = written(**odd_tables())
    write_set(rows, ours / "tables.xlsx")
    write_set(rows, ours / "csv")
    books = [ours / f"{name}.xlsx" for name in ("sample", "odd", "tables")]
    csv = [ours / "csv" / f"{name}.csv" for name in ("items", "practical_lines", "timetable")]
    convert("xlsx", [*books, *csv], back)
    return Back(back)


@pytest.fixture(scope="module")
def printed(tmp_path_factory: pytest.TempPathFactory, sample_plan: Plan) -> str:
    """Return the text of the sample's workbook printed as a PDF."""
    assert PDFTOTEXT is not None
    folder = tmp_path_factory.mktemp("printed")
    write_workbook(sample_plan, folder / "sample.xlsx", ORIGIN)
    convert("pdf", [folder / "sample.xlsx"], folder)
    command = [PDFTOTEXT, "-layout", str(folder / "sample.pdf"), "-"]
    return subprocess.run(command, check=True, capture_output=True, text=True, timeout=60).stdout


def order_rows(back: Back) -> list[tuple[Any, ...]]:
    return list(back.book("sample")["Order"].iter_rows(min_row=5, values_only=True))


def money(value: object) -> Decimal:
    return Decimal(str(value)).quantize(Decimal("0.0001"))


@needs_soffice
def test_the_cost_of_each_row_is_the_plan_s(back: Back, sample_plan: Plan) -> None:
    found = [(row[1], row[2], money(row[6])) for row in order_rows(back) if row[4]]
    wanted = [
        (sample_plan.label(order.name), order.offer.pack.pack, money(order.cost))
        for orders in by_supplier(sample_plan).values()
        for order in orders
    ]
    assert found == wanted
    assert wanted


@needs_soffice
def test_the_totals_of_suppliers_and_of_all_are_the_plan_s(back: Back, sample_plan: Plan) -> None:
    totals = [money(row[6]) for row in order_rows(back) if row[1] == "Total of goods"]
    wanted = [
        money(sum(order.cost for order in orders)) for orders in by_supplier(sample_plan).values()
    ]
    assert totals == wanted
    assert len(wanted) > 1
    [every] = [row[6] for row in order_rows(back) if row[1] == "Goods from all suppliers"]
    assert money(every) == money(sum(order.cost for order in sample_plan.orders))


@needs_soffice
def test_the_total_with_delivery_adds_the_supplier_s_charge(back: Back, sample_plan: Plan) -> None:
    found = [money(row[6]) for row in order_rows(back) if row[1] == "Total with delivery"]
    suppliers = sample_plan.catalogue.suppliers
    wanted = [
        money(sum(order.cost for order in orders) + charge)
        for name, orders in by_supplier(sample_plan).items()
        if (charge := suppliers[name].delivery_charge) is not None
    ]
    assert found == wanted


@needs_soffice
@pytest.mark.parametrize("name", ["sample", "odd", "tables"])
def test_no_cell_is_an_error(back: Back, name: str) -> None:
    wrong = [cell.coordinate for cell in cells_of(back.book(name)) if cell.data_type == "e"]
    assert wrong == []


@needs_soffice
@pytest.mark.parametrize("text", RUN_AS_FORMULAS)
def test_what_looks_like_a_formula_comes_back_from_a_plan_as_it_was(back: Back, text: str) -> None:
    assert text in back.texts("odd")


@needs_soffice
@pytest.mark.parametrize("text", RUN_AS_FORMULAS)
def test_what_looks_like_a_formula_comes_back_from_a_table_s_sheet_as_it_was(
    back: Back, text: str
) -> None:
    book = back.book("tables")
    for sheet, times in (("items", 2), ("practical_lines", 2), ("timetable", 1)):
        values = [cell.value for row in book[sheet].iter_rows() for cell in row]
        assert values.count(text) == times


@needs_soffice
@pytest.mark.parametrize("text", RUN_AS_FORMULAS)
def test_what_looks_like_a_formula_comes_back_from_a_csv_as_it_was_written(
    back: Back, text: str
) -> None:
    """A CSV has it with an apostrophe in front, which reading the table takes off again."""
    for table, times in (("items", 2), ("practical_lines", 2), ("timetable", 1)):
        assert back.texts(table).count(guarded(text)) == times


@needs_soffice
@needs_pdftotext
def test_no_number_is_too_wide_for_its_column_on_paper(printed: str) -> None:
    assert "###" not in printed


@needs_soffice
@needs_pdftotext
def test_every_sheet_that_takes_paper_is_printed_with_its_title_and_its_name_below(
    printed: str, sample_plan: Plan
) -> None:
    for page in pages_of(sample_plan):
        has_foot = re.search(rf"\n *{page.name} {{2,}}Week 2027-W10", printed) is not None
        found = (page.title in printed, has_foot)
        assert found == (page.takes_paper, page.takes_paper), page.name


@needs_soffice
@needs_pdftotext
def test_what_is_for_the_screen_is_not_printed(printed: str) -> None:
    assert "For the screen, and not printed" not in printed
    assert "Ends elsewhere" not in printed
    assert "Must not meet in one container" in printed


@needs_soffice
@needs_pdftotext
def test_no_letter_is_printed_below_ten_points(
    tmp_path: Path, sample_plan: Plan, empty_plan: Plan
) -> None:
    """A line of Liberation Sans, which stands in for Arial, is 1.3 of its size high in poppler."""
    assert PDFTOTEXT is not None
    for name, plan in (("sample", sample_plan), ("empty", empty_plan)):
        write_workbook(plan, tmp_path / f"{name}.xlsx", ORIGIN)
        convert("pdf", [tmp_path / f"{name}.xlsx"], tmp_path)
        command = [PDFTOTEXT, "-bbox", str(tmp_path / f"{name}.pdf"), "-"]
        done = subprocess.run(command, check=True, capture_output=True, text=True, timeout=60)
        words = re.findall(r'yMin="([0-9.]+)" xMax="[0-9.]+" yMax="([0-9.]+)"', done.stdout)
        assert len(words) > 100
        assert min(float(bottom) - float(top) for top, bottom in words) > 12.8


@needs_soffice
@needs_pdftotext
def test_a_week_prints_on_no_more_pages_than_is_written_down(
    printed: str, sample_plan: Plan
) -> None:
    """As `docs/explanation/paper.md` counts them, with two for other versions of LibreOffice."""
    assert sample_plan.sessions
    assert printed.count("\f") <= 38 + 2


def in_one_week(timetable: str) -> str:
    """Return a timetable with its sessions on the five days of 2027-W10, as many on each."""
    head, *rows = timetable.strip().split("\n")
    cells = [row.split(",") for row in rows]
    for at, row in enumerate(cells):
        row[2] = f"2027-03-{8 + at * 5 // len(cells):02}"
    return "\n".join([head, *(",".join(row) for row in cells)])


@needs_soffice
@needs_pdftotext
@pytest.mark.parametrize(("sessions", "most"), [(15, 25), (60, 90)])
def test_a_week_of_many_sessions_prints_on_few_pages(
    tmp_path: Path, sessions: int, most: int
) -> None:
    assert PDFTOTEXT is not None
    tables = term(sessions, 400)
    tables["timetable"] = in_one_week(tables["timetable"])
    plan = facts_from(tables).plan(Period.of_week("2027-W10"), date(2027, 3, 3))
    write_workbook(plan, tmp_path / "week.xlsx", ORIGIN)
    convert("pdf", [tmp_path / "week.xlsx"], tmp_path)
    command = [PDFTOTEXT, "-layout", str(tmp_path / "week.pdf"), "-"]
    text = subprocess.run(command, check=True, capture_output=True, text=True, timeout=60).stdout
    trolleys = len(re.findall(r"\n *Set out +Week 2027-W10", text))
    assert trolleys == sessions
    assert text.count("\f") <= most
