"""A day in a copy, taken into the store: what fits, what does not, and that nothing comes twice."""

import json
import shutil
from pathlib import Path

import pytest

from prepstore.ledger.role import Role
from tests.at_a_terminal import at_a_terminal
from tests.cli.conftest import Run
from tests.people import department_with_roles, done
from tests.servers import Server, asked

Words = tuple[str, ...]

TAKE_IN: Words = ("store", "take-in", "tuesday.db")


@pytest.fixture
def parted(own: Run) -> Run:
    """The sample's store, and a copy of it."""
    shutil.copy("prepstore.db", "tuesday.db")
    return own


def _in_copy(run: Run, *commands: str) -> None:
    for command in commands:
        said = run("--db", "tuesday.db", *_words(command))
        assert said.exit_code == 0, said.output


def _words(command: str) -> list[str]:
    return [word.replace("_", " ") for word in command.split()]


def _here(run: Run, *commands: str) -> None:
    for command in commands:
        said = run(*_words(command))
        assert said.exit_code == 0, said.output


def _held(run: Run, *lots: str) -> dict[str, str]:
    rows = json.loads(run("stock", "list", "--json").stdout)
    return {row["lot"]: f"{row['amount']}" for row in rows if row["lot"] in lots}


def test_each_entry_comes_in_its_order_with_who_and_when(parted: Run) -> None:
    _in_copy(
        parted,
        "stock use L0104 5_mL --by Kim --on 2027-03-02 --reason spilt",
        "stock receive acetone 1_L --lot New-1 --expiry 2030-01-01 --by Ola",
        "stock move New-1 bay_7 --by Ola",
        "stock use New-1 20_mL --by Ola",
    )
    _here(parted, "stock use L0105 5_mL")
    said = parted(*TAKE_IN)
    assert said.exit_code == 0, said.output
    assert said.stdout.splitlines() == [
        "Entry 2 of tuesday.db, 2027-03-02, Kim",
        "  L0104 hydrochloric acid, concentrated: used 5 mL, 2.495 L left",
        "Entry 3 of tuesday.db, 2027-03-03, Ola",
        "  New-1 acetone: received 1 L, 1 L left",
        "Entry 4 of tuesday.db, 2027-03-03, Ola",
        "  New-1 acetone: moved from blank to bay 7",
        "Entry 5 of tuesday.db, 2027-03-03, Ola",
        "  New-1 acetone: used 20 mL, 980 mL left",
        "Taken in from tuesday.db: 4 entries, as 3 to 6.",
        "To undo one, the last one first: prepstore stock undo 6",
    ]
    rows = json.loads(parted("stock", "history", "--json").stdout)
    theirs = json.loads(parted("--db", "tuesday.db", "stock", "history", "--json").stdout)
    same = ("day", "at_utc", "by", "what", "lot", "change", "reason")
    assert [[row[name] for name in same] for row in rows if row["taken_from"]] == [
        [row[name] for name in same] for row in theirs if row["entry"] > 1
    ]
    taken = [row for row in rows if row["entry"] > 2]
    assert {row["taken_from"] for row in taken} == {"tuesday.db"}
    assert len({row["taken_in"] for row in taken}) == 1
    assert "spilt; taken in from tuesday.db on " in parted("stock", "history", "L0104").stdout
    assert parted("check").exit_code == 0


def test_nothing_is_taken_in_twice_and_what_came_since_is(parted: Run) -> None:
    _in_copy(parted, "stock use L0104 5_mL")
    assert parted(*TAKE_IN).exit_code == 0
    again = parted(*TAKE_IN)
    assert again.stdout == (
        "tuesday.db holds nothing new, so nothing was taken in. 1 entry of it was taken in "
        "before.\n"
    )
    _in_copy(parted, "stock use L0104 7_mL", "stock undo 2")
    third = parted(*TAKE_IN)
    assert third.exit_code == 0, third.output
    assert "2 entries, as 3 to 4" in third.stdout
    history = json.loads(parted("stock", "history", "L0104", "--json").stdout)
    assert [row["change"] for row in history[1:]] == [-5, -7, 5]
    assert history[1]["undone_by"] == 4


def test_what_is_taken_in_is_undone_like_all_else(parted: Run) -> None:
    _in_copy(parted, "stock receive acetone 1_L --lot New-1 --expiry 2030-01-01")
    assert parted(*TAKE_IN).exit_code == 0
    _here(parted, "stock undo 2")
    assert not _held(parted, "New-1")
    assert "nothing new" in parted(*TAKE_IN).stdout


def test_a_store_that_is_no_ancestor_is_refused(run: Run, parted: Run) -> None:
    assert run("--db", "other.db", "load", str(_SAMPLE)).exit_code == 0
    said = parted("store", "take-in", "other.db")
    assert said.exit_code == 1
    assert said.stderr == (
        "other.db is no copy of prepstore.db: the two have no entry of their histories in "
        "common.\nNothing was changed.\n"
    )
    itself = parted("store", "take-in", "prepstore.db")
    assert "is the store itself" in itself.stderr
    assert "no store at none.db" in parted("store", "take-in", "none.db").stderr


_SAMPLE = Path(__file__).parents[2] / "sample_inventory"

CONFLICTS: list[tuple[str, str, str]] = [
    (
        "stock use L0104 900_mL",
        "stock use L0104 2_L",
        "Lot L0104 holds 500 mL here, and 900 mL were used.",
    ),
    (
        "stock count L0104 1_L",
        "stock use L0104 5_mL",
        "Lot L0104 holds 2495 mL here and held 2500 mL in the copy when it was counted.",
    ),
    (
        "stock move L0104 bay_1",
        "stock move L0104 bay_2",
        "The place of lot L0104 is 'bay 2' here and was",
    ),
    (
        "stock use --session W10-Mon-1",
        "stock use --session W10-Mon-1",
        "Session W10-Mon-1 is booked out already.",
    ),
    (
        "stock receive acetone 1_L --lot New-1 --expiry 2030-01-01",
        "stock receive methanol 1_L --lot New-1 --expiry 2030-01-01",
        "There is a lot New-1 already, and the copy gave the label again.",
    ),
    (
        "stock use L0104 5_mL",
        "stock correct L0104 --label L9 --reason typed",
        "Lot L0104 is not there any more.",
    ),
    (
        "order cancel PO_27-031",
        "order due PO_27-031 --to 2027-03-30",
        "are on order here and 1 were in the copy when it was cancelled.",
    ),
    (
        "session students W10-Tue-1 9",
        "session students W10-Tue-1 8",
        "The students of session W10-Tue-1 is '8' here and was '20' in the copy when it became "
        "'9'.",
    ),
    (
        "session add New-1 ANA-01 2027-03-09 --students 3",
        "session add New-1 ANA-01 2027-03-10 --students 4",
        "There is a session New-1 already.",
    ),
    (
        "waste seal aqueous_acid",
        "waste seal aqueous_acid",
        "Waste container W27-003 is sealed here and was open in the copy when it was sealed.",
    ),
    (
        "waste measure aqueous_acid 5_L",
        "waste add aqueous_acid 10_mL",
        "Something else went into waste container W27-003 before it was measured.",
    ),
    (
        "stock rename acetone propanone",
        "stock rename acetone dimethyl_ketone",
        "There is no 'acetone' in items any more.",
    ),
    (
        "stock rename acetone propanone",
        "stock rename methanol propanone",
        "There is a 'propanone' in items already.",
    ),
]


@pytest.mark.parametrize(("in_copy", "here", "says"), CONFLICTS)
def test_what_no_longer_fits_is_named_and_nothing_is_taken_in(
    in_copy: str, here: str, says: str, parted: Run
) -> None:
    _in_copy(parted, "stock use L0106 5_mL --by Kim", in_copy)
    _here(parted, here)
    before = parted("stock", "history", "--all", "--json").stdout
    said = parted(*TAKE_IN)
    assert said.exit_code == 1
    *lines, last, nothing = said.stderr.splitlines()
    assert nothing == "Nothing was changed."
    assert lines
    assert all(line.startswith("Entry 3 of tuesday.db, 20") for line in lines)
    assert says in " ".join(lines)
    assert last == (
        "1 entry does not fit. To take in the other one all the same: --as-far-as-it-fits"
    )
    assert said.stdout == ""
    assert parted("stock", "history", "--all", "--json").stdout == before
    rest = parted(*TAKE_IN, "--as-far-as-it-fits")
    assert rest.exit_code == 1
    assert says in rest.stderr
    assert "Taken in from tuesday.db: 1 entry, as entry 3." in rest.stdout
    assert rest.stderr.splitlines()[-1] == (
        "Left out: 1 entry does not fit. Record by hand what is true of it."
    )
    assert parted("check").exit_code == 0


def test_what_rests_on_what_does_not_fit_is_left_out_with_it(parted: Run) -> None:
    _in_copy(
        parted,
        "stock receive acetone 1_L --lot New-1 --expiry 2030-01-01",
        "stock use New-1 5_mL",
        "stock undo 3",
        "stock use L0106 5_mL",
    )
    _here(parted, "stock receive acetone 2_L --lot New-1 --expiry 2030-01-01")
    said = parted(*TAKE_IN, "--as-far-as-it-fits")
    assert "Entry 3 of tuesday.db, 2027-03-03: It rests on entry 2 of the copy" in said.stderr
    assert "Entry 4 of tuesday.db, 2027-03-03: It undoes entry 3 of the copy" in said.stderr
    assert "Taken in from tuesday.db: 1 entry" in said.stdout
    assert _held(parted, "New-1", "L0106") == {"New-1": "2 L", "L0106": "1595 mL"}


def test_what_was_loaded_into_the_copy_is_told_and_not_taken_in(parted: Run) -> None:
    Path("set").mkdir()
    Path("set/settings.csv").write_text("setting,value\nprep_lead,3\n", encoding="utf-8")
    _in_copy(parted, "load set", "stock use L0104 5_mL")
    said = parted(*TAKE_IN)
    assert said.exit_code == 0
    assert "Not the same in tuesday.db and in the store: settings." in said.stderr


def test_a_trial_changes_nothing(parted: Run) -> None:
    _in_copy(parted, "stock use L0104 5_mL")
    said = parted(*TAKE_IN, "--dry-run")
    assert said.stdout.splitlines()[-1] == "Nothing was taken in."
    assert "used 5 mL" in said.stdout
    assert "1 entry" in parted(*TAKE_IN).stdout


def test_at_a_terminal_it_is_shown_and_asked_first(parted: Run) -> None:
    _in_copy(parted, "stock use L0104 5_mL", "stock use L0105 5_mL")
    for answer, says in (("n", "Nothing was taken in."), ("y", "2 entries, as 2 to 3.")):
        with at_a_terminal(*TAKE_IN) as asking:
            shown = asking.until("Take these 2 entries in? [y/N]: ")
            assert "L0104 hydrochloric acid, concentrated: used 5 mL" in shown
            asking.answer(answer)
            code, stdout, stderr = asking.end()
        assert (code, stderr) == (0, "")
        assert says in stdout
    assert parted("check").exit_code == 0


def test_what_only_its_recording_shows_is_named_as_well(parted: Run) -> None:
    Path("set").mkdir()
    Path("set/items.csv").write_text("item,kind,unit\nnew salt,reagent,g\n", encoding="utf-8")
    Path("set/stock.csv").write_text("lot,item,amount\nNew-1,new salt,5 g\n", encoding="utf-8")
    _in_copy(parted, "stock use L0106 5_mL", "load set", "stock use New-1 1_g", "stock undo 2")
    said = parted(*TAKE_IN, "--as-far-as-it-fits")
    assert "Entry 3 of tuesday.db, 2027-03-03: Lot New-1, item: 'new salt' is not" in said.stderr
    assert "Entry 4 of tuesday.db, 2027-03-03: It rests on entry 3 of the copy" in said.stderr
    assert "Taken in from tuesday.db: 2 entries, as 2 to 3." in said.stdout
    assert _held(parted, "L0106") == {"L0106": "1.6 L"}
    assert parted("check").exit_code == 0


@pytest.mark.server
def test_who_may_record_may_take_in_on_a_server(
    run: Run, server: Server, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PREPSTORE_TODAY", "2027-03-03")
    people = department_with_roles(server)
    recorder, copy = people.of(Role.RECORDER), str(tmp_path / "tuesday.db")
    done(people.of(Role.READER), "backup", copy)
    for words in (
        ("stock", "use", "L0104", "5 mL", "--by", "Kim"),
        ("stock", "receive", "acetone", "1 L", "--lot", "New-1", "--expiry", "2030-01-01"),
        ("stock", "use", "--session", "W10-Mon-1"),
        ("session", "students", "W10-Tue-1", "9"),
        ("stock", "undo", "2"),
    ):
        assert run("--db", copy, *words).exit_code == 0
    assert "5 entries, as 2 to 6." in done(recorder, "store", "take-in", copy)
    assert "holds nothing new" in done(recorder, "store", "take-in", copy)
    kept = asked(people.owner, "SELECT by, database_user FROM entries WHERE entry = 2")
    assert kept == [("Kim", f"{people.name}_a_recorder")]
    assert "is sound" in done(people.owner, "check")
