from prepstore.report.term_words import remarks, term_summary
from tests.planning.ahead.terms import ahead, tables_of


def said(**given: str) -> str:
    return "\n".join(term_summary(ahead(tables=tables_of(**given)), None))


def test_a_term_says_what_to_order_what_runs_short_and_what_it_comes_to() -> None:
    text = said()
    assert "2027-W05, Mon 1 Feb, North, 28.00 with delivery: 2 x N1 acetone 1 L" in text
    assert "acetone: in 2027-W06, 2 L in all; last day to order Fri 5 Feb 2027" in text
    assert "All orders come to 28.00 (goods 20.00, delivery 8.00); no other orders cost" in text


def test_a_day_that_is_past_is_said() -> None:
    assert "day to order Fri 29 Jan 2027, which is past" in " ".join(said(stock="0 mL").split())


def test_what_is_not_sold_and_what_is_made_on_site_are_told_apart() -> None:
    tables = tables_of()
    tables["packs"] = "pack,item,supplier,size,price\nN1,salt,North,1 kg,10"
    assert "2 L in all; nobody sells it" in "\n".join(term_summary(ahead(tables=tables), None))
    tables["items"] = (
        "item,kind,unit,supply,daily_capacity\nacetone,solvent,mL,made on site,500 mL\n"
        "salt,reagent,g,,"
    )
    words = "\n".join(term_summary(ahead(tables=tables), None))
    assert "1 L in all; more than can be made on site in a day" in words


def test_what_the_orders_leave_out_or_go_beyond_is_said() -> None:
    assert list(remarks(ahead())) == []
    (limit,) = remarks(ahead(most="1500 mL"))
    assert limit.startswith("acetone: 2 L would be there on Wed 3 Feb, more than the 1.5 L")
    *_, late = remarks(ahead(minimum="5 L", stock="3 L", weeks=1, today="2027-02-05"))
    assert late == "acetone: the restock cannot come by the last day, and is not ordered"


def test_sessions_that_are_not_booked_out_are_said() -> None:
    (first,) = remarks(ahead(today="2027-02-04"))
    assert first.startswith("sessions that are over and not booked out: 1.")
    assert first.endswith("prepstore stock use --until 2027-02-03 books them as planned")


def test_nothing_to_order_is_said() -> None:
    assert "Orders\n  nothing" in said(stock="3 L")
