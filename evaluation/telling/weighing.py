"""What judgement is given to put a weighing into words."""

from typing import Final

from evaluation.judgement.worded_by import Words
from evaluation.telling.caveats import caveat
from evaluation.telling.findings import why
from evaluation.telling.verdicts import verdict

WORDS: Final = Words(why, verdict, caveat)
