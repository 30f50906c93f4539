"""Common practice, no source: each kind of hit is told something that fits it."""

import pytest

from prepstore.safety.meeting.chart import ChartPair, chart_pair, chart_pairs
from prepstore.safety.meeting.remedies import Where, remedy_for


def _pair(one: int, other: int) -> ChartPair:
    pair = chart_pair(one, other)
    assert pair is not None
    return pair


@pytest.mark.parametrize(
    ("groups", "in_stream"),
    [
        ((1, 10), "Neutralise first"),
        ((3, 10), "Neutralise first"),
        ((1, 106), "Acid into water"),
        ((2, 19), "Never in one container"),
        ((1, 11), "Never in one container"),
        ((17, 10), "Never in one container"),
        ((9, 25), "A container of its own for each; else let the gas off first"),
        ((24, 106), "Ask which container takes toxic metals"),
        ((10, 19), "A container of its own for each; else a little at a time"),
        ((5, 10), "A container of its own for each; else a little at a time"),
        ((106, 107), "A container of its own, dry and mixed with nothing"),
        ((104, 106), "Ask a competent person"),
        ((9, 22), "Never in one container"),
        ((1, 20), "Never in one container"),
    ],
)
def test_a_hit_in_a_stream_has_the_remedy_of_its_kind(
    groups: tuple[int, int], in_stream: str
) -> None:
    assert remedy_for(_pair(*groups), Where.STREAM).startswith(in_stream)


@pytest.mark.parametrize(
    ("groups", "at_place"),
    [
        ((1, 10), "Keep acids and bases in different cupboards"),
        ((2, 19), "Keep them in different cupboards"),
        ((106, 107), "Keep it dry"),
        ((104, 105), "Ask a competent person; until then keep them apart."),
        ((10, 19), "Keep each on a tray of its own"),
        ((1, 106), "Keep the acid on a tray of its own"),
    ],
)
def test_a_hit_where_stock_is_kept_has_another(groups: tuple[int, int], at_place: str) -> None:
    assert remedy_for(_pair(*groups), Where.PLACE).startswith(at_place)


@pytest.mark.parametrize("where", Where)
def test_every_pair_of_the_chart_has_a_remedy_that_never_says_safe(where: Where) -> None:
    for pair in chart_pairs().values():
        remedy = remedy_for(pair, where)
        assert remedy.endswith(".")
        assert "safe" not in remedy


def test_nothing_is_to_be_mixed_that_may_burn_burst_poison_or_is_not_known() -> None:
    for pair in chart_pairs().values():
        if {"E", "F", "GF", "GT", "P", "U"} & set(pair.codes):
            assert "a little at a time" not in remedy_for(pair, Where.STREAM)
