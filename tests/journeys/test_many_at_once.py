"""Many clients record at once on the same lots, with whole commands: the sums are exact.

The environment variable TOGETHER says how many movements they ask for; the speed of it is measured
by `tests/benchmarks/together.py`.
"""

import os

import pytest

from prepstore.ledger.place import Place, ServerPlace
from tests.benchmarks.together import CLIENTS_OF_A_FILE, CLIENTS_OF_A_SERVER, SCARCE, at_once

MOVEMENTS = int(os.environ.get("TOGETHER", "120"))

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="clients are forked children")


@pytest.mark.slow
def test_of_many_at_once_none_is_lost_and_none_refused_that_had_stock(
    place: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PREPSTORE_TODAY", "2027-02-01")
    clients = CLIENTS_OF_A_SERVER if isinstance(place, ServerPlace) else CLIENTS_OF_A_FILE
    done = at_once(place, clients, MOVEMENTS // clients)
    assert done.wrong == []
    asked = len(done.each)
    assert asked == MOVEMENTS // clients * clients
    # The scarce lots are a fifth of all; they had enough for about two of three.
    assert asked - asked * SCARCE // 50 <= done.kept < asked
