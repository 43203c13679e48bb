"""The sessions of an appendix against each other, sheet by sheet."""

from collections.abc import Sequence

from evaluation.appendix.case import Case
from evaluation.appendix.comparison import Alongside, Comparison, RegionCompared, by_sheet
from evaluation.telling import comparison as words
from evaluation.telling.side_by_side import in_short
from evaluation.work.bench import Bench
from evaluation.work.compare import compare


def of_cases(bench: Bench, cases: Sequence[Case]) -> Comparison:
    """Prints of one sheet, against the first of them; nothing for a print that is alone with its sheet."""
    sheets = by_sheet(tuple(cases))
    return tuple(_alongside(bench, prints) for prints in sheets if len(prints) >= compare.FEWEST)


def _alongside(bench: Bench, prints: Sequence[Case]) -> Alongside:
    matrix = compare.worked_out(bench, [case.session.id for case in prints], every_pair=True)
    use = compare.use_of(matrix)
    ids = tuple(column.session for column in matrix.columns)
    rows = tuple(
        RegionCompared(
            region=row.id,
            title=row.title,
            grades=tuple(
                value.combined if (value := column.values.get(row.id)) else None for column in matrix.columns
            ),
            differences=tuple(
                None if other == matrix.base else matrix.difference(row.id, matrix.base, other)
                for other in ids
            ),
        )
        for row in matrix.rows
    )
    regions, triangles = compare.beside(bench, ids)
    differs, unknown = words.differing(matrix, use)
    return Alongside(
        base=matrix.base,
        sessions=ids,
        names=tuple(words.name(matrix, column) for column in matrix.columns),
        rows=rows,
        differs=differs,
        unknown=unknown,
        beside=(*(in_short(one.title, one.ask, one.prints, one.apart) for one in regions), *triangles),
        would_part=words.separators(matrix, use),
        caveats=matrix.caveats,
    )
