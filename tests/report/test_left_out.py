from prepstore.problems import Place, Problem
from prepstore.report.left_out import left_out_lines, left_out_warnings
from prepstore.report.warning_sentences import warning_in_words

PROBLEMS = [
    Problem("c", Place("the store", "stock", row, "expiry"), "'x' is no date.", "Mend it.")
    for row in (2, 3, 4)
]
NAMES = {"stock": ["L1", "L2"], "timetable": ["Mon"]}


def test_each_mistake_is_told_and_what_is_not_counted_because_of_it() -> None:
    assert list(left_out_lines(PROBLEMS, NAMES, at_most=2)) == [
        "the store: table stock, row 2, column expiry: 'x' is no date. Mend it.",
        "the store: table stock, row 3, column expiry: 'x' is no date. Mend it.",
        "… and 1 more: prepstore check",
        "The store has 3 mistakes. Left out: lots L1, L2; sessions Mon.",
    ]


def test_a_plan_warns_of_the_same() -> None:
    warned = list(left_out_warnings(PROBLEMS[:1], {}))
    assert [one.about for one in warned] == ["the store", "the store"]
    assert warning_in_words(warned[1]) == "Left out of this plan: only what these cells say."


def test_a_store_without_mistakes_says_nothing() -> None:
    assert list(left_out_lines([], {}, at_most=2)) == []
    assert list(left_out_warnings([], {})) == []
