"""Each command that changes the shelf, on a store of its own that holds the sample."""

import json
from pathlib import Path

import pytest

from tests.cli.conftest import SIGN, Run, amount_of, history_of

ETHER = "diethyl ether"


@pytest.mark.parametrize(
    "words",
    [
        ("receive", "acetone", "1 L"),
        ("use", "L0236", "1 mL"),
        ("use", "--session", "W10-Mon-4"),
        ("discard", "L0236", "--reason", "old"),
        ("count", "L0236", "1 L"),
        ("make", "saline", "--volume", "1 L"),
        ("undo", "2"),
    ],
)
def test_a_trial_records_nothing(words: tuple[str, ...], stock: Run) -> None:
    stock("use", "acetone", "1 mL", *SIGN)
    before = history_of(stock)
    words = tuple(word.replace("saline", "hydrochloric acid 2 mol/L") for word in words)
    result = stock(*words, "--dry-run")
    assert result.exit_code == 0, result.stderr
    assert result.stdout.endswith("Nothing was recorded.\n")
    assert history_of(stock) == before


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("use", "acetoen", "1 mL"), "Did you mean acetone?"),
        (("use", "L0236", "5 bananas"), "cannot be converted to mL: 'bananas' is neither a unit"),
        (("use", "L0236", "5"), "'5' has no unit. Write it like 25 mL"),
        (("use", "--session", "W10-Mon-9"), "Did you mean W10-Mon-"),
        (("use", "--session", "W10-Mon-4", "--used", "gloves"), "Write it like 'acetone=250 mL'"),
        (
            ("receive", "acetone", "1 L", "--lot", "L0103"),
            "is hydrochloric acid, concentrated, not",
        ),
        (("receive", "L0236", "1 L", "--lot", "X"), "L0236 is a lot already"),
        (("receive", "acetone"), "'acetone' is not a known pack."),
        (
            ("receive", "acetone", "1 L", "--supplier", "Fennick Trade Solvent"),
            "is not a known supplier. Did you mean Fennick Trade Solvents?",
        ),
        (("open", "L0236"), "was opened on 2027-02-22 already"),
        (("move", "L0236", "flammables cabinet B"), "is at flammables cabinet B already"),
        (("discard", "L0236", "--reason", "old", "--stream", "solvent"), "Expected one of: air"),
        (("make", "brine", "--volume", "1 L"), "'brine' is not a known solution"),
        (("undo", "99"), "There is no entry 99"),
    ],
)
def test_what_cannot_be_is_a_sentence_and_changes_nothing(
    words: tuple[str, ...], says: str, stock: Run
) -> None:
    before = history_of(stock)
    result = stock(*words)
    assert result.exit_code == 1
    assert says in result.stderr
    assert result.stderr.endswith("Nothing was changed.\n")
    assert history_of(stock) == before


@pytest.mark.parametrize(
    "words",
    [
        ("use",),
        ("use", "L0236"),
        ("use", "L0236", "1 mL", "--back", "acetone=1 mL"),
        ("count",),
        ("count", "L0236", "--sheet", "a.xlsx"),
        ("count", "--sheet", "a.csv"),
        ("discard", "L0236"),
        ("state", "L0236", "lost"),
        ("make", "saline"),
        ("receive", "acetone", "1 L", "--packs", "2"),
        ("receive", "OW-1373", "--supplier", "Quayside Glass"),
        ("receive", "acetone", "1 L", "--price", "14,90"),
        ("receive", "acetone", "1 L", "--price", "-1"),
        ("use", "L0236", "1 mL", "--on", "2027-02-30"),
        ("use", "L0236", "1 mL", "--by", "  "),
        ("move", "L0236", ""),
        ("receive", "acetone", "1 L", "--lot", ""),
    ],
)
def test_a_command_that_is_not_whole_is_wrong_usage(words: tuple[str, ...], stock: Run) -> None:
    assert stock(*words).exit_code == 2


def test_a_lot_is_received_into_by_its_label(stock: Run) -> None:
    assert (
        "L0236 acetone: received 1 L, 2.4 L left" in stock("receive", "L0236", "1 L", *SIGN).stdout
    )


def test_a_delivery_arrives_in_part_and_the_rest_stays_on_order(stock: Run, run: Run) -> None:
    words = ("--packs", "1", "--lot", "L0400", "--expiry", "2029-01-31", *SIGN)
    result = stock("receive", "OW-1373", *words)
    assert "L0400 potassium iodide: received 100 g of PO 27-045, 1 x OW-1373" in result.stdout
    rows = json.loads(run("order", "list", "--today", "2027-03-04", "--json").stdout)
    assert [row["packs"] for row in rows if row["pack"] == "OW-1373"] == [1]
    stock("receive", "OW-1373", "--lot", "L0401", *SIGN)
    rows = json.loads(run("order", "list", "--today", "2027-03-04", "--json").stdout)
    assert [row for row in rows if row["pack"] == "OW-1373"] == []
    assert stock("undo", "3").exit_code == 0
    rows = json.loads(run("order", "list", "--today", "2027-03-04", "--json").stdout)
    assert [row["packs"] for row in rows if row["pack"] == "OW-1373"] == [1]
    assert amount_of(stock, "L0401") is None


def test_opening_one_of_several_splits_it_off(stock: Run) -> None:
    stock("open", "L0241", *SIGN)
    rows = {row["lot"]: row for row in json.loads(stock("list", "--json").stdout)}
    assert rows["L0241"]["amount"] == "5000 mL"
    assert (rows["L0241-1"]["amount"], rows["L0241-1"]["opened"]) == ("2500 mL", "2027-03-08")
    stock("undo", "2")
    assert (amount_of(stock, "L0241"), amount_of(stock, "L0241-1")) == ("7.5 L", None)


def test_moved_state_changed_and_discarded_lots_say_so(stock: Run) -> None:
    stock("move", "L0236", "bench 3", *SIGN)
    stock("state", "L0236", "quarantine", "--reason", "cloudy", *SIGN)
    stream = ("--stream", "Non-halogenated solvent")
    stock("discard", "L0236", "1 L", "--reason", "spoilt", *stream, *SIGN)
    moved, changed, gone = history_of(stock, "L0236")[1:]
    assert (moved["was"], moved["now"]) == ("flammables cabinet B", "bench 3")
    assert (changed["now"], changed["reason"]) == ("quarantine", "cloudy")
    assert (gone["change"], gone["stream"]) == (-1000, "non-halogenated solvent")


def test_a_store_that_is_not_there_is_not_made(run: Run) -> None:
    result = run("--db", "none.db", "stock", "use", "L1", "1 mL")
    assert result.exit_code == 1
    assert "There is no store at none.db" in result.stderr
    assert not Path("none.db").exists()


def test_a_delivery_counts_at_the_price_it_was_ordered_at_or_that_was_really_paid(
    stock: Run,
) -> None:
    said = stock("receive", "OW-1373", "--packs", "1", "--lot", "L0400", *SIGN).stdout
    assert "received 100 g of PO 27-045, 1 x OW-1373 for 23.50, 100 g left" in said
    note = ("--price", "21.995", "--delivery-note", "DN 8 / 27")
    stock("receive", "OW-1373", "--lot", "L0401", *note, *SIGN)
    (ordered,) = history_of(stock, "L0400")
    (really,) = history_of(stock, "L0401")
    assert (ordered["paid"], ordered["supplier"], ordered["delivery_note"]) == (
        23.5,
        "Ossel and Wray Chemicals",
        None,
    )
    assert (really["paid"], really["delivery_note"]) == (21.995, "DN 8 / 27")


def test_what_was_not_on_order_has_a_price_for_all_of_it_and_a_supplier_of_the_table(
    stock: Run,
) -> None:
    words = ("--price", "0", "--supplier", "fennick trade solvents")
    said = stock("receive", "acetone", "5 L", "--lot", "L0500", *words, *SIGN).stdout
    assert "received 5 L for 0.00, 5 L left" in said
    (free,) = history_of(stock, "L0500")
    assert (free["paid"], free["supplier"]) == (0, "Fennick Trade Solvents")
