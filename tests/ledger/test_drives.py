from pathlib import Path, PurePosixPath

import pytest

from prepstore.ledger.drives import kind_among, network_kind

LINUX = """\
sysfs /sys sysfs rw 0 0
/dev/sda1 / ext4 rw 0 0
server:/labs /mnt/labs nfs4 rw,vers=4.2 0 0
/dev/sdb1 /mnt/labs/local ext4 rw 0 0
//server/share /mnt/prep\\040room cifs rw 0 0
user@host:/ /home/kim/host fuse.sshfs rw 0 0
"""
MAC_OS = """\
/dev/disk1s5 on / (apfs, local, journaled)
//kim@server/prep on /Volumes/prep (smbfs, nodev, nosuid)
"""


@pytest.mark.parametrize(
    ("path", "mounts", "kind"),
    [
        ("/home/kim/prepstore.db", LINUX, None),
        ("/mnt/labs/prepstore.db", LINUX, "nfs4"),
        ("/mnt/labs/local/prepstore.db", LINUX, None),
        ("/mnt/labsother/prepstore.db", LINUX, None),
        ("/mnt/prep room/prepstore.db", LINUX, "cifs"),
        ("/home/kim/host/a/b.db", LINUX, "fuse.sshfs"),
        ("/Users/kim/prepstore.db", MAC_OS, None),
        ("/Volumes/prep/prepstore.db", MAC_OS, "smbfs"),
        ("/anywhere", "", None),
    ],
)
def test_a_network_drive_is_told_by_what_is_mounted_there(
    path: str, mounts: str, kind: str | None
) -> None:
    assert kind_among(PurePosixPath(path), mounts) == kind


def test_the_folder_of_a_test_is_on_a_disk_of_this_machine(tmp_path: Path) -> None:
    assert network_kind(tmp_path / "prepstore.db") is None
