"""What a screen says when slow work met what nobody foresaw."""

import errno

from tui.screens.jobs import unforeseen


def test_what_nobody_foresaw_is_told_in_words_with_what_to_pass_on() -> None:
    assert str(unforeseen("weighing", ValueError("shapes \x1b[31m differ"))) == (
        "“weighing” met what nobody foresaw and did not finish; what was saved before stays. "
        "Write this out and send it to the people who make drydown: ValueError('shapes \\x1b[31m differ')"
    )


def test_a_refusal_of_the_system_is_told_in_our_words() -> None:
    told = str(unforeseen("reading", PermissionError(errno.EACCES, "Permission denied", "/x/strip.txt")))
    assert told.startswith("/x/strip.txt. Found: no right to read it. “reading” did not finish")
    assert "Permission" not in told
