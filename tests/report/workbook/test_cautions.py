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
    at = rows.index(("These hazard codes in words",))
    assert rows[at + 1 :] == [
        (
            "",
            "H225 Highly flammable liquid and vapour",
            "H314 Causes severe skin burns and eye damage",
        ),
        ("", "H290 May be corrosive to metals", "H335 May cause respiratory irritation"),
    ]


def test_what_is_on_the_benches_has_its_codes_where_it_comes_first() -> None:
    practicals = "practical,title,group_size,notes\nESTER,Washing an ester,2,Vent often."
    rows = [row.values for row in rows_of(cautions_page(a_week(practicals=practicals)))]
    first = next(row for row in rows if str(row[-1]).startswith("ethyl acetate H225"))
    assert first[1] == "Tue am, ESTER: Vent often."
    assert sum("ethyl acetate H225" in str(row[-1]) for row in rows) == 1
    assert sum("Vent often." in str(row[1:2]) for row in rows) == 1
    (in_batches,) = (row for row in rows if row[1:2] == ("Only in what is made up",))
    assert str(in_batches[2]).startswith("hydrochloric acid, concentrated H290, H314")


def test_a_week_that_calls_for_nothing_does_not_say_that_it_is_safe() -> None:
    text = texts_of(cautions_page(an_empty_week()))
    assert "does not make it safe" in text
    assert "see the safety data sheets" in text
