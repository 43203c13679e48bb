"""Files that are not finished yet: under names of our own, beside where they are to lie.

A run that is killed leaves them behind; the next one that starts or writes there clears them up. Standard
library only.
"""

import contextlib
import os
import re
import stat
import time
from pathlib import Path
from typing import Final

_OURS: Final = re.compile(r"\.drydown-[0-9a-f]{16}(-journal|-wal|-shm)?")
_OLD: Final = 24 * 3600  # seconds without a change: no run takes that long (project's own choice)


def beside(path: Path) -> Path:
    """A free name for what is to become `path`, on the same disk, so that moving it there is one step."""
    clear(path.parent)
    return path.with_name(f".drydown-{os.urandom(8).hex()}")


def clear(folder: Path) -> None:
    """Remove what killed runs of this user left in a folder a day ago or earlier; never anything else."""
    with contextlib.suppress(OSError), os.scandir(folder) as found:
        for each in found:
            if _OURS.fullmatch(each.name) and _left(each):
                _remove(each)


def _left(each: "os.DirEntry[str]") -> bool:
    found = each.stat(follow_symlinks=False)
    own = not hasattr(os, "getuid") or found.st_uid == os.getuid()
    ordinary = stat.S_ISREG(found.st_mode) or stat.S_ISDIR(found.st_mode)
    return own and ordinary and time.time() - found.st_mtime > _OLD


def _remove(each: "os.DirEntry[str]") -> None:
    if each.is_dir(follow_symlinks=False):
        import shutil  # and with it every way of packing files, which the first frame does without

        shutil.rmtree(each.path, ignore_errors=True)
    else:
        with contextlib.suppress(OSError):
            os.unlink(each.path)  # noqa: PTH108 - a DirEntry
