"""How wide the letters of the page's face are, to place names in figures without setting them.

Libertinus Serif Regular, advance widths in thousandths of its size, rounded to 20; read from the face
that the PDF compiler carries (SIL Open Font License 1.1).
"""

from typing import Final

_OTHER: Final = 640  # a letter that is not listed: as wide as most capitals
_OF_WIDTH: Final = {
    200: "'|ⁱ",
    220: ",.¦",
    240: " :;\xa0·",
    260: "l°ĺļŀł‘’",
    280: "!\\ij{}¡ìíîïĩīĭįıĵľίι",
    300: "()Iª²³¹ÌÍÎÏĨĪĬĮİſΙΪ₀₁₂₃₄₅₆₇₈₉⁰⁴⁵⁶⁷⁸⁹",
    320: "/JftĴţŧ",
    340: '"-´º',
    360: "*[]",
    380: "r¨ŕŗřť“”",
    400: "`s¯śŝşšέε",
    420: "czçćĉċčźżžξгс",
    440: "?e~¿èéêëēĕėęěζςτезт",
    460: "#$0123456789a¢£¤¥àáâãäåāăąаьэ",
    480: "FS_x§ðŚŜŞŠΰθμνυбвхя",
    500: "bdgoqvòóôõöøþđĝğġģōŏőΓγδκοχГко",
    520: "L^kpyµÞýÿďķĸĹĻĽĿŁŋŷήβηρлру≠≤≥",
    540: "Phnu«¸»ßñùúûüĥħĳńņňŉũūŭůűųΡλРдч–",
    560: "+<=>E±ÈÉÊË×÷ĒĔĖĘĚΕάαπσЕЗЬъ−",
    580: "BRYÝŔŖŘŶŸΒΣΥΫφБВЯийнпц",
    600: "TZ¬¶ĲŢŤŦŹŻŽΖΤКТУ",
    620: "ψЭ",
    640: "%CKÇĆĈĊČĶΔΚΞΦЛСЧ",
    660: "UVX¼½¾ÙÚÛÜŊŨŪŬŮŰŲΛΠΧωДПХф",
    680: "GæĜĞĠĢΨФЦм",
    700: "&ADNOQ©®ÀÁÂÃÄÅÐÑÒÓÔÕÖØĀĂĄĎĐŃŅŇŌŎŐΑΘΝΟΩАОж",
    720: "HĤĦΗИЙНЪы",
    740: "wŵю—…",
    780: "œ",
    800: "mЫ",
    840: "MΜМшщ",
    860: "ÆŒ",
    880: "Ж",
    900: "@Ю",
    960: "WŴШ",
    980: "Щ",
}
_WIDTHS: Final = {letter: width for width, letters in _OF_WIDTH.items() for letter in letters}


def width(text: str, size: float) -> float:
    """How wide a text is at a size, both in points.

    >>> width("eye", 10)
    14.0
    """
    return sum(_WIDTHS.get(letter, _OTHER) for letter in text) * size / 1000


def fitted(text: str, size: float, room: float) -> str:
    """The text, or as much of its beginning as there is room for, in points, with an ellipsis."""
    if width(text, size) <= room:
        return text
    while text and width(f"{text}…", size) > room:
        text = text[:-1]
    return f"{text.rstrip()}…"
