"""`drydown new --from PROFILE.icc`: a profile alone is enough to begin with."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from evaluation.archive import sessions
from evaluation.archive.connection import open_archive
from evaluation.errors import ProfileProblem
from evaluation.work.bench import Bench
from evaluation.work.describe import fields
from fixtures.printer import icc
from tests.profile.carrying import carrying, table, text_tag

Drydown = Callable[..., Any]
SOUND = (Path(icc.__file__).parents[1] / "profiles" / "brackmoor-rag-fine.icc").read_bytes()


def test_a_profile_alone_is_enough_to_begin_with(drydown: Drydown, tmp_path: Path) -> None:
    """What it was made from is offered, and read from the same file: fit, black and greys."""
    steps = range(0, 256, 51)
    rgb = [(r, g, b) for r in steps for g in steps for b in steps]
    rows = [(n, *each, 20 + sum(each) / 10, 0, 0) for n, each in enumerate(rgb, 1)]
    inside = table("SAMPLE_ID RGB_R RGB_G RGB_B LAB_L LAB_A LAB_B", rows, 'MEASUREMENT_CONDITION "M0"\n')
    path = tmp_path / "my rag.icc"
    path.write_bytes(carrying(SOUND, {b"targ": text_tag(inside)}))
    ran = drydown("new", "--from", path)
    assert (ran.code, ran.out) == (0, "1\n")
    assert "carries the readings it was made from, 216 patches under M0: drydown read 1 '" in ran.err
    with open_archive(tmp_path / "archive.db") as opened:
        condition = sessions.load(opened, 1).condition
    assert condition.profile == "my rag.icc" and condition.profile_digest is not None
    read = drydown("read", 1, path)
    assert read.code == 0 and "216 readings, M0, CIELAB, printed unmanaged" in read.out
    assert drydown("weigh", 1, "--json").json["profile_fit"]["patches"] == 216
    assert drydown("chart", 1, "--json").json["sessions"][0]["chart"]["patches"] == 216


def test_a_profile_of_no_print_is_refused_and_kept_anyway_with_a_caveat(
    drydown: Drydown, tmp_path: Path
) -> None:
    path = tmp_path / "space.icc"
    path.write_bytes(SOUND[:12] + b"mntr" + SOUND[16:])
    ran = drydown("new", "--from", path)
    assert ran.code == 1 and "one of class display, which describes no print" in ran.err
    assert drydown("new", "--from", path, "--anyway").out == "1\n"
    assert any("of class display" in caveat for caveat in drydown("weigh", 1, "--json").json["caveats"])
    with open_archive(tmp_path / "archive.db") as opened:
        bench = Bench(opened)
        with pytest.raises(ProfileProblem, match=r"Or type “space\.icc, anyway”: that stays a caveat"):
            fields.say_field(bench, 1, "profile", str(path))
        fields.say_field(bench, 1, "profile", f"{path}, anyway")
