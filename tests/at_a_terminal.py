"""A command at a terminal, where it may ask: its questions read, and answered."""

import os
import pty
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import IO

from prepstore.cli.main import run


@dataclass
class Asking:
    """A command that is at work; what it has printed is read once, by whoever reads it first."""

    _keys: int
    _pid: int
    _stdout: IO[bytes]
    _stderr: IO[bytes]

    def until(self, question: str) -> str:
        """Read what it prints up to a question, and return it."""
        shown = b""
        while not shown.endswith(question.encode()):
            sign = self._stdout.read(1)
            assert sign, (shown, self._stderr.read())
            shown += sign
        return shown.decode()

    def answer(self, line: str) -> None:
        """Type a line."""
        os.write(self._keys, f"{line}\n".encode())

    def end(self) -> tuple[int, str, str]:
        """Wait until it is done; return its exit code and the rest of what it prints."""
        stderr = self._stderr.read().decode()
        stdout = self._stdout.read().decode()
        _, status = os.waitpid(self._pid, 0)
        return os.waitstatus_to_exitcode(status), stdout, stderr


@contextmanager
def at_a_terminal(*words: str, in_a_program_of_its_own: bool = False) -> Iterator[Asking]:
    """Run a command whose standard input is a terminal, in a child of this process.

    Args:
        words: The command.
        in_a_program_of_its_own: Whether Python is started anew for it, which takes longer.
    """
    keys, screen = pty.openpty()
    (out, stdout), (err, stderr) = os.pipe(), os.pipe()
    pid = os.fork()
    if not pid:
        for number, file in enumerate((screen, stdout, stderr)):
            os.dup2(file, number)
        if in_a_program_of_its_own:
            os.execv(sys.executable, [sys.executable, "-m", "prepstore.cli.main", *words])
        _run_here(words)
    for file in (screen, stdout, stderr):
        os.close(file)
    try:
        with os.fdopen(out, "rb", 0) as printed, os.fdopen(err, "rb", 0) as told:
            yield Asking(keys, pid, printed, told)
    finally:
        os.close(keys)


def _run_here(words: tuple[str, ...]) -> None:
    """Run a command as a program of its own does, and leave."""
    code = 1
    try:
        sys.stdin, sys.stdout, sys.stderr = open(0), open(1, "w"), open(2, "w")  # noqa: SIM115
        sys.argv = ["prepstore", *words]
        run()
    except SystemExit as left:
        code = left.code if isinstance(left.code, int) else int(left.code is not None)
    finally:
        sys.stdout.flush()
        sys.stderr.flush()
        os._exit(code)
