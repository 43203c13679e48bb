"""What the options of `read` and `contents` say about a file, as the readers take it."""

from argparse import Namespace

from evaluation.readings.run import PrintedAs
from evaluation.readings.stated import moment_said
from evaluation.readings.supplied import Supplied


def said(args: Namespace) -> Supplied:
    """The statements of a command line; what was not given stays unsaid."""
    printed_as: PrintedAs = "managed" if args.managed else "unmanaged" if args.unmanaged else "not stated"
    return Supplied(
        condition=args.condition,
        printed_as=printed_as,
        observer=args.observer,
        illuminant=args.illuminant,
        backing=args.backing,
        geometry=args.geometry,
        instrument=args.instrument,
        measured_at=moment_said(args.measured_at) if args.measured_at else None,
        rgb_scale=args.rgb_scale,
        ink_scale=args.ink_scale,
        spectral_scale=args.spectral_scale,
        xyz_scale=args.xyz_scale,
        decimal=args.decimal,
        columns=tuple(args.columns.split(",")) if args.columns else (),
        first_nm=args.first_nm,
        step_nm=args.step_nm,
        # Of `read` alone:
        device_list=getattr(args, "device_list", None),
        by_order=getattr(args, "by_order", False),
        made_profile=getattr(args, "made_from_these", None) or None,
        anyway=getattr(args, "anyway", False),
    )
