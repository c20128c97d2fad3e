"""Makes the README's picture of the screen: `python tests/screen/picture.py`.

Draws the first look on the demo with planted faults, 100 columns by 30 lines, and writes it as
SVG to `tests/screen/pictures/screen.svg`.
"""

import asyncio
import re
from pathlib import Path

from pincheck import api
from pincheck.screen.app import PincheckApp
from pincheck.screen.engine import DiskEngine

FILE = Path(__file__).parent / "pictures" / "screen.svg"
SIZE = (100, 30)


def picture() -> str:
    """Return the SVG; its fonts are the reader's own, nothing is fetched."""
    engine = DiskEngine((api.demo("planted/section"),), api.demo("marsh-230-c.toml"))
    app = PincheckApp(engine, still=True)

    async def draw() -> str:
        async with app.run_test(size=SIZE) as pilot:
            while app.session.doing or not app.session.checked:
                await asyncio.sleep(0.01)
            await pilot.press("down", "down")
            await pilot.pause()
            return app.export_screenshot(title="pincheck screen --demo")

    svg = re.sub(r"@font-face\s*\{[^}]*\}", "", asyncio.run(draw()))
    svg = svg.replace("Fira Code, monospace", "ui-monospace, monospace")
    return re.sub(r"<!--.*?-->", "", svg, flags=re.S)


if __name__ == "__main__":
    FILE.write_text(picture(), encoding="utf-8")
    print(FILE)
