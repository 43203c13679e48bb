"""What an observer answered, in words: one vocabulary for every face."""

from evaluation.plain_text import listed
from evaluation.session import GRADE_WORDS, Cast, Count, Grade, Pick, Place, Value, YesNo


def answer_words(value: Value, *, in_full: bool = False) -> str:
    """An answer as a person would say it; `in_full` with what a grade means.

    >>> answer_words(Cast((("dark", "none", None), ("middle", "yellow", "just"))))
    'shadows none, mid-tones yellow (just)'
    >>> answer_words(Pick((21, 34))), answer_words(Grade(4), in_full=True)
    ('fields 21 and 34', '4, perceptible, but not annoying')
    """
    match value:
        case Grade():
            return f"{value.value}, {GRADE_WORDS[value.value]}" if in_full else str(value.value)
        case Count(number=0) | Pick(numbers=(), outside=None) | Place(places=()):
            return "none"
        case Count():
            return f"figure {value.number}"
        case Cast(parts=parts) if all(word == "none" for _, word, _ in parts):
            return "none"
        case Cast():
            return ", ".join(
                f"{part} {word}" + (f" ({strength})" if strength else "")
                for part, word, strength in value.named
            )
        case Pick(numbers=()):
            return f"outside the ring towards {value.outside}"
        case Pick():
            noun = "field" if len(value.numbers) == 1 else "fields"
            return f"{noun} {listed([str(each) for each in value.numbers])}"
        case Place():
            return ", ".join(f"{name} from step {step}" if step else name for name, step in value.places)
        case YesNo():
            return "yes" if value.yes else "no"
