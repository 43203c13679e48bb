"""Habits are remembered until they change or are forgotten."""

from evaluation.archive import habits


def test_a_habit_is_remembered_changed_and_forgotten(archive):
    assert habits.recall(archive, "columns") is None
    habits.remember(archive, "columns", {"L*": 3, "[/a]": ["ü", None, 1.5]})
    assert habits.recall(archive, "columns") == {"L*": 3, "[/a]": ["ü", None, 1.5]}
    habits.remember(archive, "columns", [])
    assert habits.recall(archive, "columns") == []
    habits.remember(archive, "columns", None)
    assert habits.recall(archive, "columns") is None
