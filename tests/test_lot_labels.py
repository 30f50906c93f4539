from datetime import date

from prepstore.lot_labels import LabelChange, LabelWhat, ReservedLabels, free_label

MON, TUE = date(2027, 3, 8), date(2027, 3, 9)


def _reserved(label: str, solution: str = "Brine", make_on: date = MON) -> LabelChange:
    return LabelChange(what=LabelWhat.RESERVED, label=label, solution=solution, make_on=make_on)


PRINTED = ReservedLabels(
    {
        "2027-03-08-1": _reserved("2027-03-08-1", "dilute acid"),
        "2027-03-08-2": _reserved("2027-03-08-2"),
        "2027-03-08-3": _reserved("2027-03-08-3"),
        "2027-03-09-1": _reserved("2027-03-09-1", make_on=TUE),
    }
)


def test_a_free_label_is_the_day_and_the_next_number_that_nobody_has() -> None:
    assert free_label(MON) == "2027-03-08-1"
    assert free_label(MON, {"2027-03-08-1"}, {"2027-03-08-3"}) == "2027-03-08-2"
    assert free_label(MON, {"2027-03-08-1"}, {"2027-03-08-2"}) == "2027-03-08-3"


def test_a_batch_gets_the_labels_printed_for_it_one_after_the_other() -> None:
    assert PRINTED.of_batch("brine", MON, MON, {}) == "2027-03-08-2"
    assert PRINTED.of_batch("brine", MON, MON, {"2027-03-08-2"}) == "2027-03-08-3"
    # Made a day late it still has the label that was printed for it.
    assert PRINTED.of_batch("brine", MON, TUE, {}) == "2027-03-08-2"


def test_a_batch_without_a_printed_label_gets_one_of_its_real_day_that_is_free() -> None:
    used = {"2027-03-08-2", "2027-03-08-3"}
    assert PRINTED.of_batch("brine", MON, MON, used) == "2027-03-08-4"
    assert PRINTED.of_batch("brine", MON, TUE, used) == "2027-03-09-2"
    assert PRINTED.of_batch("lime water", MON, MON, {}) == "2027-03-08-4"
