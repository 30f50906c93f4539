"""A store moved by way of its tables and their history is the same store."""

import os
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path
from unicodedata import normalize

import pytest
from hypothesis import Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import initialize, rule

from prepstore.cli.rooms import department_in
from prepstore.ledger.movements import recorded_of
from prepstore.ledger.place import Place
from prepstore.ledger.save import save_rows
from prepstore.ledger.store import writing
from prepstore.movements import Booking, OrderChange, OrderWhat
from prepstore.shelf.asked import quantity
from prepstore.shelf.counting import counted, recorded_as
from prepstore.shelf.names import bearer_of, reinstated, renamed, retired
from prepstore.shelf.shelf import Department, Shelf
from prepstore.tables.units import read_amount
from tests.conftest import Places
from tests.journeys.moved_stores import assert_moves, assert_undoes_alike, content, done
from tests.servers import Server
from tests.shelf.test_laws import AMOUNTS, DAY, LABELS, Stores
from tests.tables.written_rows import written

TIMES = int(os.environ.get("LAWS_TIMES", "1"))
SAMPLE = Path(__file__).parents[2] / "sample_inventory"
WEEK = ("--week", "2027-W10", "--today", "2027-03-03")

SOLD = {
    "suppliers": "supplier,lead_days\nHarbour,3",
    "packs": "pack,item,supplier,size,price\nH1,salt,Harbour,1 kg,12.40\nH2,salt,Harbour,5 kg,50",
}
PAIRS = (("brine", "strong brine"), ("strong brine", "brine"), ("P", "Q"), ("Harbour", "Port"))
WORDS = st.sampled_from(
    ("late", "=1+1", "-5", " two  spaces ", "cafe\u0301", "#N/A", "'quoted'", 'a "b", c', "x005F_a")
)
"""What people type, and what an older version kept of it."""


class TravellingStores(Stores):
    """Everything that can happen, orders and names too; at the end the store is moved."""

    @initialize()
    def begin(self) -> None:
        """Load a small department that buys salt."""
        super().begin()
        with writing(self.path) as connection:
            save_rows(connection, {}, written(**SOLD))

    def teardown(self) -> None:
        """Move the store, and compare."""
        if hasattr(self, "folder"):
            assert_moves(self.path, Path(self.folder.name))
            assert_undoes_alike(self.path, Path(self.folder.name) / "out.db")
        super().teardown()

    @rule(label=st.sampled_from(LABELS), amount=AMOUNTS, reason=WORDS, note=WORDS)
    def count_and_say_why(self, label: str, amount: Decimal, reason: str, note: str) -> None:
        """A lot is counted, with words of all kinds beside it."""

        def decide(shelf: Shelf, connection: object) -> Booking:
            held = shelf.lot(label)
            asked = quantity(
                held.material, read_amount(f"{amount} {held.unit}"), may_be_nothing=True
            )
            (history,) = recorded_of(connection, [label]).values()  # type: ignore[arg-type]
            found = counted(held, asked, history, DAY)
            noted = replace(found, movement=replace(found.movement, note=note))
            return recorded_as([noted], reason)

        self._do(decide)

    @rule(packs=st.integers(-3, 3), pack=st.sampled_from(("H1", "H2")), reference=WORDS)
    def order(self, packs: int, pack: str, reference: str) -> None:
        """Packs are ordered, or taken off again."""
        change = OrderChange(
            what=OrderWhat.PLACED if packs > 0 else OrderWhat.CANCELLED,
            pack=pack,
            packs=packs,
            due=date(2027, 2, 8),
            reference=normalize("NFC", reference.strip()),  # as the command reads it
            price="12.40",
        )
        on_order = self._on_order(change)
        if packs and on_order + packs >= 0:
            self._do(lambda *_: Booking(orders=(change,)))

    def _on_order(self, change: OrderChange) -> int:
        with writing(self.path) as connection:
            orders = department_in(connection, DAY).stores.on_order
        return sum(
            one.packs
            for one in orders
            if one.pack == change.pack and (one.reference or "") == change.reference
        )

    @rule(pair=st.sampled_from(PAIRS))
    def rename(self, pair: tuple[str, str]) -> None:
        """A thing gets another name."""

        def decide(shelf: Department, _: object) -> Booking:
            return Booking(
                names=(
                    renamed(shelf.catalogue, bearer_of(shelf.catalogue, pair[0], None), pair[1]),
                )
            )

        self._do(decide, whole=True)

    @rule(name=st.sampled_from(("Harbour", "salt", "acetone")), back=st.booleans())
    def retire(self, name: str, back: bool) -> None:  # noqa: FBT001
        """A thing is used no longer, or again."""

        def decide(shelf: Department, _: object) -> Booking:
            bearer = bearer_of(shelf.catalogue, name, None)
            return Booking(names=(reinstated(bearer) if back else retired(shelf, bearer, DAY),))

        self._do(decide, whole=True)


TestTravellingStores = pytest.mark.slow(TravellingStores.TestCase)
TestTravellingStores.settings = settings(
    max_examples=4 * TIMES,
    stateful_step_count=30,
    deadline=None,
    # To make a failing example smaller would move a store a hundred times.
    phases=(Phase.explicit, Phase.reuse, Phase.generate),
)


def _a_busy_week(store: Place, folder: Path) -> None:
    """A bit of everything, by the commands that people type."""
    sign = ("--by", "Kim", "--on", "2027-03-08")
    commands: list[tuple[str, ...]] = [
        ("load", str(SAMPLE)),
        ("order", "place", *WEEK, "--supplier", "Tarnbeck Laboratory Supply", "--by", "Ana"),
        ("stock", "receive", "TL-1207", "--packs", "1", "--lot", "L0401", *sign),
        ("stock", "open", "L0241", *sign),
        ("stock", "use", "--session", "W10-Tue-4", "--back", "potassium bromide=0.85 g", *sign),
        ("stock", "use", "--session", "W10-Wed-1", "--as-far-as-there-is", *sign),
        ("stock", "make", "phosphate buffer pH 7.0", "--week", "2027-W10", *sign),
        ("stock", "count", "L0127", "312.5 g", "--reason", "=1+1, weighed", *sign),
        ("stock", "use", "L0238", "1 L", "--reason", "burners", *sign),
        ("stock", "undo", "9", *sign),
        ("stock", "undo", "10", *sign),
        ("stock", "receive", "acetone", "2 L", "--lot", "again", *sign),
        ("stock", "undo", "12", *sign),
        ("stock", "receive", "ethanol 96 %", "1 L", "--lot", "Again", "--place", "-20", *sign),
        ("stock", "receive", "acetone", "2 L", "--lot", "gone", *sign),
        ("stock", "undo", "15", *sign),
        ("stock", "move", "L0236", "cabinet D", *sign),
        ("stock", "state", "L0237", "quarantine", *sign),
        ("stock", "discard", "L0103", "--reason", "leaked", *sign),
        ("stock", "rename", "acetone", "acetone, technical", *sign),
        ("stock", "rename", "Fennick Trade Solvents", "Fennick", *sign),
        ("session", "students", "W11-Mon-1", "26", *sign),
        ("session", "add", "W11-Fri-1", "PHY-03", "2027-03-19", "--students", "9", *sign),
        (
            "waste",
            "call",
            "aqueous acid",
            "silver residues",
            "--expected",
            "2027-03-15",
            *sign,
        ),
        ("waste", "call", "aqueous acid", *sign),
        ("labels", *WEEK, "--out", str(folder / "labels.pdf"), "--by", "Kim"),
    ]
    for words in commands:
        done(store, *words)
    changed = folder / "changed"
    done(store, "export", str(changed))
    stock = (changed / "stock.csv").read_text("utf-8")
    (changed / "stock.csv").write_text(stock.replace("cabinet D", "cabinet E"), "utf-8")
    done(store, "load", str(changed))


@pytest.mark.slow
def test_a_busy_week_moves_with_all_that_was_recorded(
    tmp_path: Path, places: Places, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PREPSTORE_TODAY", "2027-03-31")
    store = places("prepstore.db")
    _a_busy_week(store, tmp_path)
    kept = content(store)
    assert {row[-1] for row in kept["stock"]} == {None, "undone"}
    assert all(kept[table] for table in kept)
    assert_moves(store, tmp_path, places, week=WEEK)
    assert_undoes_alike(store, places("out.db"))


@pytest.mark.server
@pytest.mark.parametrize("way", ["from a file to a server", "from a server to a file"])
def test_a_busy_week_moves_between_a_file_and_a_server(
    way: str, tmp_path: Path, server: Server, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PREPSTORE_TODAY", "2027-03-31")
    in_a_file, on_a_server = tmp_path / "prepstore.db", server.fresh()
    made = {"out.db": server.fresh(), "out.xlsx.db": server.fresh()}
    store, into = (
        (in_a_file, made.__getitem__)
        if way.endswith("server")
        else (on_a_server, tmp_path.__truediv__)
    )
    _a_busy_week(store, tmp_path)
    assert_moves(store, tmp_path, into, week=WEEK)
    assert_undoes_alike(store, into("out.db"))
