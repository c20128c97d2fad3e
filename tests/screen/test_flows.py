"""What a person does at the screen, from key to effect."""

import base64
import json
import threading
import time
from pathlib import Path

from attrs import evolve
from textual.events import MouseScrollDown
from textual.widgets import Input

from pincheck.model.finding import Severity
from pincheck.model.problem import Problem
from pincheck.screen.finding import FindingScreen

PICTURES = Path(__file__).parent / "pictures"
SMALL = (60, 20)
"""Where there is least room; the pictures show the other sizes."""


def test_a_long_page_can_be_read_to_its_end_and_back(drive):
    async def then(bench):
        for keys in (("end",), ("pagedown",) * 6, ("down",) * 70):
            assert "Rule sensor-table-differs" in await bench.press(*keys)
            assert "!! DANGER" in await bench.press("home")

    drive("enter", size=SMALL, then=then)


def test_the_wheel_scrolls(drive):
    async def then(bench):
        view = bench.app.screen.query_one("#page")
        before = bench.look()
        await bench.pilot._post_mouse_events([MouseScrollDown], view, times=3)
        await bench.settled()
        assert bench.look() != before

    drive("enter", then=then)


def test_a_cell_with_one_finding_opens_it_and_another_one_its_verdicts(drive):
    async def then(bench):
        await bench.press("tab", "right", "enter")
        assert isinstance(bench.app.here, FindingScreen)
        assert bench.app.here.finding.rule == "heater-limit-too-high"
        assert "hotend.heater pin: agrees" in await bench.press("escape", "left", "enter")

    drive(size=SMALL, then=then)


def test_the_way_through_the_edits_and_back(drive, machine):
    file = machine / "printer" / "machine.cfg"
    before = file.read_bytes()

    async def then(bench):
        seen = await bench.press("e", "a")
        assert "3 edits chosen" in seen
        assert "[ ]  ~ hotend.fan      CAREFUL, weakens" in seen
        question = await bench.press("d")
        assert "Write into 1 file?" in question
        assert "machine.cfg" in question
        assert file.read_bytes() == before
        await bench.press("n")
        assert file.read_bytes() == before
        await bench.press("d", "y")
        assert file.read_bytes() != before
        assert bench.app.session.result.count(Severity.DANGER) == 0
        assert "No contradiction found" in bench.look()
        await bench.press("u")
        assert file.read_bytes() == before
        assert "Do not power on" in bench.look()

    drive(size=SMALL, then=then)


def test_to_write_while_the_choice_is_still_tried_asks_when_that_is_done(drive, engine):
    go_on = threading.Event()

    class Waits(type(engine)):
        def attempt(self, checked, proposals):
            go_on.wait()
            return super().attempt(checked, proposals)

    async def then(bench):
        await bench.press("e")
        await bench.pilot.press("a", "d")
        seen = await bench.until("still trying; asks when that is done")
        assert "Write into" not in seen
        go_on.set()
        await bench.until("Write into 1 file?")
        await bench.press("n")
        assert "Write into" not in await bench.press("x", "a")

    drive(over=Waits(engine.configuration, engine.wiring), then=then)


def test_a_danger_that_the_chosen_edits_leave_stays_on_top(drive):
    async def then(bench):
        seen = await bench.press("e", "down", "enter")
        assert "1 edit chosen" in seen
        assert "!! still there: hotend.sensor" in seen
        assert "!! still there" in await bench.press("d")

    drive(size=SMALL, then=then)


def test_files_are_looked_at_by_themselves(drive, machine):
    file = machine / "printer" / "machine.cfg"

    async def then(bench):
        file.write_text(file.read_text().replace("PT1000", "Generic 3950"))
        await bench.until("1 danger, 1 fault")

    drive(then=then)


def test_files_that_vanish_or_break_give_a_message_and_the_last_result(drive, machine):
    wiring, printer = machine / "fen-180.toml", machine / "printer" / "machine.cfg"
    text, keys = wiring.read_text(), printer.read_text()

    async def then(bench):
        for place in ("enter", "e", "b", "w", "g"):
            await bench.press(place)
            wiring.write_text(text.replace("[boards]", "[boards"))
            seen = await bench.press("r")
            assert "fen-180.toml" in seen
            assert "Below is the last check that worked" in seen
            wiring.write_text(text)
            assert "Below is the last" not in await bench.press("r", "escape")
        printer.unlink()
        assert "Below is the last check that worked" in await bench.press("r")
        printer.write_text("[extruder]\nheater_pin: PC8\n")
        assert "Below is the last" not in await bench.press("r")
        printer.write_text(keys)

    drive(then=then)


def test_trouble_reading_a_file_is_told_and_listed_with_its_line(drive, machine):
    file = machine / "printer" / "machine.cfg"
    file.write_text(file.read_text() + "\n[fan broken\nwhat is this\n")

    async def then(bench):
        assert "in reading the files (i lists)" in bench.look()
        seen = await bench.press("i")
        assert "Trouble reading the files" in seen
        assert "[fan broken" in seen

    drive(size=SMALL, then=then)


def test_the_input_tells_style_files_and_cautions(drive):
    seen = ""

    async def then(bench):
        nonlocal seen
        seen = await bench.press("i") + await bench.press("end")

    drive(size=SMALL, then=then)
    for words in (
        "section style",
        "which frequency the fan gets",
        "machine.cfg",
        "boards/smew-a.toml",
        "Power off and unplug",
    ):
        assert words in " ".join(seen.split())


def test_nothing_to_check_at_the_start_gives_a_message(drive, machine):
    (machine / "printer" / "machine.cfg").write_text("hello\n")
    assert "no setting of any style was found" in " ".join(drive().text.split())


def test_a_defect_in_the_engine_is_told_and_the_screen_lives(drive, engine):
    class Broken(type(engine)):
        def checked(self, *_):
            raise ZeroDivisionError("a defect")

    over = Broken(engine.configuration, engine.wiring)
    assert "internal error, nothing was decided" in drive("b", "e", "w", "g", over=over).text


def test_a_result_of_an_older_run_is_dropped(drive):
    async def then(bench):
        app = bench.app
        before = app.session.checked
        for stale in (evolve(before), (Problem("machine.cfg", "stale"),)):
            app.post_message(app.Arrived(app.session.run - 1, stale))
            await bench.settled()
            assert app.session.checked is before
            assert app.session.trouble == ()

    drive(then=then)


def test_a_check_can_be_stopped_and_the_older_result_is_marked_as_such(drive, engine):
    class Slow(type(engine)):
        def check(self, stage):
            while self.checks:
                stage("checking slowly")  # raises as soon as it is stopped
                time.sleep(0.01)
            return super().check(stage)

    async def then(bench):
        bench.app.action_check()
        await bench.until("checking slowly... (z stops it)")
        await bench.pilot.press("z")
        seen = await bench.until("was stopped; r checks again")
        assert "Below is the last check that worked" in seen
        await bench.settled()
        assert "was stopped" in bench.look()
        assert "4 findings" in bench.look()

    drive(over=Slow(engine.configuration, engine.wiring), then=then)


def test_search_narrows_while_typing_and_escape_shows_all(drive):
    async def then(bench):
        seen = await bench.press("slash") and await bench.type("role:part")
        assert "1 of 4 findings for: role:part" in seen
        assert "1 of 4" in await bench.press("enter")
        assert "4 findings" in await bench.press("escape")
        assert "2 of 4 findings for: danger" in await bench.press("1")
        assert "4 findings" in await bench.press("0")

    drive(size=SMALL, then=then)


def test_next_and_previous_stay_within_what_was_searched(drive):
    async def then(bench):
        await bench.press("1", "enter", "n", "n", "n")
        assert bench.app.here.finding.rule == "heater-limit-too-high"
        await bench.press("p")
        assert bench.app.here.finding.rule == "sensor-table-differs"

    drive(then=then)


def test_a_finding_is_copied_as_text_and_no_success_is_claimed(drive):
    async def then(bench):
        sent = []
        bench.app._driver.write = sent.append
        seen = await bench.press("enter", "c")
        coded = sent[-1].removeprefix("\x1b]52;c;").removesuffix("\a")
        text = base64.b64decode(coded).decode()
        assert text.startswith("Fen 180 with Smew A\n1. !! danger  hotend.sensor")
        assert "sensor_type: PT1000" in text
        assert "not every terminal takes it" in seen

    drive(then=then)


def test_a_report_is_saved_and_never_over_a_file(drive, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)

    async def then(bench):
        assert "saved: pincheck-report.txt" in await bench.press("s", "enter")
        report = (tmp_path / "pincheck-report.txt").read_text()
        assert "Do not power on: 2 dangers" in report
        assert "is there already" in await bench.press("s", "enter")
        assert (tmp_path / "pincheck-report.txt").read_text() == report
        bench.app.screen.query_one(Input).value = "r.json"
        await bench.press("enter")
        assert json.loads((tmp_path / "r.json").read_text())["schema_version"] == 1

    drive(size=SMALL, then=then)


def test_question_mark_lists_the_keys_of_where_one_is(drive):
    wanted = {
        "": "find: search",
        "enter": "next finding",
        "e": "write the chosen edits",
        "b": "the other board",
        "w": "note the step",
        "g": "the other curve",
    }

    async def then(bench):
        for place, words in wanted.items():
            seen = await bench.press(*([place] if place else []), "question_mark")
            assert words in seen
            assert "Focus" not in seen
            await bench.press("escape", *(["escape"] if place else []))

    drive(size=SMALL, then=then)


def test_a_command_is_found_by_typing_and_done(drive):
    async def then(bench):
        await bench.press("colon")
        await bench.type("bench")
        seen = await bench.press("enter")
        assert "0 of 18 steps done" in seen
        await bench.press("escape")
        await bench.press("colon")
        await bench.type("light")
        await bench.press("enter")
        assert bench.app.theme == "pincheck-light"

    drive(size=SMALL, then=then)


def test_the_walk_judges_a_reading_at_once_and_is_saved(drive, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)

    async def then(bench):
        await bench.press("w", "enter")
        await bench.type("21")
        seen = await bench.press("enter")
        assert "resistance at 21 C" in seen
        await bench.press("enter")
        await bench.type("4.1")
        seen = " ".join((await bench.press("enter")).split())
        assert "4.1 ohm is below what is expected" in seen
        assert "CONTRADICTS" in seen
        await bench.press("enter")
        await bench.type("warm")
        assert "a reading is wanted in ohm" in await bench.press("enter")
        await bench.press("escape", "down", "t")
        assert "2 of 18 steps done" in bench.look()
        await bench.press("s", "enter")
        saved = (tmp_path / "first-power-on.txt").read_text()
        assert "read: 4.1 ohm is below what is expected" in saved

    drive(size=SMALL, then=then)


def test_power_on_is_held_back_while_dangers_are_left(drive):
    async def then(bench):
        seen = await bench.press("w", "end")
        assert "Power on" not in seen
        assert "Stop here: no power before this is mended" in seen
        await bench.pilot.resize_terminal(*SMALL)
        await bench.settled()
        assert "stops before power on" in bench.look()
        assert "Stop here: no power before this is mended" in await bench.press("end")

    drive(then=then)


def test_the_pins_of_a_finding_are_marked_and_a_pin_leads_back_to_it(drive):
    async def then(bench):
        seen = await bench.press("enter", "b")
        assert "marked: hotend.sensor" in seen
        assert "[ 8 TH" in seen
        assert "chip pin PC5 of Teal 1" in seen
        await bench.press("enter", "enter")
        assert isinstance(bench.app.here, FindingScreen)

    drive(size=SMALL, then=then)


def test_the_other_board_is_one_key_away(drive):
    async def then(bench):
        assert "Teal 1, chip stm32f401rct6" in await bench.press("b", "o")
        assert "Smew A, no chip" in await bench.press("o")

    drive(then=then)


def test_a_role_without_curves_says_so(drive):
    seen = drive("tab", "end", "g")
    assert "no sensor and no heater in its group" in " ".join(seen.text.split())


def test_the_mouse_stands_with_one_click_and_opens_with_the_next(drive):
    async def then(bench):
        rows = bench.look().split("\n")
        y = next(n for n, row in enumerate(rows) if "heater-limit" in row or "lets the hot" in row)
        await bench.pilot.click(offset=(30, y))
        await bench.settled()
        assert bench.look().split("\n")[y].startswith("> 2 !! danger hotend.heater")
        await bench.pilot.click(offset=(30, y))
        await bench.settled()
        assert isinstance(bench.app.here, FindingScreen)
        assert bench.app.here.finding.rule == "heater-limit-too-high"

    drive(then=then)


def test_a_terminal_that_is_too_small_is_told_and_a_larger_one_goes_on(drive):
    async def then(bench):
        for size in ((20, 5), (59, 24), (80, 19)):
            await bench.pilot.resize_terminal(*size)
            await bench.settled()
            assert "This terminal is" in bench.look()
        await bench.pilot.resize_terminal(80, 24)
        await bench.settled()
        assert "Do not power on" in bench.look()
        assert "This terminal is" not in bench.look()

    drive(then=then)


def test_in_ascii_nothing_else_is_drawn(drive):
    async def then(bench):
        assert bench.look().isascii()
        for place in ("enter", "e", "b", "w", "g", "question_mark", "s"):
            assert (await bench.press(place)).isascii()
            await bench.press("escape")

    drive(ascii_only=True, then=then)


def test_without_colours_the_same_is_said_and_no_colour_is_sent(drive):
    async def then(bench):
        assert bench.look() == (PICTURES / "first-look-80x24.txt").read_text()
        for keys in ((), ("slash",), ("escape", "e"), ("colon",)):
            await bench.press(*keys)
            for strip in bench.app.screen._compositor.render_strips():
                for segment in strip:
                    if segment.style:
                        for colour in (segment.style.color, segment.style.bgcolor):
                            assert colour is None or colour.is_default

    drive(colours="none", then=then)


def test_text_from_files_is_never_taken_for_markup_or_control_codes(drive, machine):
    file = machine / "printer" / "machine.cfg"
    nasty = "PT1000  # [red]x[/] [@click=app.quit]y[/] \x1b[31mz\x1b]0;t\x07 \u202eq"
    file.write_text(file.read_text().replace("PT1000  # came with the kit [bold]", nasty))
    wiring = machine / "boards" / "smew-a.toml"
    wiring.write_text(wiring.read_text().replace('"Smew"', '"[b]Smew[/b]"'))

    async def then(bench):
        for keys in ((), ("enter",), ("e", "a"), ("b",), ("w",)):
            seen = await bench.press(*keys)
            assert not any(c in seen for c in "\x1b\x07\u202e")
            if keys == ("enter",):
                assert "[red]x[/] [@click=app.quit]y[/] \\x1b[31mz" in seen
                assert "[b]Smew[/b] A" in seen
            await bench.press("escape")

    drive(then=then)
