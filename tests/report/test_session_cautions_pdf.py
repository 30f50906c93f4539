from datetime import date

import pytest

from prepstore.problems import RefusedError
from prepstore.report.session_cautions import CautionsPart
from prepstore.report.session_cautions_pdf import session_cautions_pdf
from tests.report.labels_on_paper import Paper

DAY = date(2027, 2, 1)


def _pdf(*texts: str) -> bytes:
    return session_cautions_pdf([CautionsPart("S1 · Washing", texts)], DAY, "Cautions of S1")


def test_a_page_has_all_its_words_on_a4() -> None:
    paper = Paper(_pdf("Vent the funnel.", "Never water into acid."))
    assert len(paper) == 1
    assert paper.size() == pytest.approx((210, 297), abs=0.1)
    text = " ".join(paper.text().split())
    for words in ("S1 · Washing", "Vent the funnel.", "Never water into acid."):
        assert words in text


def test_much_text_is_set_smaller_and_too_much_is_refused() -> None:
    much = "A caution that is read before the door opens. " * 110
    paper = Paper(_pdf(much))
    assert len(paper) == 1
    assert paper.text().count("before") == 110
    with pytest.raises(RefusedError, match="do not fit on one page"):
        _pdf(much * 4)


def test_a_sign_that_the_font_lacks_is_a_question_mark() -> None:
    assert "kept ? dry" in Paper(_pdf("kept \U0001f525 dry")).text()
