"""Where an archive lies: whether it can be written to, and shared safely by several programs.

SQLite's write-ahead log needs memory shared between the programs that use it, which network file systems
do not offer (sqlite.org, "Write-Ahead Logging", disadvantages). Some places hide what they
are. Standard library only.
"""

import os
import sys
from pathlib import Path

from evaluation.archive.sqlite import index_of, log_of
from evaluation.errors import ArchiveProblem

_NETWORK = frozenset(
    """
    9p afs beegfs ceph cifs davfs glusterfs gpfs lustre ncpfs nfs nfs4 smb3 smbfs
    fuse.ceph fuse.davfs2 fuse.glusterfs fuse.gvfsd-fuse fuse.rclone fuse.sshfs
    """.split()  # noqa: SIM905 - a list to read, not to parse
)
_LOCAL = frozenset(
    """
    apfs bcachefs btrfs exfat ext2 ext3 ext4 f2fs fuseblk hfs hfsplus jfs msdos nilfs2 ntfs ntfs3 overlay
    ramfs reiserfs rootfs tmpfs udf ufs vfat xfs zfs
    """.split()  # noqa: SIM905 - a list to read, not to parse
)
_MOUNTS = Path("/proc/self/mounts")


def network_kind(path: Path, mounts: str | None = None) -> str:
    """The kind of network place `path` lies on, or "" when it is local or unknown.

    Linux lists its mounts (`mounts`: their text, for tests), Windows knows the drive. Elsewhere it has to be
    tried (`probing.py`).
    """
    if sys.platform == "win32":
        return _windows_kind(path)
    kind = _kind(path, mounts)
    return kind if kind in _NETWORK else ""


def is_local(path: Path, mounts: str | None = None) -> bool:
    """Whether `path` is known to lie on a disk of this computer."""
    return sys.platform == "win32" or _kind(path, mounts) in _LOCAL


def _kind(path: Path, mounts: str | None) -> str:
    if mounts is None:
        try:
            mounts = _MOUNTS.read_text("utf-8", "replace")
        except OSError:
            return ""
    folder = os.path.realpath(path.parent)
    best, kind = "", ""
    for line in mounts.splitlines():
        fields = line.split(" ")
        if len(fields) < 3:
            continue
        point = _unescaped(fields[1])
        inside = folder == point or folder.startswith(point.rstrip("/") + "/")
        if inside and len(point) >= len(best):  # the last of two mounts on one point is the one seen
            best, kind = point, fields[2]
    return kind


def require_named_safe(path: Path) -> None:
    """Raises ArchiveProblem for a place that calls itself one where two programs could damage an archive."""
    if kind := network_kind(path):
        raise _unsafe(path, f"a network place ({kind})")


def require_tried(path: Path) -> None:
    """Raises ArchiveProblem for a place that turns out to be one of those (`probing.py`)."""
    folder = path.absolute().parent
    if os.access(folder, os.W_OK):
        from evaluation.archive import probing  # another program is started for it

        if found := probing.trouble(folder):
            raise _unsafe(path, found)


def _unsafe(path: Path, found: str) -> ArchiveProblem:
    return ArchiveProblem(
        "It was not opened: two programs could damage it there.",
        where=str(path),
        expected="a folder on this computer",
        found=found,
        remedy="Keep the archive on this computer; `drydown bundle` takes sessions of it anywhere.",
    )


def writable(path: Path) -> bool:
    """Whether an archive that lies at `path` can be written to: the file, its folder, its log and index.

    A file that was protected from writing counts as such for everybody, the superuser too: SQLite would give
    its log the same rights, and nobody else could go on.
    """
    try:
        protected = not path.stat().st_mode & 0o222
    except OSError:
        return False
    if protected or not all(os.access(each, os.W_OK) for each in (path, path.absolute().parent)):
        return False
    # The last program to close takes its log and index away, between any two looks at them.
    return all(os.access(each, os.W_OK) or not each.exists() for each in (log_of(path), index_of(path)))


def _unescaped(point: str) -> str:
    """Mount points write space, tab, line break and backslash as octal (man 5 fstab)."""
    for code, char in ((r"\040", " "), (r"\011", "\t"), (r"\012", "\n"), (r"\134", "\\")):
        point = point.replace(code, char)
    return point


def _windows_kind(path: Path) -> str:
    drive = path.absolute().drive
    if drive.startswith("\\\\"):
        return "network share"
    import ctypes  # only there, and only then

    remote = 4  # DRIVE_REMOTE of GetDriveTypeW
    kind = ctypes.windll.kernel32.GetDriveTypeW(drive + "\\")  # type: ignore[attr-defined,unused-ignore]
    return "network drive" if kind == remote else ""
