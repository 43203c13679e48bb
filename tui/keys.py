"""Every binding of the app, once. Screens and `drydown keys` take theirs from here, and a user's keys
are checked against it before any screen is loaded.

Digits answer, letters act, `g` goes. Only keys that terminals and multiplexers let through.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from textual.binding import Binding, BindingType


@dataclass(frozen=True, slots=True)
class Key:
    """One binding. `where` names scopes; `keys` are Textual's names, the first one is shown.

    show    how the key is written where its own name would not do ("0-9", "arrows")
    fixed   digits and the like: not open to the user's keymap
    """

    id: str
    keys: str
    label: str  # footer: one or two words
    tooltip: str  # help, palette and README: one sentence without its full stop
    where: str = "all"
    show: str = ""
    action: str = ""
    fixed: bool = False

    @property
    def names(self) -> tuple[str, ...]:
        return tuple(self.keys.split(","))


STEPS: Mapping[str, str] = {
    "describe": "Describe",
    "prepare": "Prepare",
    "look": "Look",
    "read": "Read",
    "weigh": "Weigh",
    "write_up": "Write up",
}

# Which scopes are alive on which screen. A key may stand for one thing only among the scopes of a screen.
SCREENS: Mapping[str, tuple[str, ...]] = {
    "home": ("all", "lists", "home"),
    "describe": ("all", "session", "describe"),
    "prepare": ("all", "session", "prepare"),
    "look": ("all", "session", "look"),
    "read": ("all", "session", "lists", "read"),
    "weigh": ("all", "session", "weigh"),
    "write_up": ("all", "session", "write_up"),
    "draw_sheet": ("all", "draw_sheet"),
    "typed": ("all", "session", "typed"),
    "facts": ("all", "session", "facts"),
    "patches": ("all", "lists", "patches"),
    "compare": ("all", "compare"),
    "neutrality": ("all", "neutrality"),
    "sidebyside": ("all", "sidebyside"),
    "triangle": ("all", "triangle"),
    "observers": ("all", "observers"),
    "plan": ("all", "plan"),
    "loan": ("all", "loan"),
    "questions": ("all", "questions"),
    "merge": ("all", "merge"),
    "bundle": ("all", "bundle"),
    "tools": ("all", "tools"),
    "choose": ("all", "choose"),
    "lamps": ("all", "tools"),
    "gamut": ("all", "gamut"),
    "growth": ("all", "growth"),
    "attach": ("all", "attach"),
    "help": ("page", "help"),
    "text": ("page",),
    "problem": ("window",),
    "go": ("go",),
    "typing": ("line",),
    "asking": ("asking",),
}

KEYS: tuple[Key, ...] = (
    Key("up", "up,k", "up", "Move up", show="arrows", action="move('up')"),
    Key("down", "down,j", "down", "Move down", show="arrows", action="move('down')"),
    Key("left", "left,h", "left", "Move left; close an opened row", show="arrows", action="move('left')"),
    Key("right", "right,l", "right", "Move right", show="arrows", action="move('right')"),
    Key("page.up", "pageup", "page up", "A page up", action="move('pageup')"),
    Key("page.down", "pagedown", "page down", "A page down", action="move('pagedown')"),
    Key("first", "home", "first", "To the first row", action="move('home')"),
    Key("last", "end", "last", "To the last row", action="move('end')"),
    Key("enter", "enter", "open", "Open, change, take, go on"),
    Key("back", "escape", "back", "Back; stop typing"),
    Key("go", "g", "go", "Go to a step, Home, Compare, plan, bundle, merge, tools and more"),
    Key("undo", "u", "undo", "Undo the last entry on this page"),
    Key("redo", "U", "redo", "Redo the last entry undone"),
    Key("copy", "c", "copy", "Copy what is shown as text"),
    Key("out", "o", "write out", "Write what is shown to a file"),
    Key("dim", "D", "dim", "Appearance: dark, dim, light"),
    Key("help", "question_mark,f1", "all keys", "Help: every key here"),
    Key("palette", "colon,ctrl+p", "actions", "Every action by name"),
    Key("leave", "ctrl+q", "leave", "Leave drydown"),
    Key("mark", "space", "mark", "Mark the row", "home"),
    Key("find", "slash", "find", "Find in the list", "lists"),
    Key("sort", "s", "sort", "Sort by another column", "lists"),
    Key("home.new", "n", "new like this", "New session like this one", "home"),
    Key("home.remove", "x", "remove", "Remove; the view “removed” brings back", "home"),
    Key("home.view", "v", "other view", "Show one state at a time; removed", "home"),
    Key("home.quit", "q", "leave", "Leave drydown", "home", action="leave"),
    Key("remark", "r", "remark", "Write a remark", "session"),
    Key("home.sheet", "t", "test image", "Draw the reference test image", "home", action="sheet"),
    Key("describe.sheet", "t", "test image", "Draw the reference test image", "describe", action="sheet"),
    Key("prepare.sheet", "t", "test image", "Draw the reference test image", "prepare", action="sheet"),
    Key(
        "sheet.digit",
        "1,2,3,4,5,6,7,8,9",
        "choose",
        "Choose in an opened row",
        "draw_sheet",
        "1-9",
        fixed=True,
    ),
    Key(
        "describe.digit",
        "1,2,3,4,5,6,7,8,9",
        "choose",
        "Choose in an opened row",
        "describe",
        "1-9",
        fixed=True,
    ),
    Key(
        "prepare.digit",
        "1,2,3",
        "answer",
        "1 done, 2 not done, 3 does not apply",
        "prepare",
        "1-3",
        fixed=True,
    ),
    Key(
        "look.digit",
        "0,1,2,3,4,5,6,7,8,9",
        "answer",
        "Grade, count, cast, fault",
        "look",
        "0-9",
        fixed=True,
    ),
    Key("look.yes", "y", "yes", "Answer yes", "look"),
    Key("look.no", "n", "no", "Answer no", "look"),
    Key("look.again", "a,asterisk,multiply", "look again", "Look at this region again", "look"),
    Key("look.absent", "x", "not here", "This region is not on the sheet", "look"),
    Key("look.after", "plus,add", "region after", "To the region after", "look", "+", "move('down')"),
    Key("look.undo", "minus,subtract", "undo", "Undo, on a keypad", "look", "-", "undo"),
    Key("look.map", "m", "map larger", "Map larger, or as before", "look"),
    Key("look.dark", "d", "dim", "Dim; again: dark until a key", "look"),
    Key("look.viewing", "v", "viewing", "Another viewing; hides this", "look"),
    Key("read.take", "t", "take in", "Take in the readings shown", "read"),
    Key("read.leave", "x", "leave out", "Leave readings out; u brings back", "read", action="leave_out"),
    Key("read.type", "p", "type", "Type readings patch by patch", "read", action="type_in"),
    Key("read.chart", "m", "profiling data", "Profiling data: facts, take over", "read", action="chart"),
    Key("describe.facts", "f", "facts", "Facts that readers ask for", "describe"),
    Key("facts.timer", "T", "time a print", "Begin to time a print, or end it", "facts"),
    Key("typed.find", "slash", "find", "To a patch by its name", "typed"),
    Key("typed.away", "x", "take away", "Take the last reading of a patch away", "typed"),
    Key("read.view", "v", "patches", "The list of patches", "read"),
    Key("patches.view", "v", "other curve", "Reflectance, or density, over wavelength", "patches"),
    Key("read.digit", "1,2,3,4,5,6,7,8,9,0", "choose", "Choose in an opened row", "read", "0-9", fixed=True),
    Key("weigh.again", "a", "look again", "Look at this region again", "weigh"),
    Key("weigh.use", "f", "for", "For which use: the next one", "weigh"),
    Key("weigh.view", "v", "other curve", "Other curve; observers; caveats", "weigh"),
    Key("weigh.part", "tab", "causes", "To the likely causes and back", "weigh", "Tab"),
    Key("neutrality.view", "v", "other curve", "Others, lights, M0 to M2, tone", "neutrality"),
    Key("neutrality.tone", "f", "for", "Against another tone", "neutrality"),
    Key(
        "side.digit",
        "0,1,2,3",
        "better",
        "1 left, 2 right, 0 no difference; of three 1 to 3",
        "sidebyside",
        "0-3",
        fixed=True,
    ),
    Key("side.three", "m", "two or three", "Two prints at a time, or three", "sidebyside"),
    Key("side.mark", "space", "choose", "Choose the region, or not", "sidebyside"),
    Key("side.new", "n", "another observer", "Rounds for another observer", "sidebyside"),
    Key("side.times", "t", "how often", "How often each pair is shown", "sidebyside"),
    Key("side.use", "f", "asked", "Which is better, or greyer", "sidebyside"),
    Key("side.slips", "p", "slips", "Write the letters as slips to cut out", "sidebyside"),
    Key("side.view", "v", "in full", "Everything in sentences", "sidebyside"),
    Key("side.letters", "x", "open letters", "Open the letters; ends the round", "sidebyside"),
    Key("side.triangles", "i", "anything to see", "Triangles: is there anything to see", "sidebyside"),
    Key(
        "triangle.digit",
        "0,1,2,3",
        "the odd one",
        "Which of three is the odd one: 1 left, 2 middle, 3 right",
        "triangle",
        "1-3",
        fixed=True,
    ),
    Key("triangle.times", "t", "how many", "How many triangles are drawn", "triangle"),
    Key("triangle.new", "n", "another observer", "Triangles for another observer", "triangle"),
    Key("triangle.page", "p", "what lies where", "Write what lies where, for whoever lays it", "triangle"),
    Key("observers.aside", "x", "set aside", "Set the viewing aside, or take it in again", "observers"),
    Key("observers.view", "v", "in full", "Everything in sentences, with the caveats", "observers"),
    Key(
        "merge.digit",
        "1,2,3,4,5,6,7,8,9",
        "choose",
        "Choose the version that counts",
        "merge",
        "1-9",
        fixed=True,
    ),
    Key("merge.take", "t", "take in", "Take in all that is listed, or nothing", "merge"),
    Key("merge.more", "n", "another bundle", "Look for a bundle, also beside one that is shown", "merge"),
    Key("merge.all", "a", "all of its folder", "All bundles of that folder, together", "merge"),
    Key("plan.done", "space", "done", "The step was done just now", "plan"),
    Key("plan.sheet", "t", "test image", "Draw the reference test image", "plan", action="sheet"),
    Key("plan.timer", "T", "timer", "Time the step; again stops", "plan"),
    Key("plan.omit", "x", "leave out", "Leave it out, or take it in again", "plan"),
    Key("plan.new", "n", "new paper", "One more paper with its settings", "plan"),
    Key("plan.lost", "d", "lost day", "A day without work, or not lost after all", "plan"),
    Key("plan.loan", "e", "the loan", "Days, hours, papers, minutes", "plan"),
    Key("plan.week", "v", "week", "The week as a table", "plan"),
    Key("plan.questions", "tab", "questions", "What readers ask", "plan", "Tab"),
    Key("loan.new", "n", "new paper", "One more paper with its settings", "loan"),
    Key("loan.off", "x", "take off", "Take the paper off the plan", "loan"),
    Key("questions.new", "n", "new question", "Keep a reader's question", "questions"),
    Key("compare.view", "v", "other view", "Eye, combined, readings", "compare"),
    Key("compare.sort", "s", "sort", "By this row, by verdict", "compare"),
    Key("compare.use", "f", "for", "For which use: the next one", "compare"),
    Key("compare.base", "b", "base", "Compare with this paper", "compare"),
    Key("compare.group", "p", "group", "By paper, printer, mode, age", "compare"),
    Key("compare.equal", "e", "equal rows", "Hide rows that are alike", "compare"),
    Key("compare.find", "slash", "find", "To a paper by its name", "compare"),
    Key("compare.part", "tab", "in words", "What differs, in sentences", "compare", "Tab"),
    Key("write.view", "v", "read it all", "Read the whole page first", "write_up"),
    Key(
        "write.digit",
        "1,2,3,4,5,6,7,8,9,0",
        "choose",
        "Choose in an opened row",
        "write_up",
        "0-9",
        fixed=True,
    ),
    Key("look.picture", "p", "picture", "Attach a picture of a fault", "look", action="attach"),
    Key("weigh.picture", "p", "picture", "Attach a picture of a fault", "weigh", action="attach"),
    Key("write.picture", "p", "picture", "Attach a picture of a fault", "write_up", action="attach"),
    Key(
        "attach.digit",
        "1,2,3,4,5,6,7,8,9,0",
        "choose",
        "Choose in an opened row",
        "attach",
        "0-9",
        fixed=True,
    ),
    Key("describe.file", "p", "look for it", "Look for the profile in folders", "describe", action="choose"),
    Key(
        "sheet.file",
        "p",
        "look for it",
        "Look for your own picture in folders",
        "draw_sheet",
        action="choose",
    ),
    Key("attach.take", "t", "keep it", "Keep the picture with its region", "attach"),
    Key("gamut.off", "x", "take off", "Take the file off the list", "gamut"),
    Key("gamut.wider", "w", "step through", "Step through the settings of these profiles", "gamut"),
    Key("compare.wider", "w", "step through", "Step through the gamuts of these settings", "compare"),
    Key("read.wider", "w", "step through", "Step through settings of this printer and paper", "read"),
    Key("growth.view", "v", "against", "Against the first setting, or the one before", "growth"),
    Key("growth.picture", "p", "picture", "Hold a picture against the settings", "growth", action="choose"),
    Key("choose.find", "slash", "find", "Narrow the list", "choose"),
    Key("choose.path", "p", "type a path", "Type the path of a file or folder", "choose"),
    Key("page.more", "down,j,pagedown,space", "more", "A page on", "page", "Down"),
    Key("page.less", "up,k,pageup", "back up", "A page back", "page", "Up"),
    Key("page.find", "slash", "find", "Find on this page", "page"),
    Key("page.check", "f1,question_mark", "key check", "Press a key, see what arrived", "help", "?"),
    Key("page.go", "g", "go", "Go to a step, Home, Compare, tools and more", "page"),
    Key("page.copy", "c", "copy", "Copy what is shown as text", "page", action="copy"),
    Key("page.close", "escape,q,left,enter", "back", "Back", "page", "Esc", "close"),
    Key("window.close", "enter,escape,q", "back", "Back", "window", "Enter", "close"),
    Key("window.copy", "c", "copy", "Copy the sentences", "window", action="copy"),
    Key("window.out", "o", "write out", "Write the sentences to a file", "window", action="out"),
    Key("go.digit", "1,2,3,4,5,6", "step", "To one of the six steps", "go", "1-6", fixed=True),
    Key("go.next", "g", "next open step", "To the next open step", "go", action="to('next')"),
    Key("go.home", "h", "Home", "To the list of sessions", "go", action="to('home')"),
    Key("go.compare", "c", "Compare", "Compare the marked sessions", "go", action="to('compare')"),
    Key("go.neutrality", "n", "neutrality", "The neutrality record", "go", action="to('neutrality')"),
    Key("go.side", "s", "side by side", "Marked prints under letters", "go", action="to('sidebyside')"),
    Key("go.plan", "p", "plan", "The plan of a printer on loan", "go", action="to('plan')"),
    Key("go.bundle", "b", "bundle", "The marked sessions in a file to send", "go", action="to('bundle')"),
    Key("go.merge", "m", "merge", "What bundles bring; taking a merge back", "go", action="to('merge')"),
    Key("go.tools", "t", "tools", "Settings, backup, checks, lamps, gamut", "go", action="to('tools')"),
    Key("go.stay", "escape", "stay", "Stay here", "go", action="stay"),
    Key("line.take", "enter", "take it", "Take what was typed", "line", action="take"),
    Key("line.leave", "escape", "stop typing", "Stop typing; it stands there again", "line", action="stop"),
    Key("line.up", "up", "known", "Up through what was entered before", "line", action="step('up')"),
    Key("line.down", "down", "known", "Down through what was entered before", "line", action="step('down')"),
    Key("line.help", "f1", "help", "Help: every key of the page below", "line", action="help"),
    Key("line.quit", "ctrl+q", "leave", "Leave drydown", "line", action="leave"),
    Key("asking.digit", "0,1,2,3,4,5,6,7,8,9", "answer", "Answer the question", "asking", "0-9", fixed=True),
    Key("asking.yes", "y", "yes", "Yes", "asking", action="digit('1')"),
    Key("asking.no", "n,escape", "no", "No", "asking", action="digit('0')"),
)

BY_ID: Mapping[str, Key] = {key.id: key for key in KEYS}

_WRITTEN = {
    "question_mark": "?",
    "colon": ":",
    "slash": "/",
    "plus": "+",
    "minus": "-",
    "asterisk": "*",
    "escape": "Esc",
    "pageup": "PgUp",
    "pagedown": "PgDn",
    "ctrl+p": "Ctrl+P",
    "ctrl+q": "Ctrl+Q",
}


def keys_of(screen: str) -> Iterator[Key]:
    """Every binding alive on a screen, in the order of the table."""
    scopes = SCREENS[screen]
    return (key for key in KEYS if key.where in scopes)


def bindings(screen: str, *, first: bool = False) -> list[BindingType]:
    """The framework's bindings of a screen, each with an id. `first`: before the widget with the focus."""
    made: list[BindingType] = []
    for key in keys_of(screen):
        action = key.action or key.id.rpartition(".")[2]
        about = {"show": False, "tooltip": key.tooltip, "priority": first}
        if key.fixed:
            names = key.names
            made += [
                Binding(name, f"{action}('{name}')", key.label, id=f"{key.id}.{name}", **about)
                for name in names
            ]
        else:
            made.append(Binding(key.keys, action, key.label, id=key.id, **about))
    return made


def of_binding(id: str | None) -> Key | None:
    """The row of the table that a binding was made from."""
    if id is None:
        return None
    return BY_ID.get(id) or BY_ID.get(id.rpartition(".")[0])


def written(name: str) -> str:
    """A key as people write it: "question_mark" is ?, "f1" is F1, "enter" is Enter.

    >>> written("question_mark"), written("ctrl+p"), written("U"), written("space")
    ('?', 'Ctrl+P', 'U', 'Space')
    """
    return _WRITTEN.get(name, name if len(name) == 1 else name.capitalize())


def shown(key: Key, keymap: Mapping[str, str]) -> str:
    """How a key is written for this user, after their own keymap."""
    if key.id in keymap:
        return written(keymap[key.id].split(",")[0])
    return key.show or written(key.names[0])


def table() -> list[tuple[str, str, str, str]]:
    """Every key: as it is pressed, what it does, where, and the name that a user's keymap goes by, or ""."""
    rows: list[tuple[str, str, str, str]] = []
    for key in KEYS:
        names = key.show if key.fixed else " ".join(written(name) for name in key.names)
        where = {
            "all": "everywhere",
            "session": "all six steps",
            "write_up": "write up",
            "typed": "readings typed by hand",
            "facts": "facts for readers",
            "draw_sheet": "the test image",
            "choose": "choosing a file",
            "sidebyside": "side by side",
            "triangle": "triangles",
            "attach": "a picture of a fault",
            "go": "after g",
            "line": "while typing",
            "asking": "a question",
        }.get(key.where, key.where)
        rows.append((names, key.tooltip, where, "" if key.fixed else key.id))
    return rows
