"""Codes for label numbers; that they are read back is tested on paper in test_label_pdf.py."""

import numpy as np
import pytest
import zxingcpp

from prepstore.report.paper.scannable import MODULE_MM, Code, codes_for


def _read(code: Code) -> str:
    dots = np.kron(np.pad(np.array(code.rows), code.quiet), np.ones((4, 4)))
    found = zxingcpp.read_barcodes((255 * (1 - dots)).astype(np.uint8))
    return found[0].text if found else ""


@pytest.mark.parametrize("number", ["2027-02-03-1", "2027-02-03-127", "A", "bottle 12/α", "W7"])
def test_each_code_of_a_number_is_read_back(number: str) -> None:
    assert {_read(code) for code in codes_for(number)} == {number}


def test_the_larger_code_comes_first_and_both_have_the_white_that_the_standard_asks_for() -> None:
    # ISO/IEC 18004: 4 modules of white around a QR code, 2 around a Micro QR code.
    larger, smaller = codes_for("2027-02-03-1")
    assert larger.side_mm > smaller.side_mm
    assert (larger.quiet, smaller.quiet) == (4, 2)
    assert larger.side_mm == pytest.approx((21 + 8) * MODULE_MM)


def test_a_number_too_long_for_the_small_kind_has_the_large_one_alone() -> None:
    (only,) = codes_for("a number of a lot that somebody typed in full")
    assert only.quiet == 4
    assert _read(only) == "a number of a lot that somebody typed in full"
