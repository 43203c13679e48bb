"""One case of the campaign: a mutated file, and the words that hand it to a command."""

import contextlib
import io
import os
import re
from dataclasses import dataclass
from pathlib import Path
from random import Random
from typing import Final

from evaluation.readings.supplied import OPTIONS
from fixtures.printer import icc
from tests.fuzz import bases, bundles, mutations
from tests.profile.carrying import carrying, packed_tag, text_tag
from tui.cli import main

KINDS: Final = ("readings", "toml", "forms", "profiles", "pictures", "archives", "bundles")
GREY: Final = "grey.icc"
OUTPUT: Final = Path(icc.__file__).parents[1] / "profiles" / "brackmoor-rag-fine.icc"


@dataclass(frozen=True)
class Case:
    """`words` are those of the command line; `settings` is a weighing.toml to go by, where that is meant."""

    name: str
    words: tuple[str, ...]
    settings: Path | None = None


def make(kind: str, seed: int, number: int, folder: Path, archive: Path) -> Case:
    """Write the files of a case into a folder. The same kind, seed and number give the same case."""
    random = Random(f"{kind} {seed} {number}")
    maker = {"readings": _readings, "toml": _toml, "forms": _form, "profiles": _profile,
             "pictures": _picture, "archives": _archive, "bundles": _bundle}[kind]  # fmt: skip
    return maker(random, folder, archive)


def _readings(random: Random, folder: Path, archive: Path) -> Case:
    name = random.choice(tuple(bases.READINGS))
    path = _written(folder / f"{name}.txt", mutations.of_readings(bases.READINGS[name], random))
    if name.startswith("lamp"):
        return Case(name, ("neutrality", "1", "--lamp", path, "--archive", str(archive)))
    words = ["contents", path]
    if random.random() < 0.4:
        words = ["read", random.choice(("1", "1", "1", "2")), path, "--archive", str(archive)]
    words += bases.SAID.get(name, ())
    if random.random() < 0.3:
        words += ["--managed"]
    if words[0] == "read" and random.random() < 0.15:
        words += ["--with", _written(folder / "list.txt", mutations.of_readings(bases.LIST, random))]
    if random.random() < 0.2:
        words += _said(random, taken_in=words[0] == "read")
    return Case(name, tuple(words))


def _said(random: Random, *, taken_in: bool) -> list[str]:
    """One thing that a person may say of a file, or what nobody would."""
    of_a_session = ("--made-from-these", "--by-order", "--anyway")
    option = random.choice(
        [o for o in OPTIONS.values() if o != "--with" and (taken_in or o not in of_a_session)]
    )
    if option in (*of_a_session, OPTIONS["printed_as"]):
        return [option.rpartition("/")[2]]
    answers = ("M1", "D50", "1", "10", "100", "380", "comma", "percent", "a,b,c", "1e308", "2026-02-30", "")
    return [option, random.choice(answers)]


def _toml(random: Random, folder: Path, archive: Path) -> Case:
    name = random.choice(tuple(bases.TOML))
    path = _written(folder / f"{name}.toml", mutations.of_toml(bases.TOML[name].encode(), random))
    at = ("--archive", str(archive))
    words: tuple[str, ...] = {
        "condition": ("new", "--from", path, *at),
        "blank": ("new", "--from", path, *at),
        "map": ("sheet", "--check", path),
        "grades": ("grade", "2", "--from", path, *at),
        "settings": ("settings",),
        "style": ("appendix", "1", "-o", str(folder / "a.md"), "--replace", "--style", path, *at),
        "appearance": ("--archive", str(archive)),
    }[name]
    return Case(name, words, Path(path) if name == "settings" else None)


def _form(random: Random, folder: Path, archive: Path) -> Case:
    """What is filled in by hand: a loan, facts, rounds, decisions. A lamp by itself."""
    at = ("--archive", str(archive))
    match random.choice(("lamp", "plan", "facts", "say", "rounds", "decisions")):
        case "lamp":
            name = random.choice(("lamp", "lamp-xml"))
            path = _written(folder / "lamp.csv", mutations.of_readings(bases.READINGS[name], random))
            return Case("lamp", ("lamp", path, *(("--json",) if random.random() < 0.3 else ())))
        case "plan":
            path = _written(folder / "loan.toml", mutations.of_form(bases.LOAN.encode(), random))
            return Case("plan", ("plan", "--from", path, *at))
        case "facts":
            path = _written(folder / "facts.toml", mutations.of_form(bases.FACTS.encode(), random))
            return Case("facts", ("facts", "1", "--from", path, *at))
        case "say":
            line = random.choice(bases.FACTS.splitlines()).replace(' = "', ": ").rstrip('"')
            said = mutations.of_numbers(line.encode(), random).decode("utf-8", "replace").replace("\0", "")
            return Case("facts", ("facts", "1", "--say", said, *at))
        case "rounds":
            drawn = folder / "rounds.toml"
            if not drawn.exists():
                told = io.TextIOWrapper(io.BytesIO(), "utf-8", write_through=True)
                with contextlib.redirect_stdout(told), contextlib.redirect_stderr(io.StringIO()):
                    assert main(["sidebyside", "1", "3", "--template", "--times", "2", *at]) == 0
                drawn.write_bytes(told.buffer.getvalue())  # type: ignore[attr-defined]
            filled = re.sub(r'""(?=  # (\w))', r'"\1"', drawn.read_text("utf-8"))
            path = _written(folder / "form.toml", mutations.of_form(filled.encode(), random))
            return Case("sidebyside", ("sidebyside", "1", "3", "--from", path, *at))
        case _:
            path = _written(folder / "decisions.txt", mutations.of_numbers(bases.DECISIONS.encode(), random))
            return Case("settings", ("settings", "--from-decisions", path, *at))


def _bundle(random: Random, folder: Path, archive: Path) -> Case:
    """A bundle merged into an archive of its own; if that takes it, what is done next with its sessions."""
    for left in folder.glob("own*"):
        left.unlink()
    path, at = folder / "own.bundle", ("--archive", str(folder / "own.db"))
    bundles.forged(bundles.sound(archive), random, path)
    command = random.choice(
        ("merge", "merge", "weigh", "grade", "check", "appendix", "facts", "compare", "chart")
    )
    words = {
        "weigh": ("1",),
        "grade": ("1", "--template"),
        "appendix": ("1", "-o", str(folder / "a.md"), "--replace"),
        "facts": ("1",),
        "compare": ("1", "2"),
        "chart": ("1",),
    }.get(command, ())
    if command != "merge":
        with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()):
            if main(["merge", str(path), *at]) == 0:
                return Case(command, (command, *words, *at))
    return Case("merge", ("merge", str(path), *at))


def _profile(random: Random, folder: Path, archive: Path) -> Case:
    base = random.choice(bases.PROFILES)
    made = mutations.of_profile(_with_readings(base, random) if random.random() < 0.3 else base, random)
    path = _written(folder / "own.icc", made)
    chance = random.random()
    if chance < 0.1:
        return Case("gamut", ("gamut", path))
    if chance < 0.2:
        condition = folder / "condition.toml"
        condition.write_text('[condition]\npaper = "x"\nprofile = "own.icc"\n', "utf-8")
        return Case("new", ("new", "--from", str(condition), "--archive", str(archive)))
    if chance < 0.35:
        return Case("read", ("read", "1", path, "--archive", str(archive)))
    if chance < 0.4:
        return Case("new", ("new", "--from", path, "--anyway", "--archive", str(archive)))
    return Case("contents", ("contents", path))


def _with_readings(base: bytes, random: Random) -> bytes:
    """A profile that carries readings, mutated too, as text or compressed, and then perhaps damaged."""
    inside = bases.READINGS[random.choice(tuple(bases.READINGS))]
    if random.random() < 0.5:
        inside = mutations.of_readings(inside, random)
    tag = packed_tag(inside) if random.random() < 0.5 else text_tag(inside)
    if random.random() < 0.3:
        tag = mutations.of_bytes(tag, random)
    return carrying(base, {random.choice((b"targ", b"CxFx", b"CIED", b"DevD")): tag})


def _picture(random: Random, folder: Path, archive: Path) -> Case:
    name = random.choice(tuple(bases.pictures()))
    path = _written(folder / f"{name}.jpg", mutations.of_bytes(bases.pictures()[name], random))
    chance = random.random()
    if chance < 0.4:
        words = ("attach", "1", "skin", path, "--archive", str(archive))
    elif chance < 0.7:
        words = ("gamut", str(_grey(folder)), "--picture", path)
    elif chance < 0.99:
        words = ("sheet", str(folder / "m.toml"), "--map-from", path, "--replace")
    else:
        sheet = (
            "sheet",
            str(folder / "s.tif"),
            "--no-pictures",
            "--picture",
            path,
            "--replace",
            "--archive",
            str(archive),
        )
        words = (*sheet, "--size", "A4", "--ppi", "150", "--no-pages", "--no-form", "--no-pictures")
    return Case(name, words)


def _archive(random: Random, folder: Path, archive: Path) -> Case:
    for left in folder.glob("own.db*"):
        left.unlink()
    path = _written(folder / "own.db", mutations.of_archive(archive.read_bytes(), random))
    command = random.choice(
        ("list", "list", "check", "check", "weigh", "grade", "chart", "backup", "compare")
    )
    words = {
        "list": (),
        "check": (),
        "weigh": ("1",),
        "grade": ("1", "--template"),
        "chart": ("1",),
        "backup": (str(folder / f"copy-{random.getrandbits(40)}.db"),),
        "compare": ("1", "2"),
    }[command]
    json = ("--json",) if random.random() < 0.3 else ()
    return Case(command, (command, *words, *json, "--archive", path))


def _grey(folder: Path) -> Path:
    """A profile whose gamut takes no time: the picture is what is tried."""
    path = folder / GREY
    if not path.exists():
        from tests.profile.probes import lut16, profile

        tags = {b"A2B0": lut16(1, 2, [0, 32768, 32768, 65280, 32768, 32768], 3)}
        tags |= {b"B2A0": lut16(3, 2, [0] * 4 + [65535] * 4, 1)}
        path.write_bytes(profile(tags, space=b"GRAY"))
    return path


def _written(path: Path, content: bytes) -> str:
    path.write_bytes(content)
    return os.fspath(path)
