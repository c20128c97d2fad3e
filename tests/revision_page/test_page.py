"""A revision's page as a browser shows it."""

import re
import shutil
from functools import partial

import pytest

from pincheck import api
from pincheck.cli.main import main
from pincheck.revision_page import revision_page

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")

PATIENCE_MS = 240_000
"""A busy machine takes a minute for what else takes a second."""


@pytest.fixture(scope="module")
def page_file(tmp_path_factory):
    """Return the demo's page, written by the command."""
    file = tmp_path_factory.mktemp("page") / "lapwing-c.html"
    wiring, before = api.demo("marsh-230-c.toml"), api.demo("marsh-230-b.toml")
    assert main(["page", "-w", str(wiring), "--before", str(before), "--into", str(file)]) == 0
    return file


@pytest.fixture(scope="module")
def browser():
    """Return a headless browser; without one these tests are skipped and say so."""
    playwright = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
    if not CHROMIUM:
        pytest.skip("no chromium is installed: the page was opened by no browser")
    with playwright.sync_playwright() as driver:
        arguments = ["--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage"]
        opened = driver.chromium.launch(
            executable_path=CHROMIUM, args=arguments, timeout=PATIENCE_MS
        )
        yield opened
        opened.close()


def opened_page(where):
    """Return a new page of a browser or context."""
    page = where.new_page()
    page.set_default_timeout(PATIENCE_MS)
    return page


def test_a_browser_shows_it_whole_without_a_request_or_an_error(page_file, browser):
    """At the width of a phone and of a desk, light and dark: nothing to scroll sideways."""
    said, asked = [], []
    page = opened_page(browser)
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    page.on("request", lambda request: asked.append(request.url))
    page.goto(page_file.as_uri())
    papers = set()
    for width, scheme in ((360, "dark"), (1280, "light")):
        page.emulate_media(color_scheme=scheme)
        page.set_viewport_size({"width": width, "height": 800})
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        papers.add(page.evaluate("getComputedStyle(document.body).backgroundColor"))
    assert len(papers) == 2
    assert said == []
    assert asked == [page_file.as_uri()]
    assert page.inner_text("h1") == "Marsh 230 with Lapwing C"
    moved = page.inner_text("#changed + .wide tr:has-text('part fan')")
    assert "PB7\tPB8" in moved
    assert page.locator("figure.connector svg").count() == len(
        [c for b in ("lapwing-c", "heron-2") for c in _connectors(b)]
    )


def _connectors(name):
    text = api.demo(f"boards/{name}.toml").read_text()
    return re.findall(r"(?m)^\[connectors\.", text)


def test_what_is_copied_is_the_reference_to_the_letter(page_file, browser):
    """With the clipboard, and selected where a browser gives none."""
    context = browser.new_context()
    context.grant_permissions(["clipboard-read", "clipboard-write"])
    page = opened_page(context)
    page.goto(page_file.as_uri())
    page.evaluate("document.querySelectorAll('details').forEach((it) => { it.open = true; })")
    button = page.locator("button[data-copy=reference-section-1]")
    button.click()
    page.wait_for_function("document.body.innerText.includes('Copied')")
    copied = page.evaluate("navigator.clipboard.readText()")
    assert copied == page.evaluate("document.getElementById('reference-section-1').textContent")
    assert "[extruder]" in copied
    page.evaluate("Object.defineProperty(navigator, 'clipboard', { value: undefined })")
    page.locator("button[data-copy=reference-gcode-1]").click()
    assert "M" in page.evaluate("getSelection().toString()")
    context.close()


def test_on_paper_tables_are_open_and_long_files_left_out(page_file, browser):
    """What is folded on a screen cannot be unfolded on paper."""
    page = opened_page(browser)
    page.goto(page_file.as_uri())
    page.emulate_media(media="print")
    assert not page.locator("nav").is_visible()
    assert not page.locator("details.long").first.is_visible()
    assert page.pdf(prefer_css_page_size=True).startswith(b"%PDF")


def test_names_from_wiring_are_text_and_nothing_else(rewired):
    """A machine's, net's and connector's name in a page."""
    evil = "<img src=x onerror=alert(1)>"
    assembly = rewired(
        ("marsh-230-c.toml", 'name = "Marsh 230 with Lapwing C"', f'name = "{evil}"'),
        ("boards/lapwing-c.toml", '"SERVO"', f'"{evil}"'),
    )
    page = revision_page(assembly)
    assert "<img" not in page
    assert "&lt;img src=x" in page


def test_wiring_that_no_style_can_say_is_told_and_not_hidden(wiring, capsys):
    """A reversed supply: no reference, no steps, the fault at the head, and exit code 1."""
    wrong = (
        "boards/lapwing-c.toml",
        '["GND", "5V", "SERVO", "GND", "PROBE"]',
        '["5V", "GND", "SERVO", "GND", "PROBE"]',
    )
    file = wiring(wrong) / "marsh-230-c.toml"
    page = revision_page(api.load_wiring(file))
    words = partial(re.search, string=page)
    assert words("The wiring itself is wrong")
    assert words("there is no order of first steps")
    assert page.count("Not possible:") == 3
    assert main(["page", "-w", str(file)]) == 1
    assert "the wiring itself is wrong" in capsys.readouterr().err
