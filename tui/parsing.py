"""argparse with our voice: a mistake on the command line is a sentence like any other."""

import argparse
import re
from typing import NoReturn

from evaluation.errors import UsageProblem
from evaluation.plain_text import quoted

_AFTER = {"one": "a value", "at least one": "at least one value", "4": "four values"}
_VALUES = {"int": "a whole number", "float": "a number", "Path": "a path"}


class Parser(argparse.ArgumentParser):
    """An ArgumentParser whose mistakes are raised as UsageProblem instead of printed as a block."""

    def error(self, message: str) -> NoReturn:
        raise usage_problem(message, self.prog)


def usage_problem(message: str, program: str) -> UsageProblem:
    """What argparse found wrong, told as where, expected, found, remedy.

    >>> str(usage_problem("argument --ppi: invalid int value: 'x'", "drydown sheet"))
    '--ppi: a whole number expected, “x” found. Nothing was done. `drydown sheet --help` shows what it takes.'
    """
    remedy = f"`{program} --help` shows what it takes."
    if found := re.fullmatch(r"argument (.+?): invalid (\w+) value: '(.*)'", message, re.DOTALL):
        expected = _VALUES.get(found[2], f"a {found[2]}")
        return _problem(found[1], expected, quoted(found[3]), remedy)
    if found := re.fullmatch(
        r"argument (.+?): invalid choice: '(.*)' \(choose from (.*)\)", message, re.DOTALL
    ):
        return _problem(found[1], f"one of {found[3].replace(chr(39), '')}", quoted(found[2]), remedy)
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
