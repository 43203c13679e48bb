"""Undo and redo do what two stacks would, whatever is said, undone and redone by two observers in a row."""

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from evaluation.archive import entries, sessions
from evaluation.entry import Draft

SCOPES = (None, 0, 1)  # outside Look, or one of two viewings
PAGES = ("", "odd", "even")  # "" is all of them; numbers stand for what was said
acts = st.tuples(
    st.sampled_from(("say", "say", "undo", "undo", "redo", "reveal")),
    st.sampled_from(SCOPES),
    st.sampled_from(PAGES),
)


def of_page(page, number):
    return page == "" or (number % 2 == 1) == (page == "odd")


class Stacks:
    """What is live, oldest first, and what was undone, first undone first."""

    def __init__(self):
        self.live, self.undone = [], []

    def act(self, verb, scope, page, number):
        if verb in ("say", "reveal"):
            self.live.append((verb, scope, number))
            self.undone.clear()
            return [number]
        taken, given = (self.live, self.undone) if verb == "undo" else (self.undone, self.live)
        for place in reversed(range(len(taken))):
            kind, said_in, said = taken[place]
            if kind == "say" and said_in in (None, scope) and of_page(page, said):
                given.append(taken.pop(place))
                self.live.sort(key=lambda one: one[2])
                return [said]
        return []


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(script=st.lists(acts, max_size=25))
def test_undo_and_redo_are_two_stacks(archive, sheet_digest, now, summarise, script):
    session = sessions.create(archive, sheet_digest=sheet_digest, now=now)
    viewings = [
        sessions.start_viewing(archive, session, str(number), "full", (), now, summarise).id
        for number in range(2)
    ]
    model = Stacks()
    for number, (verb, scope, page) in enumerate(script):
        viewing = None if scope is None else viewings[scope]
        if verb in ("say", "reveal"):
            draft = Draft("remark" if verb == "say" else "reveal", str(number), str(number), viewing)
            done = entries.say(archive, session, [draft], now, summarise)
        else:
            turn = entries.undo if verb == "undo" else entries.redo

            def belongs(action, page=page):
                return of_page(page, int(action[0].value))

            done = turn(archive, session, viewing, now, summarise, belongs)
        assert [int(entry.value) for entry in done] == model.act(verb, scope, page, number)
    live = [int(said.entry.value) for said in entries.history(archive, session) if said.live]
    assert live == [number for _, _, number in model.live]
