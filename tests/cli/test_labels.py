"""The command on contents that it is given; it is in no list of commands until they are real."""

import json
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
import typer
from typer.testing import CliRunner, Result

from prepstore.cli.labels import AskedLabels, labels_command
from prepstore.cli.store_option import Store
from prepstore.report.labels.contents import LabelContent, LabelKind, LabelSet
from tests.report.labels_on_paper import CORROSIVE, IRRITANT, Paper, label

Labels = Callable[..., Result]
WEEK = ("--week", "2027-W05", "--today", "2027-02-01")
SMALL = label("ethanol", 100, number="2027-02-03-2", hazards=IRRITANT)


class Printer:
    """The command over some contents; it keeps what was asked."""

    def __init__(self, *contents: LabelContent) -> None:
        self.contents = contents
        self.asked: list[AskedLabels] = []

    def __call__(self, *words: str) -> Result:
        app = typer.Typer()

        @app.callback()
        def _globals(context: typer.Context) -> None:
            context.obj = Store(Path("prepstore.db"))

        app.command("labels")(labels_command(self._found))
        return CliRunner().invoke(app, ["labels", *words])

    def _found(self, store: Store, asked: AskedLabels) -> LabelSet:
        assert store.path == Path("prepstore.db")
        self.asked.append(asked)
        return LabelSet(date(2027, 2, 1), self.contents)


@pytest.fixture(autouse=True)
def _folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("PREPSTORE_TODAY", "2027-01-31")


def test_a_week_is_printed_on_the_usual_sheet_into_a_file_of_its_name() -> None:
    printer = Printer(label("one", number="A-1"), label("two", number="A-2"))
    result = printer(*WEEK)
    assert result.exit_code == 0, result.output
    assert result.stdout == (
        "2 labels on 1 page: labels-2027-W05.pdf. Print at true size (100 %), not fitted to the "
        "page.\n"
    )
    paper = Paper(Path("labels-2027-W05.pdf").read_bytes())
    assert paper.size() == pytest.approx((210, 297), abs=0.1)
    assert sorted(paper.codes()) == ["A-1", "A-2"]
    (asked,) = printer.asked
    assert asked.kind is LabelKind.SOLUTION
    assert asked.week is not None
    assert asked.week.week == "2027-W05"
    assert asked.today == date(2027, 2, 1)


def test_the_sheet_the_first_label_and_the_file_are_as_asked() -> None:
    result = Printer(*[label("x", 100)] * 3)(*WEEK, "--grid", "3x8 70x37", "--start", "23",
                                             "--out", "these.pdf")  # fmt: skip
    assert result.stdout.startswith("3 labels on 2 pages: these.pdf.")
    paper = Paper(Path("these.pdf").read_bytes())
    assert not paper.ink()[: int(250 / 25.4 * 150)].any()
    assert len(paper) == 2


def test_a_printer_of_single_labels_gets_a_page_a_label() -> None:
    result = Printer(label("x"), label("x"))(*WEEK, "--size", "57x32")
    assert result.stdout.startswith("2 labels on 2 pages")
    assert Paper(Path("labels-2027-W05.pdf").read_bytes()).size() == pytest.approx(
        (57, 32), abs=0.1
    )


def test_lots_and_waste_need_no_week() -> None:
    for kind in ("lots", "waste"):
        printer = Printer(label("x"))
        assert printer("--of", kind).exit_code == 0
        assert Path(f"labels-{kind}.pdf").exists()
        assert [(asked.kind, asked.week, asked.today) for asked in printer.asked] == [
            (LabelKind(kind), None, date(2027, 1, 31))
        ]


def test_what_a_label_does_without_is_said() -> None:
    result = Printer(SMALL)(*WEEK, "--size", "57x30")
    assert result.stdout.splitlines()[0] == (
        "Label 2027-02-03-2 (ethanol) does without precautionary statements that a container of "
        "up to 125 mL may leave out (Annex I, 1.5.2)."
    )


def test_labels_that_do_not_fit_are_named_and_no_file_is_written() -> None:
    acid = label("acid", hazards=CORROSIVE)
    result = Printer(label("x"), acid)(
        *WEEK, "--size", "57x32", "--out", "a.pdf", "--json", "b.json"
    )
    assert result.exit_code == 1
    assert "(acid) does not fit on 57 x 32 mm" in result.stderr
    assert list(Path().iterdir()) == []


def test_json_is_alone_on_standard_output_and_brings_no_pdf_unless_asked() -> None:
    printer = Printer(label("x", number="A-1"))
    result = printer(*WEEK, "--json", "-")
    assert json.loads(result.stdout)["labels"][0]["number"] == "A-1"
    assert list(Path().iterdir()) == []
    result = printer(*WEEK, "--json", "-", "--out", "a.pdf")
    assert json.loads(result.stdout)["contract"] == 2
    assert "1 label on 1 page: a.pdf" in result.stderr
    printer(*WEEK, "--json", "b.json")
    assert json.loads(Path("b.json").read_text("utf-8"))["date_of_rules"] == "2027-02-01"


def test_json_of_labels_that_fit_no_sheet_is_still_given() -> None:
    result = Printer(label("acid", hazards=CORROSIVE))(*WEEK, "--json", "-", "--size", "57x32")
    assert result.exit_code == 0


def test_without_labels_no_file_is_written() -> None:
    result = Printer()(*WEEK)
    assert result.stdout == "There is nothing to label, so no PDF is written.\n"
    assert result.exit_code == 0
    assert list(Path().iterdir()) == []


def test_a_file_that_cannot_be_written_is_named() -> None:
    Path("a.pdf").mkdir()
    result = Printer(label("x"))(*WEEK, "--out", "a.pdf")
    assert result.exit_code == 1
    assert "a.pdf cannot be used" in result.stderr


@pytest.mark.parametrize(
    ("words", "why"),
    [
        (["--of", "bottles"], "Give --week for labels of bottles"),
        ([], "Give --week for labels of solutions"),
        ([*WEEK, "--of", "shelves"], "shelves"),
        ([*WEEK, "--grid", "3x8 70x37", "--size", "57x32"], "Give either --grid"),
        ([*WEEK, "--size", "57x32", "--start", "2"], "--start is for sheets"),
        ([*WEEK, "--start", "9"], "labels 1 to 8"),
        ([*WEEK, "--grid", "a dozen"], "is not a grid of labels"),
        ([*WEEK, "--size", "large"], "is not the size of a label"),
        ([*WEEK, "--out", "a.xlsx"], "must end in .pdf"),
        ([*WEEK, "--out", "a.pdf", "--json", "a.pdf"], "Give two names"),
    ],
)
def test_wrong_use_is_told_and_nothing_is_asked(words: list[str], why: str) -> None:
    printer = Printer(label("x"))
    result = printer(*words)
    assert result.exit_code == 2
    told = "".join(sign for sign in result.stderr if sign not in "│╭╮╰╯─")
    assert why in " ".join(told.split())
    assert printer.asked == []
    assert list(Path().iterdir()) == []
