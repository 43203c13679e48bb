"""What every process of the tests is spared. A plugin, loaded before the others: a conftest comes too late.

Containers often set PYTHONDONTWRITEBYTECODE. Both workers, and each of the programs that tests start, would
then compile numpy, textual and the tests anew: twice the time of the whole run. The bytecode goes to pytest's
own folder, so that none comes to lie beside a source. numpy keeps to one thread, as in the command itself.
Garbage is looked for less often.

What tests write lies in memory where the system has such a place with room: every key press is a transaction
that waits for the disk (`synchronous=FULL`), half the time of the tests of archives. They cannot tell: what a
killed program wrote is with the system. `--basetemp`, TMPDIR and PYTEST_DEBUG_TEMPROOT go before it.
"""

import gc
import os
import shutil
import sys
from pathlib import Path

IN_MEMORY = Path("/dev/shm")
ROOM = 1 << 29  # bytes; a run of all tests holds under 150 MB at once

gc.set_threshold(50_000, 20, 50)  # the default counts every 700 objects; tests make millions and are short
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
if sys.dont_write_bytecode and sys.pycache_prefix is None:
    kept = Path(__file__).parents[1] / ".pytest_cache" / "bytecode"
    sys.pycache_prefix = os.environ["PYTHONPYCACHEPREFIX"] = str(kept)
    sys.dont_write_bytecode = False
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
if not {"TMPDIR", "TEMP", "TMP", "PYTEST_DEBUG_TEMPROOT"} & set(os.environ) and (
    os.access(IN_MEMORY, os.W_OK) and shutil.disk_usage(IN_MEMORY).free >= ROOM
):
    os.environ["PYTEST_DEBUG_TEMPROOT"] = str(IN_MEMORY)
