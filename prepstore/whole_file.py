"""Files that are whole or not there."""

import os
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path


def write_whole(path: Path, content: bytes | Iterable[bytes]) -> None:
    """Write a file beside its place and rename it.

    Args:
        path: Where the file is to be; its folder must be there.
        content: All of it, at once or in parts.

    Raises:
        OSError: The folder cannot be written, or the file is held open; it names `path`.
    """
    beside = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        with beside.open("wb") as file:
            file.writelines([content] if isinstance(content, bytes) else content)
        beside.replace(path)
    except OSError as error:
        raise OSError(error.errno, error.strerror, str(path)) from error
    finally:
        with suppress(OSError):
            beside.unlink(missing_ok=True)
