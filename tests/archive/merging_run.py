"""A program that merges a bundle: `merging_run.py ARCHIVE BUNDLE`. It says when it begins and ends."""

import sys
from datetime import UTC, datetime
from pathlib import Path

from evaluation.archive.bundles import merge
from evaluation.archive.connection import open_archive
from evaluation.session import Summary

path, bundle = sys.argv[1:]
with open_archive(path) as archive:
    print("ready", flush=True)
    merge.merge(archive, [Path(bundle)], datetime.now(UTC), lambda session: Summary())
    print("merged", flush=True)
