"""`drydown export` from the command line: what it says, and with what it ends."""

from pathlib import Path

from tests.commands.conftest import Drydown, unpromised


def test_archives_and_bundles_are_exported_and_what_is_none_is_named(
    demo_room: Drydown, tmp_path: Path
) -> None:
    own = demo_room("export", tmp_path / "tables")  # the archive in use
    assert (own.code, own.err) == (0, "")
    assert own.out.startswith(f"6 sessions of 1 archive in {tmp_path / 'tables'}: 26 files written, 0 ")
    assert "2 sessions lack an up-to-date result; `drydown weigh` makes one." in own.out
    demo_room("bundle", 1, "-o", tmp_path / "one.bundle")
    (tmp_path / "none.db").write_text("no archive\n", "utf-8")
    given = [tmp_path / name for name in ("none.db", "archive.db", "one.bundle")]
    ran = demo_room("export", tmp_path / "tables", *given, "--processes", 1, "--without-names", "--json")
    assert ran.code == 1 and ran.err.count("none.db") == 1 and unpromised("export", ran.json) == []
    none, archive, sent = ran.json["archives"]
    assert none["problem"]["found"] == "another kind of file"
    assert (archive["sessions"], sent["sessions"]) == (6, 1) and archive["origin"] != sent["origin"]
    assert archive["written"] == 26 and ran.json["with_names"] is False
    again = demo_room(
        "export", tmp_path / "tables", tmp_path / "one.bundle", "--without-names", "--as", "json"
    )
    assert again.code == 0 and "no files written" in again.out
