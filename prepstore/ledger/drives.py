"""Whether a file lies on a network drive, where a store is less safe."""

import os
import re
import sys
from pathlib import Path, PurePath
from typing import Final

_NETWORK_KINDS: Final = frozenset(
    {"nfs", "nfs3", "nfs4", "cifs", "smb", "smb2", "smb3", "smbfs", "afpfs", "ncpfs", "9p", "afs",
     "ceph", "glusterfs", "davfs", "webdav", "fuse.sshfs", "fuse.davfs2", "fuse.davfs", "sshfs",
     "fuse.rclone", "fuse.glusterfs", "vboxsf", "prl_fs", "fuse.vmhgfs-fuse"}
)  # fmt: skip
"""File systems that another machine keeps, by the names under which they are mounted."""

_ON_LINUX = re.compile(r"^\S+ (?P<place>\S+) (?P<kind>\S+) ")
_ON_MAC_OS = re.compile(r"^.+? on (?P<place>.+?) \((?P<kind>[^,)]+)")
_REMOTE_DRIVE: Final = 4
"""What Windows calls a drive of another machine (DRIVE_REMOTE of its GetDriveTypeW)."""


def network_kind(path: Path) -> str | None:
    """Return what kind of network drive a file lies on; None for a local disk, or if unknown."""
    if sys.platform == "win32":
        return _on_windows(path.absolute())
    try:
        return kind_among(Path(os.path.realpath(path)), _mounts())
    except OSError:
        return None


def kind_among(path: PurePath, mounts: str) -> str | None:
    r"""Return what kind of network drive holds a path, by a list of what is mounted where.

    Args:
        path: Absolute, links resolved.
        mounts: As `/proc/mounts` of Linux or the command `mount` of macOS prints it.

    >>> kind_among(PurePath("/labs/prep.db"), "srv:/x /labs nfs4 rw 0 0\n/dev/sda / ext4 rw 0 0\n")
    'nfs4'
    """
    longest, found = -1, ""
    for line in mounts.splitlines():
        match = _ON_MAC_OS.match(line) or _ON_LINUX.match(line)
        if match is None:
            continue
        # Linux writes a space in a name as \040.
        place = PurePath(match["place"].replace("\\040", " "))
        if path.is_relative_to(place) and len(place.parts) > longest:
            longest, found = len(place.parts), match["kind"]
    return found if found in _NETWORK_KINDS else None


def _mounts() -> str:
    if sys.platform == "darwin":
        import subprocess  # noqa: PLC0415 - takes longer to import than all the rest

        asked = subprocess.run(["/sbin/mount"], capture_output=True, text=True, check=False)
        return asked.stdout
    return Path("/proc/mounts").read_text(encoding="utf-8", errors="replace")


def _on_windows(path: PurePath) -> str | None:
    if path.drive.startswith("\\\\"):
        return "a share"
    import ctypes  # noqa: PLC0415 - of Windows alone

    kernel = getattr(ctypes, "windll").kernel32  # noqa: B009 - not known on other systems
    is_remote = kernel.GetDriveTypeW(f"{path.drive}{os.sep}") == _REMOTE_DRIVE
    return "a share" if is_remote else None
