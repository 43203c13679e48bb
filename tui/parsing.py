"""argparse with our voice: a mistake on the command line is a sentence like any other."""

import argparse
import math
import re
from collections.abc import Sequence
from difflib import get_close_matches
from typing import Any, NoReturn

from evaluation.errors import UsageProblem
from evaluation.plain_text import quoted

_AFTER = {"one": "a value", "at least one": "at least one value", "4": "four values"}
_VALUES = {"int": "a whole number", "float": "a number", "positive": "a number above 0", "Path": "a path"}


class Parser(argparse.ArgumentParser):
    """An ArgumentParser whose mistakes are raised as UsageProblem instead of printed as a block."""

    def parse_args(self, args: Sequence[str] | None = None, namespace: Any = None) -> Any:
        """As always, but what is left over is told with the command that does not know it."""
        found, left = self.parse_known_args(args, namespace)
        if left:
            command = getattr(found, "command", None)
            program = f"{self.prog} {command}" if command else self.prog
            raise usage_problem(f"unrecognized arguments: {' '.join(left)}", program)
        return found

    def error(self, message: str) -> NoReturn:
        raise usage_problem(message, self.prog)


def positive(text: str) -> float:
    """A finite number above nothing. Raises ValueError."""
    value = float(text)
    if not (math.isfinite(value) and value > 0):
        raise ValueError(text)
    return value


def usage_problem(message: str, program: str) -> UsageProblem:
    """What argparse found wrong, told as where, expected, found, remedy.

    >>> str(usage_problem("argument --ppi: invalid int value: 'x'", "x"))
    '--ppi. Expected: a whole number. Found: “x”. Nothing was done. `x --help` shows what it takes.'
    """
    remedy = f"`{program} --help` shows what it takes."
    if found := re.fullmatch(r"argument (.+?): invalid (\w+) value: '(.*)'", message, re.DOTALL):
        expected = _VALUES.get(found[2], f"a {found[2]}")
        return _problem(found[1], expected, quoted(found[3]), remedy)
    if found := re.fullmatch(
        r"argument (.+?): invalid choice: '(.*)' \(choose from (.*)\)", message, re.DOTALL
    ):
        choices = found[3].replace("'", "")
        if near := get_close_matches(found[2], choices.split(", "), 1):
            remedy = f"Perhaps “{near[0]}” is meant. {remedy}"
        return _problem(found[1], f"one of {choices}", quoted(found[2]), remedy)
    if found := re.fullmatch(r"argument (.+?): expected (.+?)(?: arguments?)?", message):
        return _problem(found[1], f"{_AFTER.get(found[2], found[2])} after it", "", remedy)
    if found := re.fullmatch(r"argument (.+?): not allowed with argument (.+)", message):
        return _problem(found[1], f"one of {found[1]} and {found[2]}", "both", remedy)
    if found := re.fullmatch(r"the following arguments are required: (.+)", message):
        return _problem(program, found[1], "", remedy)
    if found := re.fullmatch(r"one of the arguments (.+) is required", message):
        return _problem(program, f"one of {found[1].replace(' ', ', ')}", "", remedy)
    if found := re.fullmatch(r"unrecognized arguments: (.+)", message, re.DOTALL):
        return UsageProblem(f"There is no “{found[1]}” here. Nothing was done.", where=program, remedy=remedy)
    return UsageProblem(f"{message[:1].upper()}{message[1:]}.", where=program, remedy=remedy)


def _problem(where: str, expected: str, found: str, remedy: str) -> UsageProblem:
    return UsageProblem("Nothing was done.", where=where, expected=expected, found=found, remedy=remedy)
