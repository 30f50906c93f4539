import csv
import json
from pathlib import Path
from typing import Any

from tests.cli.conftest import SIGN, Run, amount_of, history_of


def test_ten_receipts_of_a_tenth_of_a_litre_and_one_use_of_one_leave_nothing(stock: Run) -> None:
    for _ in range(10):
        assert stock("receive", "acetone", "0.1 L", "--lot", "X1", *SIGN).exit_code == 0
    result = stock("use", "X1", "1 L", *SIGN)
    assert "X1 acetone: used 1 L, 0 mL left" in result.stdout
    assert amount_of(stock, "X1") == "0 mL"
    too_much = stock("use", "X1", "1 mL", *SIGN)
    assert too_much.exit_code == 1
    assert "holds 0 mL, less than 1 mL" in too_much.stderr
    assert "prepstore stock count X1" in too_much.stderr


def test_an_item_is_used_from_what_expires_first(stock: Run) -> None:
    result = stock("use", "acetone", "2 L", "--reason", "cleaning", *SIGN)
    assert "L0236 acetone: used 1.4 L, 0 mL left" in result.stdout
    assert "L0237 acetone: used 600 mL, 1.9 L left" in result.stdout
    assert [row["reason"] for row in history_of(stock, "L0237")][-1] == "cleaning"


def test_who_did_it_and_of_which_day_is_kept(stock: Run) -> None:
    stock("use", "L0236", "1 mL", *SIGN)
    row = history_of(stock, "L0236")[-1]
    assert (row["by"], row["day"], row["change"], row["written"]) == (
        "Kim",
        "2027-03-08",
        -1,
        "1 mL",
    )
    assert row["at_utc"].endswith("+00:00")


def _plan(run: Run, day: str) -> dict[str, Any]:
    words = ("--from", day, "--to", day, "--today", day, "--json", "-")
    plan: dict[str, Any] = json.loads(run("plan", *words).stdout)
    return plan


def test_a_session_is_booked_out_of_the_lots_its_plan_chose_and_is_done(
    stock: Run, run: Run
) -> None:
    before = _plan(run, "2027-03-08")
    planned = {
        row["item"]: of["amount"]
        for row in before["needs"]
        for of in row["by_session"]
        if of["session"] == "W10-Mon-4"
    }
    assert stock("use", "--session", "W10-Mon-4", "--by", "Kim").exit_code == 0
    rows = history_of(stock, "--session", "W10-Mon-4")
    used = {row["item"]: -row["change"] for row in rows}
    assert used == {name: planned[name] for name in used}
    assert set(planned) - set(used) == {
        "calorimeter cup with lid",
        "stopclock",
        "thermometer -10 to 110 °C",
    }
    assert {row["day"] for row in rows} == {"2027-03-08"}
    after = next(
        one for one in _plan(run, "2027-03-08")["sessions"] if one["session"] == "W10-Mon-4"
    )
    assert (after["state"], after["groups"], after["sets"]) == ("done", 0, 0)


def test_a_session_is_corrected_and_undone(stock: Run) -> None:
    acid = "hydrochloric acid 2 mol/L"
    stock("use", "--session", "W10-Mon-4", "--back", f"{acid}=350 mL", "--by", "Kim")
    assert amount_of(stock, "S27-021") == "1400 mL"
    again = stock("use", "--session", "W10-Mon-4")
    assert again.exit_code == 1
    assert "W10-Mon-4 is booked out already" in again.stderr
    stock("use", "--session", "W10-Mon-4", "--used", f"{acid}=1.2 L")
    assert amount_of(stock, "S27-021") == "1500 mL"
    (row,) = json.loads(stock("usage", "--item", acid, "--json").stdout)
    assert (row["planned"], row["used"]) == (1650, 1200)
    assert stock("undo", "2").exit_code == 1
    stock("undo", "3")
    stock("undo", "2")
    assert amount_of(stock, "S27-021") == "2.7 L"
    assert json.loads(stock("usage", "--json").stdout) == []


def test_a_single_use_for_a_session_counts_as_its_use(stock: Run) -> None:
    stock("use", "acetone", "50 mL", "--session", "W10-Mon-4", *SIGN)
    (row,) = json.loads(stock("usage", "--json").stdout)
    assert (row["practical"], row["planned"], row["used"]) == ("PHY-04", 0, 50)


GLOVES = "nitrile gloves, pair, medium"


def test_a_booking_is_undone_after_what_sets_it_right(stock: Run) -> None:
    stock("use", "--session", "W10-Mon-4", *SIGN)
    stock("use", "--session", "W10-Mon-4", "--used", f"{GLOVES}=30 each", *SIGN)
    told = stock("undo", "2", *SIGN)
    assert told.exit_code == 1
    assert "Session W10-Mon-4 has more recorded by entry 3. Undo that first" in told.stderr
    for entry in ("3", "2"):
        assert stock("undo", entry, *SIGN).exit_code == 0
    assert stock("undo", "5", *SIGN).exit_code == 0  # booked out again
    assert stock("undo", "4", *SIGN).exit_code == 0  # and set right again
    assert "has more recorded by entry" in stock("undo", "6", *SIGN).stderr


def test_a_booking_is_not_brought_back_beside_a_later_one(stock: Run) -> None:
    stock("use", "--session", "W10-Mon-4", *SIGN)
    stock("undo", "2", *SIGN)
    stock("use", "--session", "W10-Mon-4", "--used", f"{GLOVES}=30 each", *SIGN)
    told = stock("undo", "3", *SIGN)
    assert "Session W10-Mon-4 has more recorded by entry 4. Undo that first" in told.stderr
    for entry in ("4", "3", "6"):
        assert stock("undo", entry, *SIGN).exit_code == 0, entry


def test_less_than_other_entries_say_is_refused(stock: Run) -> None:
    stock("use", GLOVES, "8 each", "--session", "W10-Mon-4", *SIGN)
    told = stock("use", "--session", "W10-Mon-4", "--used", f"{GLOVES}=5 each", *SIGN)
    assert told.exit_code == 1
    assert f"Other entries say that this session used 8 of {GLOVES}" in told.stderr
    assert (
        stock("use", "--session", "W10-Mon-4", "--used", f"{GLOVES}=8 each", *SIGN).exit_code == 0
    )


def test_a_count_of_far_more_than_was_there_is_told(stock: Run) -> None:
    told = stock("count", "L0237", "25.1 L", *SIGN)
    assert "Lot L0237 held 2.5 L and would hold 25.1 L now. Check the number" in told.stderr
    assert "would hold" not in stock("count", "L0236", "14 L", *SIGN).stderr


def test_all_that_is_over_is_booked_out_as_planned_each_as_an_entry_of_its_own(
    stock: Run, run: Run
) -> None:
    result = stock("use", "--until", "2027-03-04", "--as-far-as-there-is", "--by", "Kim")
    assert result.exit_code == 0, result.output
    assert [line for line in result.stdout.splitlines() if line.startswith("W09-")] == [
        "W09-Tue-1, 2027-03-02",
        "W09-Wed-1, 2027-03-03",
        "W09-Thu-1, 2027-03-04",
        "W09-Thu-2, 2027-03-04",
        "W09-Thu-3, 2027-03-04",
    ]
    lacked = (
        "left out: 1.872 L of disodium EDTA 0.01 mol/L, which was not there (1.872 L was planned)"
    )
    assert lacked in result.stdout
    assert result.stdout.count("left out: ") == sum(
        "which was not there" in line and " 0 " not in line for line in result.stdout.splitlines()
    )
    assert "left out: 0" not in result.stdout
    assert {row["session"] for row in history_of(stock, "--by", "Kim")} >= {
        "W09-Wed-1",
        "W09-Thu-3",
    }
    again = stock("use", "--until", "2027-03-04")
    assert again.stdout == "No session up to 2027-03-04 is left to book out. Nothing was changed.\n"
    plan = json.loads(
        run("plan", "--week", "2027-W10", "--today", "2027-03-05", "--json", "-").stdout
    )
    assert plan["behind"] == []


def test_what_cannot_be_booked_out_is_said_and_the_rest_is(stock: Run) -> None:
    result = stock("use", "--until", "2027-03-03", "--by", "Kim")
    assert result.exit_code == 1
    assert "W09-Tue-1: disodium EDTA 0.01 mol/L: 1.872 L are not on the shelf" in result.stderr
    assert {row["session"] for row in history_of(stock, "--by", "Kim")} == {"W09-Wed-1"}


def test_until_goes_alone_and_not_ahead(stock: Run) -> None:
    typed = ("--session", "W09-Wed-1", "--back", "acetone=1 mL")
    refused = stock("use", "--until", "2027-03-03", *typed)
    assert refused.exit_code == 2
    told = " ".join(refused.output.replace("│", " ").split())
    assert "each on its own day: leave out --session, --back." in told
    ahead = stock("use", "--until", "2027-04-01")
    assert ahead.exit_code == 1
    assert "lies ahead" in ahead.stderr


# What of it goes into waste containers.


def _part_full(run: Run, stream: str) -> str:
    assert run("export", "out").exit_code == 0
    with Path("out/waste_streams.csv").open(encoding="utf-8", newline="") as file:
        rows = {row["stream"]: row for row in csv.DictReader(file)}
    return f"{rows[stream]['empty_containers']} {rows[stream]['part_full']}".strip()


def test_what_a_session_sends_to_streams_is_booked_with_it_and_undone_with_it(
    stock: Run, run: Run
) -> None:
    before = _part_full(run, "non-halogenated solvent")
    assert before == "1 3.6 L"
    result = stock("use", "--session", "W09-Thu-2", "--as-far-as-there-is", *SIGN)
    assert "-002 non-halogenated solvent: filled" in result.stdout
    assert _part_full(run, "non-halogenated solvent") != before
    of_session = history_of(stock, "--session", "W09-Thu-2")
    poured = [row for row in of_session if (row["container"] or "").endswith("-002")]
    assert {row["entry"] for row in poured} == {2}
    assert {row["item"] for row in poured} == {"ethyl acetate", "acetone"}
    assert stock("undo", "2", *SIGN).exit_code == 0
    assert _part_full(run, "non-halogenated solvent") == before
    assert stock("undo", "3", *SIGN).exit_code == 0
    assert _part_full(run, "non-halogenated solvent") != before


def test_a_session_that_is_booked_is_in_its_container_and_not_in_the_plan(
    stock: Run, run: Run
) -> None:
    def streams() -> dict[str, Any]:
        rows = _plan(run, "2027-03-08")["waste"]
        return {row["stream"]: row for row in rows if row["stream"] == "aqueous acid"}

    planned = streams()["aqueous acid"]["allow_for"]
    for session in ("W10-Mon-1", "W10-Mon-2", "W10-Mon-3", "W10-Mon-4"):
        stock("use", "--session", session, "--as-far-as-there-is", "--by", "Kim")
    assert planned > 0
    assert streams()["aqueous acid"]["allow_for"] == 0


def test_what_came_back_from_a_session_comes_out_of_its_container(stock: Run, run: Run) -> None:
    stock("use", "--session", "W09-Thu-2", "--as-far-as-there-is", *SIGN)
    booked = _part_full(run, "aqueous organic washings")
    assert booked == "59.2 mL"
    result = stock("use", "--session", "W09-Thu-2", "--back", "ethyl acetate=78 mL", *SIGN)
    assert "aqueous organic washings: taken back 5.92 mL of ethyl acetate" in result.stdout
    assert _part_full(run, "aqueous organic washings") == "53.28 mL"


def test_a_single_use_for_a_session_goes_where_its_script_says(stock: Run, run: Run) -> None:
    stock("use", "L0249", "50 mL", "--session", "W09-Thu-2", *SIGN)
    # By hand: 8 % of 50 mL, less its share of the 35.2 mL of 686.4 that 88 g of agent hold back.
    assert _part_full(run, "aqueous organic washings") == "3.794871795 mL"
    stock("use", "L0249", "50 mL", *SIGN)
    assert _part_full(run, "aqueous organic washings") == "3.794871795 mL"
