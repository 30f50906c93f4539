from prepstore.report.workbook.page import Look, Told, band, note, told


def test_a_band_and_a_note_run_over_the_whole_width() -> None:
    assert (band("Mon").look, band("Mon").runs_from) == (Look.BAND, 0)
    assert (note("Left out").look, note("Left out").runs_from) == (Look.NOTE, 0)


def test_what_is_told_after_words_says_them_in_order() -> None:
    row = told(("How", "Stir."), ("Label", "acid · keep cool"))
    assert (row.look, row.runs_from) == (Look.PLAIN, 0)
    assert [str(value) for value in row.values] == ["How: Stir. · Label: acid · keep cool"]


def test_only_the_words_are_bold() -> None:
    pieces = list(Told((("How", "Stir."), ("Label", "acid"))).pieces())
    assert pieces == [(True, "How: "), (False, "Stir."), (True, " · Label: "), (False, "acid")]
