import pytest

from tests.every_case import every_case


def test_each_case_that_fails_is_named_and_the_others_are_tried() -> None:
    tried = []

    @every_case("number", range(4), ids=lambda number: f"case {number}")
    def is_refused(number: int) -> None:
        tried.append(number)
        assert number != 1
        with pytest.raises(ZeroDivisionError):
            _ = 1 / (number - 2) / (number - 3)

    with pytest.raises(BaseExceptionGroup, match="2 of 4 cases: is_refused") as failed:
        is_refused()
    assert tried == [0, 1, 2, 3]
    assert [error.__notes__ for error in failed.value.exceptions] == [["of case 0"], ["of case 1"]]


def test_several_arguments_are_given_by_their_names() -> None:
    tried = []

    @every_case("one,other", [(1, 2), (3, 4)])
    def they_are_taken(other: int, one: int) -> None:
        tried.append((one, other))

    they_are_taken()
    assert tried == [(1, 2), (3, 4)]


def test_nothing_holds_of_no_case_at_all() -> None:
    @every_case("number", [])
    def holds(number: int) -> None:
        raise NotImplementedError(number)

    with pytest.raises(AssertionError, match="there is no case"):
        holds()
