"""The command: its sheets and files on contents that it is given, and the sample's labels."""

import json
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any
from unittest.mock import patch

import pytest
from typer.testing import CliRunner, Result

from prepstore.cli.labels import AskedLabels
from prepstore.cli.main import app
from prepstore.cli.store_option import Store
from prepstore.report.labels.contents import LabelContent, LabelSet
from prepstore.report.labels.label_kind import LabelKind
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
        with patch("prepstore.cli.labels.label_contents", self._found):
            return CliRunner().invoke(app, ["labels", *words])

    def _found(self, store: Store, asked: AskedLabels) -> LabelSet:
        assert store.place == Path("prepstore.db")
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


def test_lots_need_no_week() -> None:
    printer = Printer(label("x"))
    assert printer("--of", "lots").exit_code == 0
    assert Path("labels-lots.pdf").exists()
    assert [(asked.kind, asked.week, asked.today) for asked in printer.asked] == [
        (LabelKind.LOT, None, date(2027, 1, 31))
    ]


def test_waste_has_larger_labels() -> None:
    result = Printer(label("x"), label("x"), label("x"))(*WEEK, "--of", "waste")
    assert result.stdout.startswith("3 labels on 1 page")
    assert Printer(label("x"))(*WEEK, "--of", "waste", "--start", "5").exit_code == 2


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


SAMPLE_WEEK = ("--week", "2027-W10", "--today", "2027-03-03")


def _of_sample(run_sample: Callable[..., Result], *words: str) -> list[dict[str, Any]]:
    result = run_sample("labels", *words, "--json", "-")
    assert result.exit_code == 0, result.output
    labels: list[dict[str, Any]] = json.loads(result.stdout)["labels"]
    return labels


def test_the_sample_s_solutions_have_a_label_each(own: Labels) -> None:
    labels = _of_sample(own, *SAMPLE_WEEK)
    plan = json.loads(own("plan", *SAMPLE_WEEK, "--json", "-").stdout)
    keys = ("make_on", "solution", "volume_mL")
    planned = sorted([row[key] for key in keys] for row in plan["making_up"])
    assert sorted([one[key] for key in keys] for one in labels) == planned
    (alkali,) = (one for one in labels if one["solution"] == "sodium hydroxide 10 % w/v")
    # Annex VI, 011-002-00-6: Skin Corr. 1A from 5 %; the sample's solution has about 9 %.
    assert alkali["classes"] == ["Skin Corr. 1A"]
    assert (alkali["signal_word"], alkali["pictograms"]) == ("Danger", ["GHS05"])
    assert alkali["because"][0]["rule"].startswith("Annex I, Table 3.2.3")
    assert own("labels", *SAMPLE_WEEK).exit_code == 0


def test_the_numbers_are_those_that_stock_make_gives(
    run: Callable[..., Result], stock: Callable[..., Result]
) -> None:
    first = _of_sample(run, *SAMPLE_WEEK)[0]
    sign = ("--by", "Kim", "--on", first["make_on"])
    made = stock("make", first["solution"], "--week", "2027-W10", *sign)
    assert first["number"] in made.stdout, made.output


def test_bottles_lots_and_waste_of_the_sample(run_sample: Callable[..., Result]) -> None:
    bottles = _of_sample(run_sample, *SAMPLE_WEEK, "--of", "bottles")
    (one, *_) = (row for row in bottles if row["session"] == "W10-Tue-2")
    assert one["sets"]
    waste = _of_sample(run_sample, *SAMPLE_WEEK, "--of", "waste")
    (solvent,) = (row for row in waste if row["name"] == "non-halogenated solvent")
    assert (solvent["list_code"], solvent["h_codes"]) == ("14 06 03*", [])
    assert "GHS02" in solvent["pictograms"]
    assert len(solvent["components"]) == 6
    assert solvent["components"][-1] == "part not known"
    assert run_sample("labels", *SAMPLE_WEEK, "--of", "waste").exit_code == 0
    assert _of_sample(run_sample, "--of", "lots", "--today", "2027-03-03") == []
