"""A plan's workbook: the order of its sheets, saved whole or not at all."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Final

from xlsxwriter import Workbook
from xlsxwriter.exceptions import FileCreateError

from prepstore.planning.calendar import Period
from prepstore.planning.plan import Plan
from prepstore.report.errors import ReportError
from prepstore.report.wording import far_day_in_words, period_in_words
from prepstore.report.workbook.apparatus import apparatus_page
from prepstore.report.workbook.cautions import cautions_page
from prepstore.report.workbook.lay_out import fill_sheet
from prepstore.report.workbook.make_up import make_up_page
from prepstore.report.workbook.order import order_page
from prepstore.report.workbook.page import Page
from prepstore.report.workbook.prepare import prepare_page
from prepstore.report.workbook.set_out import set_out_page
from prepstore.report.workbook.stock import stock_page
from prepstore.report.workbook.styles import DEFAULT, add_styles
from prepstore.report.workbook.waste import waste_page
from prepstore.report.workbook.week import week_page
from prepstore.report.workbook.workings import workings_page
from prepstore.safety.cautions import IN_SHORT
from prepstore.whole_file import write_whole

_AFTER_WEEK: Final[tuple[Callable[[Plan], Page], ...]] = (
    prepare_page,
    make_up_page,
    set_out_page,
    stock_page,
    order_page,
    waste_page,
    apparatus_page,
    cautions_page,
    workings_page,
)
"""The sheets, in order."""


def pages_of(plan: Plan) -> list[Page]:
    """Return the sheets of a plan, in order; the first names those that take no paper."""
    others = [of_plan(plan) for of_plan in _AFTER_WEEK]
    return [week_page(plan, others), *others]


_SETTINGS: Final = {"use_zip64": True, "default_format_properties": DEFAULT}
_LONG: Final = 400
"""Of more sessions the rows wait on disk: a year takes half the memory and a fifth more time."""

_SUBJECT: Final = "What the prep room makes up, sets out and orders"
_NOT_WAITING: Final = "its rows cannot wait in the folder for temporary files"


class WorkbookError(ReportError):
    """The workbook cannot be saved; the message is a sentence for a technician."""


@dataclass(frozen=True, slots=True)
class Origin:
    """What a workbook says of where it comes from: prepstore's version, the store's file name."""

    version: str
    store: str


def write_workbook(plan: Plan, path: Path, origin: Origin, in_front: Sequence[Page] = ()) -> None:
    """Write a plan as a workbook; the file is whole, or as it was before.

    Args:
        plan: The plan.
        path: The file, ending in `.xlsx`; one that is there is replaced.
        origin: What each sheet says of where it comes from.
        in_front: Sheets that come before the plan's own.

    Raises:
        WorkbookError: The file cannot be written.
    """
    period = period_in_words(plan.period)
    day = far_day_in_words(plan.today)
    planned = f"Planned on {day} for {period} · prepstore {origin.version} · store {origin.store}"
    pages = (*in_front, *pages_of(plan))
    frame = _Frame(
        title=f"Plan of {period}",
        over_title=(planned, IN_SHORT),
        foot=f"{_in_short(plan.period)} · planned on {day} · not a risk assessment",
    )
    _write(pages, path, frame, is_long=len(plan.sessions) > _LONG)


def _in_short(period: Period) -> str:
    """Return a period for the foot of an upright page, where a week's days have no room."""
    return f"Week {period.week}" if period.week else period_in_words(period)


def write_pages(
    pages: Iterable[Page], path: Path, title: str, over_title: Sequence[str], foot: str = ""
) -> None:
    """Write pages as a workbook; the file is whole, or as it was before.

    Args:
        pages: The sheets, in order.
        path: The file, ending in `.xlsx`; one that is there is replaced.
        title: Of the workbook.
        over_title: The two lines between each sheet's title and its headings.
        foot: What stands at the foot of each printed page; the first of these lines where nothing
            is given.

    Raises:
        WorkbookError: The file cannot be written.
    """
    _write(pages, path, _Frame(title, over_title, foot or over_title[0]), is_long=False)


@dataclass(frozen=True, slots=True)
class _Frame:
    """A workbook's title, and what stands over and under each of its sheets."""

    title: str
    over_title: Sequence[str]
    foot: str


def _write(pages: Iterable[Page], path: Path, frame: _Frame, *, is_long: bool) -> None:
    try:
        content = _made(pages, frame, is_long=is_long)
    except (OSError, FileCreateError) as error:
        raise WorkbookError(f"{path} cannot be written: {_NOT_WAITING}: {error}.") from error
    try:
        write_whole(path, content)
    except OSError as error:
        raise WorkbookError(_why_not(path, error)) from error


def _made(pages: Iterable[Page], frame: _Frame, *, is_long: bool) -> bytes:
    """Return the finished file; where it is long, rows that are written wait on disk."""
    file = BytesIO()
    with TemporaryDirectory(prefix="prepstore-", ignore_cleanup_errors=True) as folder:
        waits = {"constant_memory": is_long, "in_memory": not is_long, "tmpdir": folder}
        book = Workbook(file, {**_SETTINGS, **waits})
        try:
            book.set_properties({"title": frame.title, "subject": _SUBJECT, "author": "prepstore"})
            styles = add_styles(book)
            for page in pages:
                fill_sheet(book, styles, page, frame.over_title, frame.foot)
            book.close()
        finally:
            # Where a page fails they are still open.
            for sheet in book.worksheets() if is_long else ():
                sheet.row_data_fh.close()  # type: ignore[attr-defined]  # its types say: never one
    return file.getvalue()


def _why_not(path: Path, error: OSError) -> str:
    if isinstance(error, PermissionError):
        return (
            f"{path} cannot be written. Is it open in a spreadsheet, or is its folder read-only? "
            "Close it, or give another file."
        )
    if isinstance(error, FileNotFoundError):
        return f"{path} cannot be written: there is no folder {path.parent}."
    return f"{path} cannot be written: {error.strerror or error}."
