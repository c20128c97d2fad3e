"""A conversation over a line that misbehaves."""

import pytest

from pincheck.console.talk import RestartedError, Talk, TalkError, framed


class Line:
    """Answers each line that comes with the next of the given answers; silent after the last."""

    def __init__(self, *answers):
        self.answers, self.waiting, self.sent, self.time = list(answers), [], [], 0.0

    def write(self, data):
        self.sent.append(data)
        self.waiting = list(self.answers.pop(0)) if self.answers else []

    def read_line(self, within_s):
        if self.waiting:
            return self.waiting.pop(0)
        self.time += within_s
        return None

    def now(self):
        return self.time

    def close(self):
        """Nothing to let go of."""


def asked(command, *answers):
    """Return what one question brings, and the lines that were sent for it."""
    line = Line([b"ok"], *answers)
    return Talk(line, line).ask(command), line.sent[1:]


def test_a_line_carries_its_number_and_the_exclusive_or_of_its_bytes():
    """N1 M105: 4E^31^20^4D^31^30^35 hex = 26 hex = 38."""
    assert framed("M105", 1) == b"N1 M105*38\n"


def test_an_answer_ends_with_ok_and_keeps_what_stands_behind_it():
    assert asked("M105", [b"echo: hello", b"ok T:21.0 /0.0"])[0] == ("echo: hello", "T:21.0 /0.0")


def test_what_was_garbled_is_sent_again():
    garbled = [b"Error:checksum mismatch, Last Line: 0", b"Resend: 1", b"ok"]
    answer, sent = asked("M105", garbled, [b"ok T:21.0"])
    assert (answer, sent) == (("T:21.0",), [framed("M105", 1)] * 2)


def test_what_was_done_already_is_not_done_again():
    """The first answer got lost; the number that is wanted next says that the line was taken."""
    taken = [b"Error:Line Number is not Last Line Number+1, Last Line: 1", b"Resend: 2", b"ok"]
    answer, sent = asked("G1 X5", [], taken)
    assert len(sent) == 2
    assert answer == ("Error:Line Number is not Last Line Number+1, Last Line: 1",)


def test_busy_is_waited_for_and_noise_is_no_answer():
    answers = [b"echo:busy: processing", b"\xff\x00\x1b[2J", b"ok T:21.0"]
    answer, _ = asked("M105", answers)
    assert answer[-1] == "T:21.0"
    assert "\x1b" not in "".join(answer)


@pytest.mark.parametrize("said", [b"start", b"ok T:2start", b"echo: External Reset by watchdog"])
def test_a_controller_that_starts_anew_is_told_apart(said):
    with pytest.raises(RestartedError, match="every heater is off"):
        asked("M105", [said])


@pytest.mark.parametrize("said", [b"!! ADC out of range", b"Error:Printer halted. kill() called!"])
def test_an_error_of_the_machine_is_passed_on(said):
    with pytest.raises(TalkError, match=said.decode()[3:9]):
        asked("M105", [said])


def test_silence_ends_after_some_tries():
    with pytest.raises(TalkError, match="the line is silent"):
        asked("M105")


def test_chatter_without_an_end_is_given_up():
    with pytest.raises(TalkError, match="does not stop talking"):
        asked("M105", [b"hello"] * 1000)


@pytest.mark.parametrize("command", ["M105\nM104 S200", "M105*1", "M105 \N{DEGREE SIGN}"])
def test_what_is_no_plain_line_is_never_sent(command):
    line = Line([b"ok"])
    with pytest.raises(TalkError, match="no plain line"):
        Talk(line, line).ask(command)
    assert line.sent == []
