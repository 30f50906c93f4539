from pathlib import Path

import pytest

from tests.cli.conftest import SAMPLE, Run

ITEMS = "item,kind,unit\nsodium chloride,reagent,g\n"
STOCK = "lot,item,amount,place\nL1,sodium chloride,500 g,shelf A\n"


def _set(folder: Path, **tables: str) -> str:
    folder.mkdir(exist_ok=True)
    for name, text in tables.items():
        (folder / f"{name}.csv").write_text(text, encoding="utf-8")
    return str(folder)


def test_a_load_says_what_was_added(run: Run, tmp_path: Path) -> None:
    result = run("load", _set(tmp_path / "set", items=ITEMS, stock=STOCK))
    assert result.exit_code == 0
    assert "items: 1 added" in result.stdout
    assert "stock: 1 added" in result.stdout


def test_a_load_again_changes_nothing_and_says_so(run: Run, tmp_path: Path) -> None:
    folder = _set(tmp_path / "set", items=ITEMS, stock=STOCK)
    run("load", folder)
    assert "changes nothing" in run("load", folder).stdout


def test_a_lot_at_another_place_has_moved(run: Run, tmp_path: Path) -> None:
    folder = _set(tmp_path / "set", items=ITEMS, stock=STOCK)
    run("load", folder)
    _set(tmp_path / "set", stock=STOCK.replace("shelf A", "shelf B"))
    assert "stock: 1 moved" in run("load", folder).stdout


def test_another_amount_of_a_lot_is_an_error_that_gives_both(run: Run, tmp_path: Path) -> None:
    folder = _set(tmp_path / "set", items=ITEMS, stock=STOCK)
    run("load", folder)
    _set(tmp_path / "set", stock=STOCK.replace("500 g", "480 g"))
    result = run("load", folder)
    assert result.exit_code == 1
    assert "table stock, row 2, column amount" in result.stderr
    assert "'480 g'" in result.stderr
    assert "500 g" in result.stderr
    assert "--count" in result.stderr


def test_a_count_is_recorded_and_exported(run: Run, tmp_path: Path) -> None:
    folder = _set(tmp_path / "set", items=ITEMS, stock=STOCK)
    run("load", folder)
    _set(tmp_path / "set", stock=STOCK.replace("500 g", "480 g"))
    result = run("load", folder, "--count")
    assert result.exit_code == 0
    assert "counted: lot L1 is 480 g now" in result.stdout
    run("export", "out")
    assert "480 g" in Path("out/stock.csv").read_text(encoding="utf-8")


def test_the_same_amount_in_another_unit_is_no_difference(run: Run, tmp_path: Path) -> None:
    folder = _set(tmp_path / "set", items=ITEMS, stock=STOCK)
    run("load", folder)
    _set(tmp_path / "set", stock=STOCK.replace("500 g", "0.5 kg"))
    assert run("load", folder).exit_code == 0


def test_a_check_saves_nothing(run: Run, tmp_path: Path) -> None:
    result = run("load", _set(tmp_path / "set", items=ITEMS), "--check")
    assert result.exit_code == 0
    assert "Nothing was saved" in result.stdout
    assert not Path("prepstore.db").exists()


def test_a_load_with_a_mistake_leaves_no_store_behind(run: Run, tmp_path: Path) -> None:
    result = run("load", _set(tmp_path / "set", items=ITEMS, stock=STOCK.replace("500 g", "500")))
    assert result.exit_code == 1
    assert "1 mistake; nothing was changed." in result.stderr
    assert not Path("prepstore.db").exists()


def test_a_load_with_a_mistake_leaves_the_store_as_it_was(run: Run, tmp_path: Path) -> None:
    folder = _set(tmp_path / "set", items=ITEMS, stock=STOCK)
    run("load", folder)
    run("export", "before")
    more = STOCK + "L2,sodium chloride,100 g,\nL3,sodium cloride,1 g,\n"
    _set(tmp_path / "set", stock=more)
    result = run("load", folder)
    assert result.exit_code == 1
    assert "Did you mean sodium chloride?" in result.stderr
    run("export", "after")
    for file in Path("before").iterdir():
        assert file.read_bytes() == (Path("after") / file.name).read_bytes()


def test_the_unit_of_an_item_with_lots_stays(run: Run, tmp_path: Path) -> None:
    folder = _set(tmp_path / "set", items=ITEMS, stock=STOCK)
    run("load", folder)
    changed = "item,kind,unit,density\nsodium chloride,reagent,mL,2\n"
    result = run("load", _set(tmp_path / "other", items=changed))
    assert result.exit_code == 1
    assert "column unit" in result.stderr


def test_an_export_is_what_was_loaded_letter_for_letter(run_sample: Run) -> None:
    assert run_sample("export", "out").exit_code == 0
    for file in SAMPLE.glob("*.csv"):
        assert (Path("out") / file.name).read_text("utf-8") == file.read_text("utf-8"), file.name


def test_a_workbook_holds_the_same_as_a_folder(run_sample: Run, run: Run) -> None:
    run_sample("export", "out")
    run_sample("export", "out.xlsx")
    assert run("--db", "second.db", "load", "out.xlsx").exit_code == 0
    run("--db", "second.db", "export", "again")
    for file in Path("out").iterdir():
        assert file.read_bytes() == (Path("again") / file.name).read_bytes(), file.name


def test_text_that_would_run_as_a_formula_comes_back_as_it_was(run: Run, tmp_path: Path) -> None:
    items = "item,kind,unit,notes\nsalt,reagent,g,'=1+1\nsugar,reagent,g,\"'-20 freezer\"\n"
    run("load", _set(tmp_path / "set", items=items))
    run("export", "out.xlsx")
    run("--db", "second.db", "load", "out.xlsx")
    run("--db", "second.db", "export", "out")
    assert Path("out/items.csv").read_text("utf-8").count("'=1+1") == 1
    assert Path("out/items.csv").read_text("utf-8").count("'-20 freezer") == 1


def test_an_export_without_a_store_says_so(run: Run) -> None:
    result = run("export", "out")
    assert result.exit_code == 1
    assert "There is no store at prepstore.db" in result.stderr


def test_an_order_row_of_no_packs_clears_it(run: Run, tmp_path: Path) -> None:
    folder = _set(
        tmp_path / "set",
        items=ITEMS,
        suppliers="supplier,lead_days\nHarbour,0\n",
        packs="pack,item,supplier,size,price\nP1,sodium chloride,Harbour,1 kg,9\n",
        on_order="pack,packs,due,reference\nP1,2,2027-02-01,PO 1\n",
    )
    run("load", folder)
    cleared = "pack,packs,due,reference\nP1,0,2027-02-01,PO 1\n"
    assert "on_order: 1 removed" in run("load", _set(tmp_path / "c", on_order=cleared)).stdout


def test_clearing_what_is_not_on_order_changes_nothing_and_says_so(
    run: Run, tmp_path: Path
) -> None:
    tables = {
        "items": ITEMS,
        "suppliers": "supplier,lead_days\nHarbour,0\n",
        "packs": "pack,item,supplier,size,price\nP1,sodium chloride,Harbour,1 kg,9\n",
        "on_order": "pack,packs,due,reference\nP1,0,2027-02-01,PO 1\n",
    }
    folder = _set(tmp_path / "set", **tables)
    for _ in range(3):
        result = run("load", folder)
        assert result.exit_code == 0, result.stderr
        assert (
            "on_order.csv, row 2: nothing of P1 of PO 1, due on 2027-02-01, is on order, so its 0 "
            "packs change nothing."
        ) in result.stdout
    assert "packs change nothing." in run("load", folder, "--check").stdout
    assert run("check").exit_code == 0


def test_clearing_names_a_pack_that_is_known(run: Run, tmp_path: Path) -> None:
    tables = {"items": ITEMS, "on_order": "pack,packs,due\nP1,0,2027-02-01\n"}
    result = run("load", _set(tmp_path / "set", **tables))
    assert result.exit_code == 1
    assert "row 2, column pack: 'P1' is not a known pack." in result.stderr


def _with_history(run: Run, tmp_path: Path, target: str = "out") -> Path:
    """Export a store of one lot, of which some was used, with its history."""
    run("load", _set(tmp_path / "set", items=ITEMS, stock=STOCK))
    run("stock", "use", "L1", "20 g", "--by", "Kim", "--reason", "-5 by hand")
    result = run("export", target, "--history")
    assert result.exit_code == 0, result.output
    return tmp_path / target


def test_a_history_is_exported_beside_the_tables_and_loads_into_a_new_store(
    run: Run, tmp_path: Path
) -> None:
    for target in ("out", "out.xlsx"):
        path = _with_history(run, tmp_path, target)
        new = ("--db", f"{target}.db")
        checked = run(*new, "load", str(path), "--check")
        assert "is right" in checked.stdout
        assert not (tmp_path / f"{target}.db").exists()
        loaded = run(*new, "load", str(path))
        assert loaded.exit_code == 0, loaded.output
        entries = 2 if target == "out" else 3
        for result in (checked, loaded):
            assert f"  history: {entries} entries, {entries} movements\n" in result.stdout
        assert "stock: 1 added" in loaded.stdout
        history = ("stock", "history", "--json")
        assert run(*new, *history).stdout == run(*history).stdout


def test_figures_are_numbers_and_texts_are_guarded(run: Run, tmp_path: Path) -> None:
    path = _with_history(run, tmp_path)
    used = (path / "movements.csv").read_text("utf-8").splitlines()[2]
    assert used.startswith("2,2,L1,used,-20,g,20 g,")
    assert "'-5 by hand" in (path / "entries.csv").read_text("utf-8")


def test_without_history_the_export_is_as_it_was(run: Run, tmp_path: Path) -> None:
    path = _with_history(run, tmp_path)
    result = run("export", "plain")
    assert "Next: change the tables" in result.stdout
    for file in (tmp_path / "plain").iterdir():
        assert file.read_bytes() == (path / file.name).read_bytes()
    assert not (tmp_path / "plain" / "entries.csv").exists()
    assert result.stderr == ""


def test_an_older_history_in_the_folder_is_told(run: Run, tmp_path: Path) -> None:
    _with_history(run, tmp_path)
    result = run("export", "out")
    assert result.exit_code == 0
    assert "out also has entries.csv, movements.csv, " in result.stderr


def test_a_history_is_loaded_into_no_store_that_holds_anything(run: Run, tmp_path: Path) -> None:
    path = _with_history(run, tmp_path)
    result = run("load", str(path))
    assert result.exit_code == 1
    assert result.stderr.startswith("prepstore.db holds something already")


def test_a_history_is_not_counted(run: Run, tmp_path: Path) -> None:
    path = _with_history(run, tmp_path)
    result = run("--db", "new.db", "load", str(path), "--count")
    assert result.exit_code == 1
    assert "Leave --count out" in result.stderr


def test_half_a_history_is_refused_and_says_what_is_missing(run: Run, tmp_path: Path) -> None:
    path = _with_history(run, tmp_path)
    (path / "session_uses.csv").unlink()
    (path / "former_lots.csv").unlink()
    result = run("--db", "new.db", "load", str(path))
    assert result.exit_code == 1
    assert "out: has tables of a history, and lacks session_uses, former_lots." in result.stderr
    assert not (tmp_path / "new.db").exists()


def test_what_differs_is_told_and_nothing_is_loaded(run: Run, tmp_path: Path) -> None:
    path = _with_history(run, tmp_path)
    stock = (path / "stock.csv").read_text("utf-8")
    (path / "stock.csv").write_text(stock.replace("480 g", "500 g"), encoding="utf-8")
    for words in (("load", str(path), "--check"), ("load", str(path))):
        result = run("--db", "new.db", *words)
        assert result.exit_code == 1
        assert "column amount: (L1, sodium chloride) '500 g' is not" in result.stderr
        assert not (tmp_path / "new.db").exists()


def test_a_template_has_no_table_of_a_history(run: Run, tmp_path: Path) -> None:
    run("template", "empty")
    assert not (tmp_path / "empty" / "movements.csv").exists()


def test_a_load_names_each_lot_that_it_changes_and_how_it_is_undone(
    run: Run, tmp_path: Path
) -> None:
    stock = "lot,item,amount,place,state\nL1,sodium chloride,1 kg,shelf 1,\n"
    run("load", _set(tmp_path / "set", items=ITEMS, stock=stock))
    older = stock.replace("shelf 1,", "shelf 2,quarantine")
    result = run("load", _set(tmp_path / "older", stock=older))
    assert "  L1: moved from shelf 1 to shelf 2" in result.stdout
    assert "  L1: state changed from usable to quarantine" in result.stdout
    assert "Recorded as entry 2. To undo it: prepstore stock undo 2" in result.stdout
    assert run("stock", "undo", "2").exit_code == 0
    assert "shelf 1" in run("stock", "list").stdout


def _timetable(folder: Path, *rows: str) -> str:
    folder.mkdir(exist_ok=True)
    heading = "session,practical,date,students\n"
    (folder / "timetable.csv").write_text(heading + "\n".join(rows) + "\n", encoding="utf-8")
    return str(folder)


def test_sessions_that_a_timetable_spans_and_lacks_are_named_and_stay(
    run_own: Run, tmp_path: Path
) -> None:
    new = _timetable(tmp_path / "new", "A,ANA-01,2027-03-15,10", "W11-Thu-1,PHY-03,2027-03-17,9")
    result = run_own("load", new)
    assert result.exit_code == 0
    assert "session W11-Mon-1 of 2027-03-15 is not in this timetable" in result.stdout
    assert "session W11-Wed-1 of 2027-03-17 is not in this timetable" in result.stdout
    assert "W11-Thu-1 of" not in result.stdout  # it is in it
    assert "W10-" not in result.stdout  # before its days
    assert "--replace-timetable" in result.stdout
    assert "W11-Mon-1" in run_own("session", "list").stdout


def test_they_are_taken_out_where_that_is_asked_for_save_those_booked_out(
    run_own: Run, tmp_path: Path
) -> None:
    run_own("stock", "use", "--session", "W11-Tue-1", "--as-far-as-there-is")
    new = _timetable(tmp_path / "new", "A,ANA-01,2027-03-15,10", "B,PHY-03,2027-03-17,9")
    tried = run_own("load", new, "--check", "--replace-timetable")
    assert "timetable: 2 added, 2 removed" in tried.stdout
    result = run_own("load", new, "--replace-timetable")
    assert "timetable: 2 added, 2 removed" in result.stdout
    listed = run_own("session", "list", "--week", "2027-W11").stdout
    assert [name in listed for name in ("W11-Mon-1", "W11-Tue-1", "W11-Wed-1", "W11-Thu-1")] == [
        False, True, False, True,
    ]  # fmt: skip
    assert "session W11-Tue-1 of 2027-03-16 is not in this timetable" in result.stdout
    assert "These sessions stay, because they are booked out." in result.stdout
    assert "--replace-timetable" not in result.stdout
    gone = "session W11-Mon-1 (2027-03-15 14:00, INO-04, 24 students)"
    assert f"{gone} would be taken out" in tried.stdout
    assert f"{gone} is taken out" in result.stdout


def test_what_a_timetable_took_out_is_in_the_history_and_comes_back(
    run_own: Run, tmp_path: Path
) -> None:
    before = run_own("session", "list", "--week", "2027-W11").stdout
    new = _timetable(tmp_path / "new", "A,ANA-01,2027-03-15,10", "B,PHY-03,2027-03-18,9")
    result = run_own("load", new, "--replace-timetable")
    assert "To undo it: prepstore stock undo 2" in result.stdout
    assert "W11-Mon-1" in run_own("session", "history").stdout
    assert run_own("stock", "undo", "2").exit_code == 0
    listed = run_own("session", "list", "--week", "2027-W11").stdout
    assert {*before.splitlines()[1:-1]} <= {*listed.splitlines()}
    assert run_own("check").exit_code == 0


def test_a_timetable_with_a_wrong_year_takes_nothing_out(run_own: Run, tmp_path: Path) -> None:
    new = _timetable(tmp_path / "new", "A,ANA-01,2027-03-15,10", "B,PHY-03,2028-03-18,9")
    for words in (["--check"], []):
        result = run_own("load", new, "--replace-timetable", *words)
        assert result.exit_code == 1
        assert "from 2027-03-15 (session A) to 2028-03-18 (session B)" in result.stderr
    assert "W11-Mon-1" in run_own("session", "list").stdout
    assert "A" not in run_own("session", "list", "--week", "2027-W11").stdout.split()


def test_a_timetable_without_a_session_says_so(run_own: Run, tmp_path: Path) -> None:
    result = run_own("load", _timetable(tmp_path / "new"), "--replace-timetable")
    assert "There is no session in the timetable of this set" in result.stdout
    assert "W11-Mon-1" in run_own("session", "list").stdout


@pytest.mark.parametrize("words", [["--check"], []])
def test_a_load_does_not_change_a_session_that_is_booked_out(
    words: list[str], run_own: Run, tmp_path: Path
) -> None:
    run_own("stock", "use", "--session", "W11-Tue-1", "--as-far-as-there-is")
    row = next(
        line
        for line in (SAMPLE / "timetable.csv").read_text("utf-8").splitlines()
        if line.startswith("W11-Tue-1,")
    )
    head = (SAMPLE / "timetable.csv").read_text("utf-8").splitlines()[0]
    for same in (row, row.replace("10:00", "10:00:00")):
        folder = _set(tmp_path / "same", timetable=f"{head}\n{same}\n")
        assert run_own("load", folder, *words).exit_code == 0
    renamed = _set(tmp_path / "room", timetable=f"{head}\n{row.replace('East Lab', 'Lab 4')}\n")
    assert run_own("load", renamed, *words).exit_code == 0
    other = _timetable(tmp_path / "other", "W11-Tue-1,ANA-01,2027-03-16,10")
    result = run_own("load", other, *words)
    assert result.exit_code == 1
    assert "booked out on 2027-03-16" in result.stderr
    assert "undo what was booked first" in result.stderr


def test_an_undo_of_a_change_that_a_load_changed_again_says_so(
    run_own: Run, tmp_path: Path
) -> None:
    run_own("session", "students", "W11-Mon-1", "20")
    run_own("load", _timetable(tmp_path / "new", "W11-Mon-1,ANA-01,2027-03-15,22"))
    result = run_own("stock", "undo", "2")
    assert result.exit_code == 1
    assert "is '22' now, no longer '20': a load or a later change set it" in result.stderr


def test_a_set_without_a_timetable_leaves_no_session_over(run_own: Run, tmp_path: Path) -> None:
    folder = _set(tmp_path / "set", items=ITEMS)
    result = run_own("load", folder, "--replace-timetable")
    assert result.exit_code == 0
    assert "not in this timetable" not in result.stdout
    assert "removed" not in result.stdout


STREAMS = "stream,measure,container,empty_containers,part_full\nacid,volume,5 L,2,1.5 L\n"


def test_what_streams_say_of_containers_is_how_these_begin(run: Run, tmp_path: Path) -> None:
    folder = _set(tmp_path / "set", waste_streams=STREAMS)
    run("load", folder)
    assert "changes nothing" in run("load", folder).stdout
    run("export", "out")
    assert "acid,volume,5 L,,2,1.5 L" in Path("out/waste_streams.csv").read_text("utf-8")
    assert run("check").exit_code == 0


def test_other_amounts_in_containers_are_errors_unless_they_are_counted(
    run: Run, tmp_path: Path
) -> None:
    folder = _set(tmp_path / "set", waste_streams=STREAMS)
    run("load", folder)
    _set(tmp_path / "set", waste_streams=STREAMS.replace(",2,1.5 L", ",3,1.8 L"))
    refused = run("load", folder)
    assert refused.exit_code == 1
    assert "'1.8 L' is not what the store has of this stream, 1.5 L." in refused.stderr
    assert "'3' is not what the store has of this stream, 2." in refused.stderr
    counted = run("load", folder, "--count")
    assert "waste stream acid has 1.8 L in the open container and 3 empty ones now" in (
        counted.stdout
    )
    assert "Recorded as entry 2" in counted.stdout
    run("export", "out")
    assert "acid,volume,5 L,,3,1.8 L" in Path("out/waste_streams.csv").read_text("utf-8")
