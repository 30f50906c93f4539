import io
import time

import pytest

from prepstore.cli import progress
from prepstore.cli.progress import at_work, say


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_what_takes_its_time_is_told_on_a_terminal_and_wiped_away(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(progress, "_PATIENCE_SECONDS", 0.01)
    monkeypatch.setattr(progress, "_BETWEEN_SECONDS", 0.01)
    screen = Terminal()
    with at_work("Planning 40,000 sessions", screen):
        time.sleep(0.2)
    assert "\rPlanning 40,000 sessions … 0 s" in screen.getvalue()
    assert screen.getvalue().endswith("\r")


def test_how_many_steps_are_done_is_shown_as_a_bar(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(progress, "_PATIENCE_SECONDS", 0.01)
    monkeypatch.setattr(progress, "_BETWEEN_SECONDS", 0.01)
    screen = Terminal()
    with at_work("Planning the weeks", screen) as show:
        for week in (1, 4):
            show(week, 4)
            time.sleep(0.1)
    assert "\rPlanning the weeks [######..................] 1 of 4 … 0 s" in screen.getvalue()
    assert "\rPlanning the weeks [########################] 4 of 4 … 0 s" in screen.getvalue()
    with at_work("Planning", io.StringIO()) as show:
        show(1, 4)


def test_what_is_quick_is_not_told() -> None:
    screen = Terminal()
    with at_work("Planning", screen):
        pass
    assert screen.getvalue() == ""


def test_a_file_or_a_pipe_stays_plain(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(progress, "_PATIENCE_SECONDS", 0.0)
    pipe = io.StringIO()
    with at_work("Planning", pipe):
        time.sleep(0.05)
    assert pipe.getvalue() == ""


def test_a_fault_ends_it_too() -> None:
    screen = Terminal()
    with pytest.raises(ZeroDivisionError), at_work("Planning", screen):
        raise ZeroDivisionError


def test_what_is_said_while_a_command_works_stands_on_a_line_of_its_own(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    for screen, shown in ((io.StringIO(), "Waiting.\n"), (Terminal(), "\rWaiting.\n")):
        monkeypatch.setattr("sys.stderr", screen)
        say("Waiting.")
        assert screen.getvalue() == shown
