"""Every option that a refusal of the readers can name is one that the command line takes."""

from datetime import datetime
from pathlib import Path

from evaluation.readings.supplied import OPTIONS, Supplied
from tui.cli import parser
from tui.commands.supplied import said


def test_every_option_a_refusal_names_is_taken() -> None:
    words = [
        *("--condition", "M1", "--illuminant", "D50", "--observer", "2", "--geometry", "45/0"),
        *("--backing", "white", "--instrument", "hand-held", "--unmanaged", "--rgb-scale", "100"),
        *("--ink-scale", "255", "--spectral-scale", "percent", "--xyz-scale", "1", "--decimal", "comma"),
        *("--columns", "SAMPLE_ID,LAB_L,LAB_A,LAB_B", "--first-nm", "380", "--step-nm", "10", "--by-order"),
        *("--measured-at", "2015-05-12", "--made-from-these", "--with", "list.txt", "--anyway"),
    ]
    named = {option for options in OPTIONS.values() for option in options.split("/")}
    assert named - set(words) == {"--managed"}
    args = parser().parse_args(["read", "1", "strip.txt", *words])
    assert args.by_order and said(args) == Supplied(
        condition="M1",
        illuminant="D50",
        observer="2",
        geometry="45/0",
        backing="white",
        instrument="hand-held",
        printed_as="unmanaged",
        rgb_scale=100,
        ink_scale=255,
        spectral_scale="percent",
        xyz_scale=1,
        decimal="comma",
        columns=("SAMPLE_ID", "LAB_L", "LAB_A", "LAB_B"),
        first_nm=380,
        step_nm=10,
        by_order=True,
        device_list=Path("list.txt"),
        anyway=True,
        measured_at=datetime(2015, 5, 12).astimezone(),
        made_profile=True,
    )
