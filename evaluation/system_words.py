"""What the system reports about a file or folder, in plain words: what was found, and what to do about it.

Standard library only. The system's own words are a sentence of another language and another voice
("No such file or directory"); here they are what was found, a noun phrase, and a remedy.
"""

import errno
from collections.abc import Mapping
from typing import Final, NamedTuple


class Trouble(NamedTuple):
    """`found` as DrydownError takes it, a noun phrase or "" where nothing is known; `remedy` a sentence."""

    found: str
    remedy: str


_NO_NAME: Final = Trouble("a name that no file can have", "Check the name.")
_EITHER: Final[Mapping[int, Trouble]] = {
    errno.ENAMETOOLONG: Trouble("a name longer than the system allows", "Name it shorter."),
    errno.EINVAL: _NO_NAME,
    errno.EILSEQ: _NO_NAME,
    errno.ELOOP: Trouble("a link that leads back to itself", "Name the file itself."),
    errno.EIO: Trouble(
        "a disk that does not answer", "Check the disk and its cable, and copy what is on it."
    ),
    errno.EBUSY: Trouble("a file that another program has open", "Close it there and try again."),
    errno.ETXTBSY: Trouble("a file that another program has open", "Close it there and try again."),
    errno.EMFILE: Trouble("too many open files", "Close other programs and try again."),
    errno.ENFILE: Trouble("too many open files", "Close other programs and try again."),
    errno.ENOMEM: Trouble("too little memory", "Close other programs and try again."),
    errno.ETIMEDOUT: Trouble("a network place that does not answer", "Check the network and try again."),
    errno.ENOTCONN: Trouble("a network place that does not answer", "Check the network and try again."),
    errno.ESTALE: Trouble("a network place that was taken away", "Connect it again."),
}
_READING: Final[Mapping[int, Trouble]] = {
    errno.ENOENT: Trouble("nothing of that name", "Check the name."),
    errno.ENOTDIR: Trouble("a file in place of one of its folders", "Check the name."),
    errno.EISDIR: Trouble("a folder", "Name a file."),
    errno.EACCES: Trouble("no right to read it", "Change its rights, or name another."),
    errno.EPERM: Trouble("no right to read it", "Change its rights, or name another."),
}
_ROOM: Final = Trouble("no room left on the disk", "Make room there, or name a file on another disk.")
_NO_RIGHT: Final = Trouble("no right to write there", "Name a file in a folder you can write to.")
_WRITING: Final[Mapping[int, Trouble]] = {
    errno.ENOENT: Trouble("no folder of that name", "Make the folder, or name another."),
    errno.ENOTDIR: Trouble("a file in place of a folder", "Name a file in a folder."),
    errno.EISDIR: Trouble("a folder of that name", "Name a file."),
    errno.EEXIST: Trouble("one of that name", "Name another."),
    errno.ENOTEMPTY: Trouble("a folder of that name", "Name another."),
    errno.EACCES: _NO_RIGHT,
    errno.EPERM: _NO_RIGHT,
    errno.EROFS: Trouble("a disk that can only be read", "Name a file on another disk."),
    errno.ENOSPC: _ROOM,
    errno.EDQUOT: _ROOM,
    errno.EFBIG: Trouble("no room for a file of that size", "Name a file on another disk."),
    errno.EPIPE: Trouble("an output that was closed", "Keep it open until all is written."),
}
# SQLite reports the same in codes of its own (sqlite.org, "Result and Error Codes").
_SQLITE: Final[Mapping[str, Trouble]] = {
    "SQLITE_FULL": _ROOM,
    "SQLITE_READONLY": _NO_RIGHT,
    "SQLITE_PERM": _NO_RIGHT,
    "SQLITE_CANTOPEN": Trouble("no way to make a file there", "Name a file in a folder you can write to."),
    "SQLITE_BUSY": _EITHER[errno.EBUSY],
    "SQLITE_IOERR": _EITHER[errno.EIO],
}


def unread(problem: Exception) -> Trouble:
    """Why something could not be read: an OSError, or the ValueError of a name with a zero byte.

    >>> unread(FileNotFoundError(errno.ENOENT, "No such file or directory"))
    Trouble(found='nothing of that name', remedy='Check the name.')
    """
    return _trouble(problem, _READING, "Check the file, or name another.")


def unwritten(problem: Exception) -> Trouble:
    """Why something could not be written: an OSError, or an error of SQLite.

    >>> unwritten(OSError(errno.ENOSPC, "No space left on device")).found
    'no room left on the disk'
    """
    return _trouble(problem, _WRITING, "Check the folder and its disk, or name another.")


def _trouble(problem: Exception, own: Mapping[int, Trouble], remedy: str) -> Trouble:
    if isinstance(problem, OSError) and problem.errno is not None:
        known = own.get(problem.errno) or _EITHER.get(problem.errno)
        code = errno.errorcode.get(problem.errno, str(problem.errno))
        return known or Trouble(f"trouble that the system calls {code}", remedy)
    if isinstance(problem, ValueError):
        return _NO_NAME
    return _SQLITE.get(_sqlite_name(problem), Trouble("", remedy))


def _sqlite_name(problem: Exception) -> str:
    """The primary code: SQLITE_IOERR of SQLITE_IOERR_WRITE."""
    return "_".join(str(getattr(problem, "sqlite_errorname", "")).split("_")[:2])
