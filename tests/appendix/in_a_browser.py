"""Look at an appendix in headless Chromium: accessibility, three widths, dark, printed. Run by hand.

    uv run python tests/appendix/in_a_browser.py [PAGE.html]

Without a page it writes those of the demo. Needs Chromium; the accessibility rules are axe-core's, fetched
with npm. What is missing is said and skipped. Pages of a PDF are put beside it as PNG where pdftoppm is.
Exit 1 when something was found.
"""

import json
import re
import shutil
import subprocess
import sys
import tarfile
import tempfile
from pathlib import Path

CHROMIUM = ("chromium", "chromium-browser", "google-chrome", "chrome")
QUIET = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--hide-scrollbars",
    "--host-resolver-rules=MAP * ~NOTFOUND",  # no name is looked up, whoever asks
    "--allow-file-access-from-files",  # a page in a frame tells the frame what was found
)
NARROWEST = 500  # pixels, of a window without a screen
KINDS = (
    ((1,), "article"),
    ((1,), "whole"),
    ((1,), "summary"),
    ((4,), "article"),
    ((2, 3), "neutrality"),
    ((1, 2, 3, 4, 5, 6), "article"),
)
WIDTHS = (390, 768, 1200)
SCHEMES = {"light": "1", "dark": "0"}
# Puts what was found into the page itself, from where --dump-dom brings it out.
RUN = """
axe.run(document, {runOnly: ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa", "best-practice"]}).then(found => {
  const told = document.createElement("script");
  told.type = "application/json"; told.id = "found";
  told.textContent = JSON.stringify({
    violations: found.violations.map(
      v => ({id: v.id, help: v.help, at: v.nodes.map(n => n.target.join(" "))})),
    wide: document.documentElement.scrollWidth - document.documentElement.clientWidth,
    face: [...document.fonts].filter(face => face.status == "loaded").length,
    slides: [...document.querySelectorAll(".table")].filter(box => box.scrollWidth > box.clientWidth + 1)
      .filter(box => box.tabIndex != 0).length,
    rules: found.passes.length,
  }).replaceAll("<", "\\\\u003c");
  top.document.body.append(told);
});
"""


def main(pages: list[str]) -> int:
    chromium = next(filter(None, map(shutil.which, CHROMIUM)), None)
    if chromium is None:
        print("Skipped: no Chromium on this computer.")
        return 0
    with tempfile.TemporaryDirectory() as folder:
        work = Path(folder)
        files = [Path(page) for page in pages] or demo_pages(work)
        axe = axe_core(work)
        found = 0
        for file in files:
            found += requests(chromium, file, work)
            if axe is not None:
                found += rules(chromium, file, axe, work)
            looked_at(chromium, file)
    return 1 if found else 0


def demo_pages(work: Path) -> list[Path]:
    """Pages of each kind from the sessions of the demo, in a folder that stays."""
    from evaluation.archive.connection import open_archive
    from evaluation.work.bench import Bench
    from evaluation.work.write_up import write_up
    from fixtures.demo import build

    archive = work / "demo.db"
    build(archive)
    out = Path(tempfile.mkdtemp(prefix="appendix-"))
    with open_archive(archive) as opened:
        bench = Bench(opened)
        for ids, parts in KINDS:
            for ending in (".html", ".pdf"):
                name = f"{parts}-{'-'.join(map(str, ids))}{ending}"
                write_up.write(bench, ids, out / name, write_up.Choices(parts))
    print(f"Pages: {out}")
    return sorted(out.glob("*.html"))


def axe_core(work: Path) -> str | None:
    """The rules of axe-core (Deque Systems, MPL 2.0), or None where npm cannot bring them."""
    npm = shutil.which("npm")
    if npm is None:
        print("Accessibility skipped: no npm on this computer.")
        return None
    made = subprocess.run(
        [npm, "pack", "--silent", "axe-core@4"], cwd=work, capture_output=True, text=True, check=False
    )
    packed = next(work.glob("axe-core-*.tgz"), None)
    if made.returncode or packed is None:
        print(f"Accessibility skipped: npm did not bring axe-core. {made.stderr.strip()[:200]}")
        return None
    with tarfile.open(packed) as archive:
        member = archive.extractfile("package/axe.min.js")
        assert member is not None
        return member.read().decode("utf-8")


def rules(chromium: str, file: Path, axe: str, work: Path) -> int:
    """axe-core over a copy of the page, at every width and in both schemes; the number of violations."""
    page = re.sub(r'<meta http-equiv="Content-Security-Policy"[^>]*>', "", file.read_text("utf-8"))
    copy = work / "copy.html"
    copy.write_text(page.replace("</body>", f"<script>{axe}</script><script>{RUN}</script></body>"), "utf-8")
    found = 0
    for scheme, number in SCHEMES.items():
        for width in WIDTHS:
            at = seen_at(copy, width, 900, number, work)
            dumped = browse(chromium, *at, "--virtual-time-budget=60000", "--dump-dom")
            told = re.search(r'<script type="application/json" id="found">(.*?)</script>', dumped, re.DOTALL)
            if told is None:
                print(f"{file.name}, {scheme}, {width} px: the rules did not end.")
                found += 1
                continue
            result = json.loads(told[1])
            print(
                f"{file.name}, {scheme}, {width} px: {result['rules']} rules kept, "
                f"{len(result['violations'])} broken, {result['wide']} px too wide, {result['face']} faces, "
                f"{result['slides']} boxes slide out of the reach of keys"
            )
            for violation in result["violations"]:
                print(f"    {violation['id']}: {violation['help']}; {'; '.join(violation['at'][:3])}")
            found += (
                len(result["violations"]) + (result["wide"] > 0) + (not result["face"]) + result["slides"]
            )
    return found


def requests(chromium: str, file: Path, work: Path) -> int:
    """Load the page as it is and count the places it asked for, beyond those the browser asks by itself."""
    blank = work / "blank.html"
    blank.write_text("<!DOCTYPE html><title>blank</title>", "utf-8")
    asked = places(chromium, file, work) - places(chromium, blank, work)
    print(f"{file.name}: asked for {len(asked)} places on a network {sorted(asked)[:3] or ''}")
    return len(asked)


def places(chromium: str, file: Path, work: Path) -> set[str]:
    log = work / "net.json"
    browse(chromium, file, work, f"--log-net-log={log}", "--dump-dom")
    text = log.read_text("utf-8", errors="replace") if log.exists() else ""
    return set(re.findall(r'"url":"(https?://[^/"]+)', text))


def seen_at(file: Path, width: int, height: int, scheme: str, work: Path) -> tuple[Path, Path, str, str]:
    """The page at a width, in a frame where no window is as narrow; with what `browse` wants for it."""
    shown = file
    if width < NARROWEST:
        shown = work / "frame.html"
        shown.write_text(
            f'<!DOCTYPE html><title>frame</title><body><iframe style="border:0;width:{width}px;'
            f'height:{height}px" src="{file.absolute().as_uri()}"></iframe>',
            "utf-8",
        )
    window = f"--window-size={max(width, NARROWEST)},{height}"
    return shown, work, window, f"--blink-settings=preferredColorScheme={scheme}"


def looked_at(chromium: str, file: Path) -> None:
    """Pictures for the eye, beside the page: at every width, dark, printed, and the pages of a PDF."""
    with tempfile.TemporaryDirectory() as folder:
        work = Path(folder)
        for width, scheme in (*((width, "light") for width in WIDTHS), (WIDTHS[0], "dark")):
            picture = file.with_name(f"{file.stem}-{width}{'' if scheme == 'light' else f'-{scheme}'}.png")
            high = 12_000 if width < NARROWEST else 8_000
            browse(chromium, *seen_at(file, width, high, SCHEMES[scheme], work), f"--screenshot={picture}")
        printed = file.with_name(f"{file.stem}-printed.pdf")
        browse(chromium, file, work, "--no-pdf-header-footer", f"--print-to-pdf={printed}")
    pdftoppm = shutil.which("pdftoppm")
    if pdftoppm is None:
        print("Pages as PNG skipped: no pdftoppm on this computer.")
        return
    for pdf in filter(Path.exists, (file.with_suffix(".pdf"), printed)):
        command = [pdftoppm, "-r", "70", "-png", str(pdf), str(pdf.with_suffix(""))]
        subprocess.run(command, check=False, capture_output=True)


def browse(chromium: str, file: Path, work: Path, *more: str) -> str:
    """Chromium once, with a profile of its own; what it printed."""
    with tempfile.TemporaryDirectory(dir=work) as profile:
        command = [chromium, *QUIET, f"--user-data-dir={profile}", *more, file.absolute().as_uri()]
        ran = subprocess.run(command, capture_output=True, text=True, check=False, timeout=240)
    return ran.stdout


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
