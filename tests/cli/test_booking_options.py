from typing import Annotated

import pytest
import typer
from typer.testing import CliRunner

from prepstore.cli.booking_options import (
    Hand,
    amounts_by_item,
    by_hand,
    line_option,
    one_line,
    written_amount,
)
from prepstore.problems import RefusedError
from tests.builders import day
from tests.shelf.small_shelf import shelf

SHELF = shelf()


def test_an_amount_is_read_as_in_a_table() -> None:
    assert written_amount(" 3 x 15 mL ").text == "3 x 15 mL"
    with pytest.raises(RefusedError, match="'1,5 mL' is not a number and a unit"):
        written_amount("1,5 mL")


def test_pairs_name_items_and_what_of_each() -> None:
    assert amounts_by_item(SHELF, ["Acetone=0.25 L", "salt = 5 g"]) == {"acetone": 250, "salt": 5}
    assert amounts_by_item(SHELF, ["glove=0 each"]) == {"glove": 0}


@pytest.mark.parametrize(
    ("pairs", "says"),
    [
        (["acetone"], "does not say how much"),
        (["aceton=1 mL"], r"Did you mean acetone\?"),
        (["acetone=1 mL", "ACETONE=2 mL"], "named twice"),
        (["acetone=5"], "has no unit"),
    ],
)
def test_a_pair_that_cannot_be_read_is_refused(pairs: list[str], says: str) -> None:
    with pytest.raises(RefusedError, match=says):
        amounts_by_item(SHELF, pairs)


def test_a_text_that_is_kept_stands_on_one_line() -> None:
    assert one_line("  shelf\n 3 \t left ") == "shelf 3 left"


@pytest.mark.parametrize("text", ["", " \n", "a\x07b", "a\u202eb", "x" * 501])
def test_a_text_that_no_table_can_keep_is_refused(text: str) -> None:
    with pytest.raises(typer.BadParameter):
        one_line(text)


def test_a_command_with_a_hand_shows_its_options_and_is_given_who_when_and_why() -> None:
    given: list[tuple[str, str | None, Hand]] = []
    app = typer.Typer()

    @app.command()
    @by_hand
    def note(
        *,
        what: Annotated[str, typer.Argument()],
        label: Annotated[str | None, line_option("--as", "LABEL", "Its label.")] = None,
        hand: Hand,
    ) -> None:
        given.append((what, label, hand))

    run = CliRunner()
    assert run.invoke(app, ["lid"]).exit_code == 0
    words = ["lid", "--as", " W  9 ", "--by", "Kim", "--on", "2027-03-08", "--reason", "cracked"]
    assert run.invoke(app, [*words, "--dry-run"]).exit_code == 0
    assert given == [
        ("lid", None, Hand(None, None)),
        ("lid", "W 9", Hand("Kim", day("2027-03-08"), is_trial=True, reason="cracked")),
    ]
    shown = run.invoke(app, ["--help"]).output
    assert "hand" not in shown
    options = [shown.index(f"--{name}") for name in ("as", "reason", "by", "on", "dry-run")]
    assert options == sorted(options)
