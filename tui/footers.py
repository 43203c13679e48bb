"""What the last line shows in which state of a screen: six keys at most, those one wants there.

Every key is in `tui.keys`; here stand only its label there, and how it is written, where they are others.
"""

from collections.abc import Iterable, Mapping
from dataclasses import replace

from textual.screen import ActiveBinding

from tui.keys import BY_ID, KEYS, of_binding, shown

# An id alone; or with its label in that state; or with how the key is written there as well.
Foot = str | tuple[str, str] | tuple[str, str, str]

FOOTERS: Mapping[str, tuple[Foot, ...]] = {
    "home": (("enter", "open"), "home.new", "mark", "find", "go", "help"),
    "home.removed": (("enter", "bring back"), "home.view", "find", ("back", "all sessions"), "help"),
    "home.empty": (
        ("enter", "begin"),
        ("home.sheet", "draw a test image"),
        ("home.new", "new session"),
        "help",
        "home.quit",
    ),
    "home.bare": (("home.new", "new session"), ("home.view", "removed"), "help", "home.quit"),
    "describe": (("enter", "change"), "undo", "remark", "copy", "go", "help"),
    "describe.choice": ("describe.digit", ("enter", "keep"), ("back", "", "Esc")),
    "draw_sheet": (("enter", "change"), ("out", "write the files"), ("back", "back"), "help"),
    "draw_sheet.choice": (("sheet.digit", "choose"), ("enter", "type it, or keep"), ("back", "", "Esc")),
    "draw_sheet.busy": (("back", "stop"), "help"),
    "typing": (("line.take", "take it"), ("line.down", "earlier entries", "Up Down"), "line.leave"),
    "typing.free": (("line.take", "take it"), "line.leave"),
    "asking": (("asking.digit", "yes", "1"), ("asking.digit", "no", "0")),
    "asking.which": (("asking.digit", "answer", "1-9"), ("asking.digit", "none of these", "0")),
    "go": (
        "go.digit",
        ("go.next", "next step"),
        "go.home",
        "go.compare",
        "go.neutrality",
        "go.tools",
    ),
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
        ("go", "next", "g g"),
        "help",
    ),
    "read.preview": (("enter", "say"), "read.take", ("read.view", "patches"), "go", "back", "help"),
    "read.asked": (("read.digit", "answer"), ("enter", "type it"), "back", "help"),
    "facts": (("enter", "type"), "facts.timer", "undo", "copy", "back", "help"),
    "typed": (("enter", "type"), "undo", "typed.away", "typed.find", "back", "help"),
    "typed.said": (("enter", "say"), "undo", "back", "help"),
    "patches": (("enter", "open"), "find", "sort", "copy", "back", "help"),
    "patches.one": (("up", "patch", "Up Down"), "find", "patches.view", "copy", "back", "help"),
    "weigh": (("enter", "why"), "weigh.use", "weigh.again", "copy", ("go", "next", "g g"), "help"),
    "weigh.busy": (("back", "stop"), "go", "help"),
    "weigh.kept": ("go", "back", "help"),
    "weigh.none": (("enter", "weigh"), "go", "back", "help"),
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
    "sidebyside": (("enter", "begin"), "side.mark", "side.slips", "side.view", "back", "help"),
    "sidebyside.waiting": (
        ("enter", "answer"),
        ("side.new", "new observer"),
        "side.slips",
        "side.view",
        "back",
        "help",
    ),
    "sidebyside.round": (
        ("side.digit", "left", "1"),
        ("side.digit", "right", "2"),
        ("side.digit", "no difference", "0"),
        "undo",
        "side.letters",
        "back",
    ),
    "sidebyside.rest": (("enter", "go on"), "undo", "back", "help"),
    "sidebyside.three": (
        ("side.digit", "left", "1"),
        ("side.digit", "middle", "2"),
        ("side.digit", "right", "3"),
        ("side.digit", "no difference", "0"),
        "undo",
        "back",
    ),
    "triangle": (("enter", "begin"), "triangle.times", "triangle.page", "back", "help"),
    "triangle.lying": (
        ("triangle.digit", "left", "1"),
        ("triangle.digit", "middle", "2"),
        ("triangle.digit", "right", "3"),
        "undo",
        "back",
        "help",
    ),
    "observers": ("observers.aside", "observers.view", "copy", "back", "help"),
    "plan": (
        ("enter", "open"),
        "plan.done",
        "plan.week",
        "plan.questions",
        ("plan.loan", "the loan"),
        "help",
    ),
    "plan.none": (("enter", "begin a loan"), "back", "help"),
    "plan.empty": (("enter", "add a paper"), ("plan.loan", "days and hours"), "back", "help"),
    "loan": (("enter", "change"), "loan.new", "loan.off", "undo", "back", "help"),
    "questions": (("enter", "answer"), "questions.new", "undo", "back", "help"),
    "questions.none": (("enter", "keep a question"), "back", "help"),
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
    "write_up.busy": (("back", "stop"), "go", "help"),
    "write_up.choice": ("write.digit", ("enter", "keep"), ("back", "", "Esc")),
    "merge": (("enter", "look for a bundle"), ("undo", "take a merge back"), "go", "back", "help"),
    "merge.none": (("enter", "look for a bundle"), "go", "back", "help"),
    "merge.came": (("enter", "open"), ("undo", "take it back"), "merge.more", "back", "help"),
    "merge.shown": ("merge.take", "merge.more", "merge.all", ("back", "leave it"), "help"),
    "merge.differs": (
        ("merge.digit", "choose"),
        ("enter", "the other"),
        "merge.take",
        ("back", "leave it"),
        "help",
    ),
    "merge.open": (("merge.digit", "choose"), ("enter", "the other"), "undo", "back", "help"),
    "merge.busy": (("back", "stop"), "help"),
    "bundle": (("enter", "change"), ("out", "write the bundle"), "back", "help"),
    "bundle.busy": (("back", "stop"), "help"),
    "tools": (("enter", "open"), "go", "back", "help"),
    "tools.busy": (("back", "stop"), "help"),
    "choose": (
        ("enter", "open"),
        ("left", "up", "Left"),
        "choose.find",
        "choose.path",
        "back",
        "help",
    ),
    "gamut": (("enter", "change"), "gamut.off", "gamut.wider", "back", "help"),
    "growth": (
        ("left", "setting", "Left Right"),
        ("up", "hue", "Up Down"),
        "growth.view",
        "growth.picture",
        "help",
    ),
    "growth.busy": (("back", "stop"), "help"),
    "attach": (("enter", "change"), "attach.take", "undo", "back", "help"),
    "attach.choice": ("attach.digit", ("enter", "keep"), ("back", "", "Esc")),
    "page": ("page.more", "page.find", "page.copy", "page.go", "page.close"),
    "help": ("page.more", "page.find", "page.check", "page.copy", "page.go", "page.close"),
    "help.check": (("page.close", "end the check", "Esc"),),
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


def with_footer(
    found: Mapping[str, ActiveBinding], state: str, keymap: Mapping[str, str]
) -> dict[str, ActiveBinding]:
    """The bindings alive on a screen, those of its last line first, with their names there.

    The framework's own Footer shows them in this order.
    """
    first: dict[str, ActiveBinding] = {}
    for foot, (written, label) in zip(FOOTERS[state], footer(state, keymap), strict=True):
        id = foot if isinstance(foot, str) else foot[0]
        alike = [key for key, active in found.items() if _id(active) == id and key not in first]
        key = next((key for key in alike if key == written), alike[0] if alike else None)
        if key is not None:
            active = found[key]
            named = replace(active.binding, description=label, key_display=written, show=True)
            first[key] = active._replace(binding=named)
    return {**first, **{key: _quiet(active) for key, active in found.items() if key not in first}}


def listed(found: Iterable[ActiveBinding]) -> list[ActiveBinding]:
    """Every action of ours once, this page's own first: not the arrows, not the digits."""
    kept: dict[str, ActiveBinding] = {}
    for active in found:
        key = of_binding(active.binding.id)
        if key is not None and not key.fixed and key.show != "arrows" and active.enabled:
            kept.setdefault(key.id, active)
    order = [key.id for key in sorted(KEYS, key=lambda key: key.where == "all")]
    return sorted(kept.values(), key=lambda active: order.index(_id(active)))


def _id(active: ActiveBinding) -> str:
    key = of_binding(active.binding.id)
    return key.id if key is not None else ""


def _quiet(active: ActiveBinding) -> ActiveBinding:
    return active._replace(binding=replace(active.binding, show=False))
