"""Where an archive lies: whether it can be written to, and shared safely by several programs.

SQLite's write-ahead log needs memory shared between the programs that use it, which network file systems
do not offer (sqlite.org, "Write-Ahead Logging", disadvantages). Standard library only.
"""

import os
import sys
from pathlib import Path

from evaluation.archive.sqlite import index_of, log_of

_NETWORK = frozenset(
    """
    9p afs beegfs ceph cifs davfs glusterfs gpfs lustre ncpfs nfs nfs4 smb3 smbfs
    fuse.ceph fuse.davfs2 fuse.glusterfs fuse.gvfsd-fuse fuse.rclone fuse.sshfs
    """.split()  # noqa: SIM905 - a list to read, not to parse
)
_MOUNTS = Path("/proc/self/mounts")


def network_kind(path: Path, mounts: str | None = None) -> str:
    """The kind of network place `path` lies on, or "" when it is local or unknown.

    Linux lists its mounts (`mounts`: their text, for tests), Windows knows the drive. Elsewhere only SQLite
    itself finds out, by refusing to switch its log on.
    """
    if sys.platform == "win32":
        return _windows_kind(path)
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
    return kind if kind in _NETWORK else ""


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
