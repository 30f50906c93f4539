from dataclasses import replace

from prepstore.planning.collections import Call, CallFor, Expected
from prepstore.report.collection_words import (
    call_in_words,
    collected_in_words,
    day_of_collection_in_words,
)
from tests.builders import day


def test_a_call_says_by_when_and_why_and_whether_it_is_late() -> None:
    today = day("02-08")
    by = day("02-15")
    assert call_in_words(Call("", CallFor.MOST_HELD, by, today), today) == (
        "Call a collection by Mon 8 Feb 2027: on Mon 15 Feb 2027 there is more waste than "
        "waste_most_held."
    )
    assert call_in_words(Call("acid", CallFor.LONGEST, by, None), today) == (
        "A collection must have come by Mon 15 Feb 2027: a container of acid has been there as "
        "long as waste_longest then."
    )
    late = call_in_words(Call("acid", CallFor.CONTAINERS, by, day("02-05")), today)
    assert late.startswith("A collection should have been called by Fri 5 Feb 2027: on Mon 15")


def test_one_that_was_called_says_when_it_comes_and_whether_in_time() -> None:
    today, by = day("02-08"), day("02-15")
    called = Expected(day("02-05"), day("02-15"), is_said=True)
    call = Call("acid", CallFor.CONTAINERS, by, today, called)
    assert call_in_words(call, today) == (
        "A collection of acid was called on Fri 5 Feb 2027 and is expected on Mon 15 Feb 2027: on "
        "Mon 15 Feb 2027 the last container of acid is full."
    )
    late = replace(call, expected=replace(called, on=day("02-16"), is_said=False))
    assert call_in_words(late, today).startswith(
        "A collection of acid was called on Fri 5 Feb 2027 and is expected on Tue 16 Feb 2027 (by "
        "collection_lead; no day was said), TOO LATE: on Mon 15"
    )
    unsaid = replace(call, stream="", expected=Expected(day("02-05"), None, is_said=False))
    assert call_in_words(unsaid, today).startswith(
        "A collection of all streams by volume was called on Fri 5 Feb 2027, for what day was not "
        "said: on"
    )


def test_beside_its_stream_a_call_says_by_when_it_must_come_and_why() -> None:
    longest = Call("acid", CallFor.LONGEST, day("02-15"), None)
    assert collected_in_words(longest) == "acid"
    assert day_of_collection_in_words(longest) == (
        "it must come by Mon 15 Feb, when a container has been there as long as waste_longest"
    )
    assert collected_in_words(Call("", CallFor.MOST_HELD, day("02-15"), None)) == (
        "all streams by volume"
    )
