"""Draw the README's pictures anew and keep them beside this file."""

import asyncio

from tui.pictures import FOLDER, drawn

if __name__ == "__main__":
    for name, svg in asyncio.run(drawn()).items():
        path = FOLDER / f"{name}.svg"
        path.write_text(svg, "utf-8")
        print(f"Written: {path}")
