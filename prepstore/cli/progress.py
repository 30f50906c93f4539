"""What a command is at, on a terminal, once it has taken longer than a second."""

import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TextIO

_PATIENCE_SECONDS = 1.0
_BETWEEN_SECONDS = 0.5


_BAR = 24


@contextmanager
def at_work(what: str, out: TextIO | None = None) -> Iterator[Callable[[int, int], None]]:
    """Say on standard error what is being done and for how long, if it takes its time.

    Nothing is said where standard error is not a terminal, so that files and pipes stay plain.
    Yields what to call with how many steps of all are done, where that is known: a bar shows it.
    """
    screen = out or sys.stderr
    if not screen.isatty():
        yield lambda _steps, _of: None
        return
    now = [what]

    def show(steps: int, of: int) -> None:
        full = _BAR * steps // of
        now[0] = f"{what} [{'#' * full}{'.' * (_BAR - full)}] {steps} of {of}"

    done = threading.Event()
    teller = threading.Thread(target=_tell, args=(now, screen, done), daemon=True)
    teller.start()
    try:
        yield show
    finally:
        done.set()
        teller.join()


def say(line: str) -> None:
    """Say something on standard error while a command works, at a terminal on a line of its own."""
    start = "\r" if sys.stderr.isatty() else ""
    sys.stderr.write(f"{start}{line}\n")
    sys.stderr.flush()


def _tell(now: list[str], screen: TextIO, done: threading.Event) -> None:
    begun = time.monotonic()
    said = ""
    if done.wait(_PATIENCE_SECONDS):
        return
    while not done.is_set():
        before, said = said, f"{now[0]} … {time.monotonic() - begun:.0f} s"
        screen.write(f"\r{said.ljust(len(before))}")
        screen.flush()
        done.wait(_BETWEEN_SECONDS)
    screen.write("\r" + " " * len(said) + "\r")
    screen.flush()
