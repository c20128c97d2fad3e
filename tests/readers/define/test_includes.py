"""Several headers of one machine, in order and inside each other."""

from collections.abc import Callable

from pincheck.model.reading import Reading
from pincheck.model.setting import Activity
from pincheck.model.source import Source
from pincheck.readers.define import read

Read = Callable[..., Reading]


def test_headers_are_evaluated_one_after_another(reading: Read) -> None:
    found = reading(main__h="#define A 1\n#define B C\n", adv__h="#if A\n#define C 7\n#endif\n")
    assert [(s.source.name, s.key, s.resolved) for s in found.settings] == [
        ("main.h", "A", "1"),
        ("main.h", "B", "7"),
        ("adv.h", "C", "7"),
    ]


def test_main_comes_first_wherever_it_stands() -> None:
    advanced = Source.of_text("adv.h", "#if A\n#define B 1\n#endif")
    main = Source.of_text("main.h", "#define A 1")
    found = read([advanced, main], [main, advanced])
    assert [(s.key, s.activity) for s in found.settings] == [
        ("A", Activity.ACTIVE),
        ("B", Activity.ACTIVE),
    ]


def test_include_is_evaluated_in_place_and_once(reading: Read) -> None:
    found = reading(
        main__h='#define A 1\n#include "pins.h"\n#define A 3\n#include "pins.h"\n',
        pins__h="#if A == 1\n#define A 2\n#endif\n",
    )
    assert [s.value for s in found.settings] == ["1", "2", "3"]
    assert [s.activity.name for s in found.settings] == ["DISABLED", "DISABLED", "ACTIVE"]
    assert found.not_sent == ()


def test_header_given_before_the_one_that_includes_it_counts_there(reading: Read) -> None:
    found = reading(pins__h="#define A 1", main__h='#define A 2\n#include "pins.h"')
    assert [(s.value, s.activity.name) for s in found.settings] == [
        ("1", "DISABLED"),
        ("2", "ACTIVE"),
    ]


def test_include_under_a_condition_follows_it(reading: Read) -> None:
    found = reading(
        main__h='#if UNHEARD\n#include "maybe.h"\n#endif\n#if 0\n#include "later.h"\n#endif',
        maybe__h="#define A 1",
        later__h="#define B 1",
    )
    assert [(s.key, s.activity.name, s.condition) for s in found.settings] == [
        ("A", "POSSIBLE", "UNHEARD"),
        ("B", "ACTIVE", ""),
    ]


def test_missing_header_is_named_once_with_the_line_that_asks(reading: Read) -> None:
    found = reading(
        '#define A\n#include "../x/pins.h" // z\n#include "../x/pins.h"\n#include <math.h>'
    )
    (missing,) = found.not_sent
    assert missing.name == "../x/pins.h"
    assert missing.asked_by is not None
    assert str(missing.asked_by.span) == "machine.h:2:1"
    assert missing.asked_by.value == '"../x/pins.h"'
    assert found.problems == ()


def test_include_in_an_untaken_branch_asks_for_nothing(reading: Read) -> None:
    assert reading('#if 0\n#include "pins.h"\n#endif').not_sent == ()


def test_include_is_found_beside_the_file_and_by_its_name_alone() -> None:
    main = Source.of_text("src/main.h", '#include "../inc/a.h"\n#include "deep/down/b.h"')
    beside = Source.of_text("inc/a.h", "#define A")
    alone = Source.of_text("b.h", "#define B")
    found = read([main, beside, alone])
    assert [s.key for s in found.settings] == ["A", "B"]
    assert found.not_sent == ()


def test_include_by_a_macro(reading: Read) -> None:
    found = reading(main__h='#define PINS "pins.h"\n#include PINS', pins__h="#define A 1")
    assert [s.key for s in found.settings] == ["PINS", "A"]


def test_headers_that_include_each_other_are_told(reading: Read) -> None:
    found = reading(a__h='#include "b.h"\n#define A', b__h='#include "a.h"\n#define B')
    assert [s.key for s in found.settings] == ["B", "A"]
    assert [str(p) for p in found.problems] == [
        "b.h:1:1: headers include each other without end: a.h includes b.h includes a.h"
    ]


def test_guarded_headers_may_include_each_other(reading: Read) -> None:
    guarded = '#ifndef X_H\n#define X_H\n#include "b.h"\n#endif'
    found = reading(a__h=guarded, b__h='#pragma once\n#include "a.h"\n#include "b.h"')
    assert found.problems == ()


def test_conditional_may_not_reach_over_the_end_of_a_header(reading: Read) -> None:
    found = reading(a__h="#if 1\n#define A 1\n", b__h="#define B 1\n#endif\n")
    assert [s.activity for s in found.settings] == [Activity.ACTIVE] * 2
    assert [str(p) for p in found.problems] == [
        "a.h:1:1: this #if is never closed; expected #endif",
        "b.h:2:1: #endif closes no #if; expected an #if further up",
    ]


def test_a_header_that_only_refuses_wrong_builds_is_not_missed(reading: Read) -> None:
    found = reading(pins__h='#include "../env_validate.h"\n#include "pins_HERON_common.h"\n')
    assert [missing.name for missing in found.not_sent] == ["pins_HERON_common.h"]


def test_what_stands_behind_a_conditional_that_nobody_closes_may_count(reading: Read) -> None:
    found = reading(a__h="#define A 1\n#if ENABLED(A_OFF)\n#define B 1\n//#define A_OFF\n")
    told = {s.name: s.activity for s in found.settings}
    assert (told["A"], told["B"]) == (Activity.ACTIVE, Activity.POSSIBLE)
    assert "line 2" in next(s.condition for s in found.settings if s.name == "B")


_ASKS = "#ifndef X_STOP_PIN\n#define X_MIN_PIN 3\n#endif\n"
_STEPS = "#define X_STEP_PIN 54\n#define Y_STEP_PIN 60\n"


def _x_min(found: Reading) -> Activity:
    return next(s.activity for s in found.settings if s.name == "X_MIN_PIN")


def test_a_pin_that_a_whole_pins_header_asks_for_is_set_by_nobody_else(reading: Read) -> None:
    assert _x_min(reading(pins__h=_STEPS + _ASKS)) is Activity.ACTIVE
    refusing = reading(pins__h='#include "env_validate.h"\n' + _STEPS + _ASKS)
    assert _x_min(refusing) is Activity.ACTIVE


def test_a_pin_may_be_set_where_the_pins_header_was_not_sent(reading: Read) -> None:
    assert _x_min(reading(pins__h=_ASKS)) is Activity.POSSIBLE
    assert _x_min(reading(pins__h='#include "more.h"\n' + _STEPS + _ASKS)) is Activity.POSSIBLE
