from prepstore.report.workbook.workings import workings_page
from tests.planning.a_wash import a_wash
from tests.report.workbook.a_week import a_week, values_of


def words_of(used_for: str, name: str) -> str:
    return "\n".join(
        str(row["How it came about; figures here are exact"])
        for row in values_of(workings_page(a_week()))
        if (row["For"], row["Item, solution or stream"]) == (used_for, name)
    )


def test_a_line_shows_what_it_is_multiplied_from_and_what_it_replaces() -> None:
    assert (
        "dichloromethane is replaced by ethyl acetate x 1.5 (less harmful); "
        "extract: 30 mL per group = 45 mL (x 1.5) x 7 sets = 315 mL"
    ) in words_of("Tue am", "ethyl acetate")


def test_a_counted_need_is_its_lines_up_to_whole() -> None:
    words = words_of("Tue am", "filter paper")
    assert "= 46.2 each" in words
    assert words.endswith("rounded up to whole: 47 each")


def test_a_batch_shows_who_needs_it_how_it_is_rounded_and_its_parts() -> None:
    words = words_of("batch of 2027-02-01", "hydrogencarbonate wash")
    assert "350 mL + 150 mL still needed = 500 mL, rounded up to multiples of 100 mL: 500 mL" in (
        words
    )
    assert "for Tue am, Thu pm" in words
    assert "sodium hydrogencarbonate, 5 % w/v (50 g/L x 0.5 L" in words
    assert ": 25 g" in words


def test_draws_and_what_is_missing_are_those_of_each_need() -> None:
    words = words_of("stock", "ethyl acetate")
    assert "Tue am: 315 mL = 100 mL from lot ACETATE-1, cabinet B + 215 mL SHORT" in words
    assert "Thu pm: 135 mL = 135 mL SHORT" in words
    assert "short: 350 mL" in words
    assert "restock (minimum 500 mL, up to 2 L): 2000 mL" in words
    assert "order 1 x 2.5 L (ETAC-2.5)" in words


def test_containers_say_how_they_came_about() -> None:
    assert (
        "(600 in it now + 0 before these days + 700) / 900 mL a filling, rounded up: 2 containers"
    ) in words_of("waste", "aqueous acid")


def test_the_sheet_is_for_the_screen() -> None:
    page = workings_page(a_week())
    assert page.is_filtered
    assert not page.takes_paper


def test_what_is_held_back_and_left_over_stands_with_its_session_and_batch() -> None:
    rows = [
        (row["For"], row["Item, solution or stream"])
        for row in values_of(workings_page(a_wash()))
        if str(row["How it came about; figures here are exact"]).startswith(
            ("filter paper holds back", "left over on")
        )
    ]
    assert rows == [("S", "ethyl acetate"), ("batch of 2027-02-01", "brine")]
