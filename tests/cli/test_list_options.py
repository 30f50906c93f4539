import pytest
import typer

from prepstore.cli.list_options import Form, form_of


@pytest.mark.parametrize(
    ("json", "csv", "form"),
    [(False, False, Form.TEXT), (True, False, Form.JSON), (False, True, Form.CSV)],
)
def test_one_form_at_a_time(json: bool, csv: bool, form: Form) -> None:  # noqa: FBT001 - a table
    assert form_of(json=json, csv=csv) is form


def test_two_forms_are_wrong_usage() -> None:
    with pytest.raises(typer.BadParameter):
        form_of(json=True, csv=True)
