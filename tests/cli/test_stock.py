import csv
import json
from pathlib import Path

import pytest

from tests.cli.conftest import Run

ON = ("--on", "2027-03-03")


def test_lots_of_an_item_are_listed_with_their_place(run_sample: Run) -> None:
    shown = run_sample("stock", "list", "--item", "Acetone").stdout
    assert "L0236" in shown
    assert "flammables cabinet B" in shown
    assert shown.endswith("2 lots\n")


def test_lots_at_a_place_are_listed(run_sample: Run) -> None:
    lines = run_sample("stock", "list", "--place", "flammables cabinet B").stdout.splitlines()
    assert all("flammables cabinet B" in line for line in lines[1:-1])
    assert len(lines) > 3


def test_an_unknown_item_is_answered_with_the_nearest(run_sample: Run) -> None:
    result = run_sample("stock", "list", "--item", "acetoen")
    assert result.exit_code == 1
    assert "Did you mean acetone?" in result.stderr


def test_lots_are_listed_for_other_programs_as_well(run_sample: Run) -> None:
    listed = json.loads(run_sample("stock", "list", "--item", "acetone", "--json").stdout)
    assert [lot["lot"] for lot in listed] == ["L0236", "L0237"]
    text = run_sample("stock", "list", "--item", "acetone", "--csv").stdout
    as_text = [{column: str(cell) for column, cell in row.items()} for row in listed]
    assert list(csv.DictReader(text.splitlines())) == as_text
    assert run_sample("stock", "list", "--json", "--csv").exit_code == 2


@pytest.mark.parametrize(
    ("words", "lots"),
    [
        (("--state", "reserved"), ["L0209", "L0345"]),
        (("--expiring", "0", "--item", "acetone"), []),
        (("--expiring", "7", "--place", "prep room shelf 2"), ["L0227"]),
        (("--below-minimum", "--item", "silica gel for columns"), ["L0212"]),
        (("--opened-too-long", "--item", "diethyl ether"), ["L0243"]),
    ],
)
def test_lots_are_picked_by_state_dates_and_minimum(
    words: tuple[str, ...], lots: list[str], run_sample: Run
) -> None:
    listed = run_sample("stock", "list", *words, "--on", "2027-03-03", "--json")
    assert [lot["lot"] for lot in json.loads(listed.stdout)] == lots


def test_a_state_that_is_none_is_wrong_usage(run_sample: Run) -> None:
    result = run_sample("stock", "list", "--state", "lost")
    assert result.exit_code == 2
    assert "not one of usable, quarantine, reserved" in result.stderr


def _lots(listed: str) -> list[str]:
    return [lot["lot"] for lot in json.loads(listed)]


def test_what_goes_out_of_date_soon_and_what_has_already_is_picked(run_sample: Run) -> None:
    near = _lots(run_sample("stock", "list", "--expiring", "5", *ON, "--json").stdout)
    assert "L0227" in near  # 8 March
    assert "S27-054" not in near  # 9 March
    assert "L0152" in near  # 31 December 2026
    assert "L0243" in near  # opened on 20 August 2026, 180 days: 16 February
    assert "L0247" not in near  # never opened, 2028


def test_what_is_below_its_minimum_is_listed_with_its_lots(run_sample: Run) -> None:
    lines = run_sample("stock", "list", "--below-minimum", *ON).stdout.splitlines()
    assert lines[1].startswith("L0212")
    assert lines[-2:] == [
        "silica gel for columns: 60 g, minimum 500 g",
        "ethyl acetate: 1.85 L, minimum 2.5 L",
    ]
    one = run_sample("stock", "list", "--below-minimum", "--item", "ethyl acetate", *ON).stdout
    assert "silica" not in one


def test_what_is_below_its_minimum_is_told_though_no_lot_holds_it(run: Run) -> None:
    Path("bare").mkdir()
    Path("bare/items.csv").write_text(
        "item,kind,unit,minimum\nsalt,reagent,g,500 g\n", encoding="utf-8"
    )
    assert run("load", "bare").exit_code == 0
    assert run("stock", "list", "--below-minimum").stdout == ("0 lots\nsalt: 0 g, minimum 500 g\n")
    (row,) = json.loads(run("stock", "list", "--below-minimum", "--json").stdout)
    assert (row["lot"], row["item"], row["number"], row["minimum"]) == ("", "salt", 0, "500 g")


def test_opened_too_long_is_past_opened_life_or_past_a_peroxide_test(run_sample: Run) -> None:
    past_life = _lots(run_sample("stock", "list", "--opened-too-long", *ON, "--json").stdout)
    assert past_life == ["L0118", "L0217", "L0243"]
    later = ("--on", "2027-03-25")  # the tests of both bottles of ether were due on the 24th
    past_test = _lots(run_sample("stock", "list", "--opened-too-long", *later, "--json").stdout)
    assert "L0244" in past_test


def test_choices_narrow_each_other(run_sample: Run) -> None:
    words = ("--opened-too-long", "--item", "diethyl ether", *ON, "--json")
    assert _lots(run_sample("stock", "list", *words).stdout) == ["L0243"]
    assert _lots(run_sample("stock", "list", *words, "--state", "quarantine").stdout) == []


def test_an_empty_lot_is_counted_and_shown_only_where_wanted(run_sample: Run) -> None:
    item = ("stock", "list", "--item", "chart paper roll, flame photometer")
    assert run_sample(*item).stdout == ("0 lots\n1 empty lot is not shown; --empty shows it.\n")
    assert run_sample(*item, "--empty").stdout.splitlines()[-1] == "1 lot"
    assert _lots(run_sample(*item, "--json").stdout) == ["L0290"]


def test_the_history_may_be_asked_in_several_ways(run_sample: Run) -> None:
    everything = json.loads(run_sample("stock", "history", "--json").stdout)
    assert len(everything) > 100
    for words in (("L0236",), ("--lot", "L0236"), ("--item", "acetone", "--newest", "1")):
        assert "acetone" in run_sample("stock", "history", *words).stdout
    shown = run_sample("stock", "history").stdout
    assert "50 movements" in shown
    assert "--all shows the others as well." in shown
    assert "150 movements" not in shown
    nobody = run_sample("stock", "history", "--by", "nobody")
    assert nobody.exit_code == 1
    assert nobody.stderr.startswith("'nobody' has recorded nothing. Expected one of: ")
    assert run_sample("stock", "history", "--csv").stdout.startswith("entry,day,at_utc,by,what")


@pytest.mark.parametrize(
    "words",
    [
        ("--on", "2027-03-03", "--from", "2027-03-03"),
        ("--all", "--newest", "3"),
        ("L0236", "--item", "acetone"),
    ],
)
def test_a_history_asked_in_two_ways_at_once_is_wrong_usage(
    words: tuple[str, ...], run_sample: Run
) -> None:
    assert run_sample("stock", "history", *words).exit_code == 2


def test_the_usage_of_nothing_says_what_to_do(run_sample: Run) -> None:
    assert "prepstore stock use --session" in run_sample("stock", "usage").stdout


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("history", "--session", "W10-Mon-9"), "'W10-Mon-9' is not a known session. Did you mean"),
        (("history", "--by", "Kin"), "'Kin' has recorded nothing."),
        (("usage", "--item", "acetoen"), "Did you mean acetone?"),
        (("usage", "--practical", "ORG-99"), "'ORG-99' is not a known practical."),
    ],
)
def test_a_name_that_nothing_bears_is_not_an_empty_list(
    words: tuple[str, ...], says: str, run_sample: Run
) -> None:
    told = run_sample("stock", *words)
    assert told.exit_code == 1
    assert says in told.stderr


def test_a_session_is_found_however_it_is_spelled(run_sample: Run) -> None:
    assert run_sample("stock", "history", "--session", "w10-mon-4").exit_code == 0


def test_a_place_at_which_nothing_stands_is_no_empty_list(run_sample: Run) -> None:
    told = run_sample("stock", "list", "--place", "flammables cabinet Q")
    assert told.exit_code == 1
    assert "'flammables cabinet Q' is not a known place. Did you mean" in told.stderr


def test_a_lot_that_has_been_empty_for_a_year_leaves_the_lists(
    stock: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    stock("use", "L0236", "1.4 L", "--by", "Kim", "--on", "2027-03-08")

    def listed(today: str, *words: str) -> list[str]:
        monkeypatch.setenv("PREPSTORE_TODAY", today)
        shown = json.loads(stock("list", *words, "--json").stdout)
        return [row["lot"] for row in shown if row["lot"] == "L0236"]

    assert listed("2028-03-07") == ["L0236"]
    assert listed("2028-03-08") == []
    assert listed("2028-03-08", "--empty") == ["L0236"]
