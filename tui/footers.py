"""What the last line shows in which state of a screen: six keys at most, those one wants there.

Every key is in `tui.keys`; here stand only its label there, and how it is written, where they are others.
"""

from collections.abc import Mapping

from tui.keys import BY_ID, shown

# An id alone; or with its label in that state; or with how the key is written there as well.
Foot = str | tuple[str, str] | tuple[str, str, str]

FOOTERS: Mapping[str, tuple[Foot, ...]] = {
    "home": (("enter", "open"), "home.new", "mark", "find", "go", "help"),
    "home.removed": (("enter", "bring back"), "home.view", "find", ("back", "all sessions"), "help"),
    "home.empty": (("home.new", "new session"), "help", "home.quit"),
    "home.bare": (("home.new", "new session"), ("home.view", "removed"), "help", "home.quit"),
    "describe": (("enter", "change"), "undo", "remark", "copy", "go", "help"),
    "describe.choice": ("describe.digit", ("enter", "keep"), ("back", "", "Esc")),
    "typing": (("enter", "take it"), ("right", "complete", "Right"), ("back", "stop typing")),
    "asking": (("help", "1 yes   0 no", " "),),
    "asking.which": (("help", "a digit answers   0 none of these", " "),),
    "prepare": (
        ("prepare.digit", "done", "1"),
        ("prepare.digit", "not done", "2"),
        ("prepare.digit", "does not apply", "3"),
        "undo",
        "go",
        "help",
    ),
    "look.grade": (
        ("look.digit", "grade", "1-5"),
        ("enter", "leave open"),
        "undo",
        "look.again",
        "remark",
        "help",
    ),
    "look.number": (("look.digit", "number"), ("enter", "take it"), "undo", "look.again", "remark", "help"),
    "look.digit": (("look.digit", "answer"), ("enter", "leave open"), "undo", "look.again", "remark", "help"),
    "look.choose": (
        ("look.digit", "choose"),
        ("enter", "leave open"),
        "undo",
        "look.again",
        "remark",
        "help",
    ),
    "look.list": (("look.digit", "choose"), ("enter", "done"), "undo", "look.again", "remark", "help"),
    "look.pause": (("enter", "next region"), "undo", "look.again", "remark", "look.dark", "help"),
    "look.start": (
        ("look.digit", "short viewing", "1"),
        ("look.digit", "full viewing", "2"),
        ("enter", "observer"),
        "go",
        "help",
    ),
    "look.finished": (("enter", "go on"), ("look.viewing", "another viewing"), "undo", "go", "help"),
    "look.lacking": (
        ("enter", "go on"),
        ("look.viewing", "another viewing"),
        ("look.absent", "put back"),
        "undo",
        "go",
        "help",
    ),
    "read.files": (
        ("enter", "read the file"),
        "read.type",
        ("read.view", "patches"),
        "read.leave",
        "go",
        "help",
    ),
    "read.preview": (("enter", "say"), "read.take", ("read.view", "patches"), "go", "back", "help"),
    "read.asked": (("read.digit", "answer"), ("enter", "type it"), "back", "help"),
    "typed": (("enter", "type"), "undo", "typed.away", "typed.find", "back", "help"),
    "typed.said": (("enter", "say"), "undo", "back", "help"),
    "patches": (("enter", "open"), "find", "sort", "copy", "back", "help"),
    "patches.one": (("up", "patch", "Up Down"), "find", "patches.view", "copy", "back", "help"),
    "weigh": (("enter", "why"), "weigh.use", "weigh.again", "go", "copy", "help"),
    "weigh.row": (
        ("up", "region", "Up Down"),
        ("weigh.view", "curve"),
        ("weigh.part", "causes"),
        ("enter", "more"),
        "back",
        "help",
    ),
    "neutrality": ("neutrality.view", ("enter", "steps"), "neutrality.tone", "copy", "back", "help"),
    "neutrality.many": (
        ("left", "session", "Left Right"),
        "neutrality.view",
        ("enter", "steps"),
        "neutrality.tone",
        "copy",
        "help",
    ),
    "neutrality.none": (("left", "session", "Left Right"), ("enter", "show it"), "go", "back", "help"),
    "compare": (
        ("left", "paper", "Left Right"),
        "compare.view",
        "compare.sort",
        "compare.use",
        "compare.base",
        "help",
    ),
    "compare.row": (
        ("up", "region", "Up Down"),
        ("compare.view", "other curve"),
        "compare.base",
        "out",
        "back",
        "help",
    ),
    "compare.busy": (("back", "stop"), "help"),
    "write_up": (("enter", "change"), ("out", "write the file"), "write.view", "copy", "go", "help"),
    "write_up.choice": ("write.digit", ("enter", "keep"), ("back", "", "Esc")),
    "page": ("page.more", "page.find", "page.copy", "page.close"),
    "help": ("page.more", "page.find", "page.check", "page.copy", "page.close"),
    "help.check": (("page.close", "end the check", "Esc"),),
    "palette": (("choice.down", "choose", "Up Down"), ("enter", "do it"), "choice.close"),
    "problem": ("window.close", "window.copy", "window.out"),
}


def footer(state: str, keymap: Mapping[str, str]) -> tuple[tuple[str, str], ...]:
    """The last line in a state of a screen, for this user's keymap: (key, label) pairs."""
    found = []
    for foot in FOOTERS[state]:
        id, label, there = (foot, "", "") if isinstance(foot, str) else (*foot, "")[:3]
        key = there if there and id not in keymap else shown(BY_ID[id], keymap)
        found.append((key, label or BY_ID[id].label))
    return tuple(found)
