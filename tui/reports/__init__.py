"""Reports that both faces of the terminal show: sentences and tables, which each sets in its own way."""

from evaluation.telling.table import Table

Block = str | Table  # a sentence, "" for a gap; or rows under heads
