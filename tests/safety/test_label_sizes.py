"""Sizes of labels by the capacity of the container, at and beside each border of the table."""

from decimal import Decimal
from itertools import pairwise

import pytest

from prepstore.safety.hazard_statements import hazard_statements
from prepstore.safety.label_sizes import (
    LabelSize,
    hazard_may_be_left_out,
    label_size_for,
    label_sizes,
    may_be_left_out,
    precautions_may_be_left_out,
)
from tests.published.rows import rows_of


@pytest.mark.parametrize("row", rows_of("label_sizes"), ids=lambda row: row["capacity_mL"])
def test_sizes_are_those_of_the_regulation(row: dict[str, str]) -> None:
    size = label_size_for(Decimal(row["capacity_mL"]))
    assert size.pictogram_least_mm == Decimal(row["pictogram_side_mm"])
    assert size.x_height_mm == Decimal(row["x_height_mm"])
    must_be = f"{size.short_mm}x{size.long_mm}" if size.must_be else ""
    assert must_be == row["label_mm"]


def test_no_size_falls_as_containers_grow() -> None:
    for smaller, larger in pairwise(label_sizes()):
        assert smaller.x_height_mm <= larger.x_height_mm
        assert smaller.pictogram_least_mm <= larger.pictogram_least_mm <= larger.pictogram_wanted_mm


# Annex I, 1.2.1.3: a pictogram covers at least 1/15 of the least label, and never under 1 cm2.
@pytest.mark.parametrize("size", label_sizes(), ids=lambda size: str(size.capacity_to_ml))
def test_a_wanted_pictogram_is_a_fifteenth_of_the_least_label(size: LabelSize) -> None:
    assert size.pictogram_wanted_mm**2 * 15 >= size.short_mm * size.long_mm * Decimal("0.98")
    assert size.pictogram_least_mm**2 >= 100


@pytest.mark.parametrize(
    ("width", "height", "is_met"),
    [("74", "105", True), ("105", "74", True), ("105", "73.9", False), ("104.9", "74", False)],
)
def test_a_label_may_be_turned_but_not_smaller(width: str, height: str, *, is_met: bool) -> None:
    assert label_size_for(Decimal(5000)).is_met_by(Decimal(width), Decimal(height)) is is_met


def test_small_containers_should_but_need_not_have_the_wanted_label() -> None:
    assert label_size_for(Decimal(100)).is_met_by(Decimal(38), Decimal(21))


# Annex I, 1.5.2.1, from memory.
@pytest.mark.parametrize(
    ("h_code", "hazard", "precautions"),
    [("H225", True, True), ("H302+H332", True, True), ("H412", False, True), ("H314", False, False),
     ("H301+H311", False, False), ("H302+H331", False, False), ("H350", False, False)],
)  # fmt: skip
def test_what_a_small_package_may_do_without(
    h_code: str, *, hazard: bool, precautions: bool
) -> None:
    assert hazard_may_be_left_out(h_code, Decimal(125)) is hazard
    assert precautions_may_be_left_out(h_code, Decimal(125)) is precautions
    assert not hazard_may_be_left_out(h_code, Decimal("125.1"))
    assert not precautions_may_be_left_out(h_code, Decimal("125.1"))


def test_what_may_be_left_out_are_known_statements() -> None:
    assert set(may_be_left_out()) <= set(hazard_statements())
    assert set(may_be_left_out().values()) == {"H and P", "P"}
