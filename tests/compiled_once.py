"""Every library is compiled once, also where Python was asked to write no bytecode.

Containers often set PYTHONDONTWRITEBYTECODE. Both workers, and each of the programs that tests start, would
then compile numpy, textual and the tests anew: twice the time of the whole run. The bytecode goes to the
folder of pytest itself, so that none comes to lie beside a source. A plugin, loaded before the others: a
conftest comes too late.
"""

import os
import sys
from pathlib import Path

if sys.dont_write_bytecode and sys.pycache_prefix is None:
    sys.pycache_prefix = os.environ["PYTHONPYCACHEPREFIX"] = str(
        Path(__file__).parents[1] / ".pytest_cache" / "bytecode"
    )
    sys.dont_write_bytecode = False
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
