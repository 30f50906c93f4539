from prepstore.report.workbook.cautions import cautions_page
from prepstore.safety.cautions import usual_cautions
from tests.report.workbook.a_week import a_week, an_empty_week, rows_of, texts_of


def test_the_usual_cautions_stand_first_whatever_the_week_holds() -> None:
    for plan in (a_week(), an_empty_week()):
        rows = rows_of(cautions_page(plan))
        assert [row.values[0] for row in rows[1 : len(usual_cautions()) + 1]] == list(
            usual_cautions()
        )


def test_a_caution_of_the_plan_says_why_it_stands_there() -> None:
    rows = [str(row.values[0]) for row in rows_of(cautions_page(a_week()))]
    (flames,) = (row for row in rows if row.startswith("No flames"))
    assert flames.endswith(" · H224, H225 or H226 on the label: ethyl acetate")


def test_each_hazard_code_is_in_words() -> None:
    rows = [row.values for row in rows_of(cautions_page(a_week()))]
    at = rows.index(("These hazard codes in words",))
    assert rows[at + 1 :] == [
        (
            "H225 Highly flammable liquid and vapour; H290 May be corrosive to metals; "
            "H314 Causes severe skin burns and eye damage; H335 May cause respiratory irritation",
        )
    ]


def test_what_is_on_the_benches_has_its_codes_where_it_comes_first() -> None:
    practicals = "practical,title,group_size,notes\nESTER,Washing an ester,2,Vent often."
    rows = [str(row.values[0]) for row in rows_of(cautions_page(a_week(practicals=practicals)))]
    (first,) = (row for row in rows if "ethyl acetate H225" in row)
    assert first.startswith("Tue am, ESTER: Vent often. · ethyl acetate H225")
    assert sum("Vent often." in row for row in rows) == 1
    assert any(
        row.startswith("Only in what is made up: hydrochloric acid, concentrated H290, H314")
        for row in rows
    )


def test_a_week_that_calls_for_nothing_does_not_say_that_it_is_safe() -> None:
    text = texts_of(cautions_page(an_empty_week()))
    assert "does not make it safe" in text
    assert "see the safety data sheets" in text
