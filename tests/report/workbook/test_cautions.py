from prepstore.report.workbook.cautions import cautions_page
from prepstore.safety.cautions import usual_cautions
from tests.report.workbook.a_week import a_week, an_empty_week, rows_of, texts_of


def test_the_usual_cautions_stand_first_whatever_the_week_holds() -> None:
    for plan in (a_week(), an_empty_week()):
        rows = rows_of(cautions_page(plan))
        assert [row.values[1] for row in rows[1 : len(usual_cautions()) + 1]] == list(
            usual_cautions()
        )


def test_each_hazard_code_is_in_words() -> None:
    rows = [row.values for row in rows_of(cautions_page(a_week()))]
    assert ("H225", "Highly flammable liquid and vapour", "ethyl acetate") in rows


def test_a_week_that_calls_for_nothing_does_not_say_that_it_is_safe() -> None:
    text = texts_of(cautions_page(an_empty_week()))
    assert "does not make it safe" in text
    assert "see the safety data sheets" in text
