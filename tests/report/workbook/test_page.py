from prepstore.report.workbook.page import Look, band, note


def test_a_band_and_a_note_run_over_the_whole_width() -> None:
    assert (band("Mon").look, band("Mon").runs_from) == (Look.BAND, 0)
    assert (note("Left out").look, note("Left out").runs_from) == (Look.NOTE, 0)
