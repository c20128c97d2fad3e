"""The state of a sitting, without any screen."""

import pytest

from pincheck.model.finding import Severity
from pincheck.model.problem import Problem
from pincheck.screen.session import Session
from pincheck.writing.change import WriteRefusedError


def quiet(_: str) -> None:
    """No progress."""


@pytest.fixture
def session(engine):
    made = Session(engine)
    made.publish(made.begin(), engine.check(quiet))
    return made


def test_an_outcome_of_an_older_run_is_dropped(session, engine):
    old, new = session.begin(), session.begin()
    assert not session.publish(old, (Problem("x", "stale"),))
    assert session.trouble == ()
    assert session.publish(new, engine.check(quiet))


def test_trouble_keeps_the_last_result_that_there_was(session):
    before = session.result
    session.publish(session.begin(), (Problem("machine.cfg", "is gone"),))
    assert session.result is before
    assert session.trouble[0].message == "is gone"


def test_safe_edits_leave_out_what_weakens(session):
    session.choose_safe()
    assert [p.safe for p in session.selection()] == [True, True, True]
    unsafe = next(p for p in session.checked.proposals if not p.safe)
    session.choose(unsafe)
    assert len(session.selection()) == 4
    session.choose(unsafe)
    session.choose_none()
    assert session.selection() == ()


def test_applied_edits_reach_the_file_and_undo_gives_every_byte_back(session, engine, machine):
    file = machine / "printer" / "machine.cfg"
    before = file.read_bytes()
    session.choose_safe()
    session.apply(engine.attempt(session.checked, session.selection()))
    assert b"Generic 3950  # came with the kit [bold]" in file.read_bytes()
    session.publish(session.begin(), engine.check(quiet))
    assert session.result.count(Severity.DANGER) == 0
    session.undo()
    assert file.read_bytes() == before
    assert session.undo() == ()


def test_undo_goes_back_step_by_step(session, engine, machine):
    file = machine / "printer" / "machine.cfg"
    states = [file.read_bytes()]
    for _ in range(2):
        session.choose(session.checked.proposals[0])
        session.apply(engine.attempt(session.checked, session.selection()))
        session.publish(session.begin(), engine.check(quiet))
        states.append(file.read_bytes())
    for state in reversed(states[:-1]):
        session.undo()
        assert file.read_bytes() == state


def test_undo_refuses_a_file_that_someone_changed_since(session, engine, machine):
    file = machine / "printer" / "machine.cfg"
    session.choose_safe()
    session.apply(engine.attempt(session.checked, session.selection()))
    file.write_bytes(file.read_bytes() + b"\n# mine\n")
    with pytest.raises(WriteRefusedError, match="changed since"):
        session.undo()
    assert file.read_bytes().endswith(b"# mine\n")
    assert session.written


def test_readings_of_the_walk_outlive_a_new_check(session, engine):
    walk = session.walk()
    walk.read(walk.steps[1], "14.5")
    session.publish(session.begin(), engine.check(quiet))
    assert session.walk() is walk
    assert session.walk().answers == {"hotend.heater resistance": "14.5"}
