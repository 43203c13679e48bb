"""Reports that both faces of the terminal show: sentences and tables, made once and set by each in its way."""

from evaluation.telling.table import Table

Block = str | Table  # a sentence, "" for a gap; or rows under heads
