"""The first-power-on sheet in each form."""

import re
from html.parser import HTMLParser

import pytest

from pincheck.cli.main import main


def printed(capsys, form):
    code = main(["walk", "-w", "configs/marsh-230-c.toml", "--style", "section", "--sheet", form])
    return code, capsys.readouterr().out


@pytest.fixture(autouse=True)
def checkout(request, monkeypatch):
    monkeypatch.chdir(request.config.rootpath)


@pytest.mark.parametrize("form", ["text", "markdown", "html"])
def test_every_form_has_every_step_with_room_for_what_is_read(capsys, form):
    code, page = printed(capsys, form)
    assert code == 0
    for words in (
        "hot-end heater, resistance",
        "13.8 to ",
        "M106 S255",
        "Power off and un",
    ):
        assert words in " ".join(page.split())
    blank = {"text": "read: ____", "markdown": r"read: \_", "html": 'read: <span class="line">'}
    assert page.count(blank[form]) > 20


def test_text_fits_a_page_and_steps_are_numbered_through(capsys):
    _, page = printed(capsys, "text")
    assert max(map(len, page.splitlines())) <= 80
    numbers = [int(n) for n in re.findall(r"^(\d+)\. \[ \]", page, re.MULTILINE)]
    assert numbers == list(range(1, len(numbers) + 1))


def test_the_page_stands_alone_and_shows_each_connector_with_its_pins_ringed(capsys):
    _, page = printed(capsys, "html")

    class Links(HTMLParser):
        found: list[str] = []

        def handle_starttag(self, _, attrs):
            self.found += [v for k, v in attrs if k in ("src", "href") and v and v != "data:,"]

    Links().feed(page)
    assert Links.found == []
    assert page.count("<figure") >= 8
    assert 'class="marked"' in page


def test_a_sheet_of_a_machine_with_dangers_ends_before_power(capsys):
    assert main(["walk", "--demo", "--sheet", "text"]) == 1
    page = capsys.readouterr().out
    assert "POWER ON" not in page
    assert "Stop here: no power before this is mended" in page
