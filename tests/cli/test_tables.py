from pathlib import Path

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
        suppliers="supplier\nHarbour\n",
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
        "suppliers": "supplier\nHarbour\n",
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
