"""What readers asked about these prints while the printer was on loan, and the answers."""

from collections.abc import Sequence

from evaluation.appendix.case import Naming
from evaluation.appendix.document import Paragraph, Section
from evaluation.loan import ReaderQuestion
from evaluation.plain_text import capital
from evaluation.telling.loan import about_words
from evaluation.telling.wording import folded, sentence


def questions(asked: Sequence[ReaderQuestion], naming: Naming) -> Section:
    """Answered ones, in the order they were asked; who asked is named where observers are."""
    told = tuple(Paragraph(f"{_asked(one, naming)} {sentence(folded(one.answer))}") for one in asked)
    return Section("questions", "What readers asked", told)


def _asked(one: ReaderQuestion, naming: Naming) -> str:
    about = about_words(one.who if naming == "name" else "", one.paper, one.region)
    text = capital(folded(one.text))
    return f"{text} ({folded(about)})" if about else text
