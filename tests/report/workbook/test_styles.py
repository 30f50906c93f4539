from openpyxl import Workbook

from prepstore.report.workbook.page import CellForm, Look
from prepstore.report.workbook.styles import add_styles, style_name


def test_every_look_of_every_form_has_a_named_style() -> None:
    book = Workbook()
    add_styles(book)
    wanted = {style_name(look, form) for look in Look for form in CellForm}
    assert wanted <= set(book.named_styles)
