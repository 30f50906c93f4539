from prepstore.tables.unreadable import UnreadableError


def test_what_is_wrong_and_what_is_expected_are_kept_apart_and_told_together() -> None:
    error = UnreadableError("amount-unreadable", "has no unit.", "Write it like 25 mL.")
    assert (error.code, error.what, error.remedy) == (
        "amount-unreadable",
        "has no unit.",
        "Write it like 25 mL.",
    )
    assert str(error) == "has no unit. Write it like 25 mL."
