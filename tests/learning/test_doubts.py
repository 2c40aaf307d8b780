"""What is nearly certain is asked, and what a person confirms is bound and proved. Answers are invented."""

from __future__ import annotations

from dataclasses import replace

from propsoff.craft.names import facts
from propsoff.dialects.load import parse_dialect
from propsoff.learning.bind import THRESHOLD
from propsoff.learning.doubts import doubts_of, settled
from propsoff.learning.learn import Lesson, learn
from propsoff.learning.model import Bound, Statement, Unbound
from tests_support.answers import heard_from

ABOUT = "firmware name = oak\nfirmware version = 1.2.3"
SETTINGS = "cell voltage pack = 15.8\nreceiver protocol port = uart2\nservo centre = 1500\nmotor poles = 14"


def _lesson(settings: str = SETTINGS) -> Lesson:
    lesson = learn(heard_from({"about": ABOUT, "settings": settings}), id_="oak", title="Oak")
    assert lesson.dialect is not None, lesson.why_not
    return lesson


def _unbound(*guesses: tuple[str, float]) -> Unbound:
    return Unbound(Statement("settings", "thing", ("thing",), "4", 3), guesses)


def test_what_is_nearly_certain_is_asked_with_its_line_and_what_the_fact_is() -> None:
    lesson = _lesson()
    first, second = doubts_of(lesson)
    assert (first.fact, second.fact) == ("battery.volts", "receiver.port")
    assert THRESHOLD > first.confidence > second.confidence
    for doubt in (first, second):
        assert doubt.doc == facts()[doubt.fact].doc
        assert doubt.statement is lesson.meaning.unbound[doubt.number].statement
        line = lesson.heard.answers[1].lines[doubt.statement.line - lesson.heard.answers[1].lines[0].number]
        assert line.text == f"{doubt.statement.word} = {doubt.statement.text}"


def test_what_is_unlikely_and_what_is_known_is_not_asked() -> None:
    lesson = _lesson()
    left = (_unbound(), _unbound(("motors.idle_percent", 0.44)), _unbound(("motors.poles", 0.6)))
    assert doubts_of(replace(lesson, meaning=replace(lesson.meaning, unbound=left))) == ()
    asked = (*left, _unbound(("motors.idle_percent", 0.45), ("battery.cells", 0.45)))
    (doubt,) = doubts_of(replace(lesson, meaning=replace(lesson.meaning, unbound=asked)))
    assert (doubt.number, doubt.fact) == (3, "motors.idle_percent")  # of its guesses the first


def test_at_most_twenty_are_asked_the_likeliest_first() -> None:
    lesson = _lesson()
    left = tuple(_unbound(("battery.cells", 0.45 + at / 200)) for at in range(30))
    doubts = doubts_of(replace(lesson, meaning=replace(lesson.meaning, unbound=left)))
    assert [doubt.number for doubt in doubts] == list(range(29, 9, -1))


def test_what_is_confirmed_is_bound_written_and_read_back() -> None:
    lesson = _lesson()
    first, second = doubts_of(lesson)
    after = settled(lesson, {second.number: second.fact})
    (bound,) = (one for one in after.meaning.bound if one.fact == "receiver.port")
    assert (bound.reading.value, bound.confidence, bound.why) == ("uart2", 1.0, "a person said so")
    assert bound.statement is second.statement
    assert after.craft is not None
    assert after.craft.value("receiver.port") == "uart2"
    assert after.craft.value("battery.volts") is None  # not asked about
    assert after.draft is not None
    assert '"receiver protocol port" = "receiver.port"' in after.draft.text
    assert parse_dialect(after.draft.text, "oak").id == "oak"
    assert [doubt.fact for doubt in doubts_of(after)] == [first.fact]
    assert second.statement not in [one.statement for one in after.meaning.unbound]


def test_another_fact_than_the_guess_may_be_named() -> None:
    lesson = _lesson("frogs = 4\nmotor poles = 14")
    (number,) = (at for at, one in enumerate(lesson.meaning.unbound) if one.statement.word == "frogs")
    after = settled(lesson, {number: "battery.cells"})
    assert after.craft is not None
    assert after.craft.value("battery.cells") == 4
    assert after.craft.value("motors.poles") == 14


def test_without_an_answer_nothing_changes() -> None:
    lesson = _lesson()
    after = settled(lesson, {})
    assert after.meaning == lesson.meaning
    assert after.draft == lesson.draft
    assert after.craft == lesson.craft


def test_a_value_that_cannot_be_that_fact_is_not_bound_whoever_says_so() -> None:
    lesson = _lesson("frogs = plenty\nmotor poles = 14")
    (number,) = (at for at, one in enumerate(lesson.meaning.unbound) if one.statement.word == "frogs")
    after = settled(lesson, {number: "battery.cells"})
    assert after.meaning.bound == lesson.meaning.bound
    assert after.craft is not None
    assert after.craft.value("battery.cells") is None


def test_what_does_not_read_back_is_dropped_though_a_person_said_so() -> None:
    lesson = _lesson("frogs = 4\ntoads = 6\nmotor poles = 14")
    numbers = {one.statement.word: at for at, one in enumerate(lesson.meaning.unbound)}
    after = settled(lesson, {numbers["frogs"]: "battery.cells", numbers["toads"]: "battery.cells"})
    assert "battery.cells" in after.dropped
    assert after.craft is not None
    assert after.craft.value("battery.cells") is None
    assert after.craft.value("motors.poles") == 14
    assert not [one for one in after.meaning.bound if isinstance(one, Bound) and one.fact == "battery.cells"]


TABLE = """\
Item              Value  Unit
----------------  -----  ----
motor poles       14     -
esc pack voltage  15800  mV
weight            300    g"""


def test_a_value_that_has_its_unit_in_a_column_is_read_by_it_when_it_is_confirmed() -> None:
    lesson = learn(heard_from({"about": ABOUT, "table": TABLE}), id_="oak", title="Oak")
    (doubt,) = doubts_of(lesson)
    assert (doubt.fact, doubt.statement.text, doubt.statement.unit) == ("battery.volts", "15800", "mV")
    after = settled(lesson, {doubt.number: doubt.fact})
    assert after.craft is not None
    assert after.craft.value("battery.volts") == 15.8


def test_a_value_in_quotes_is_read_without_them_when_it_is_confirmed() -> None:
    lesson = _lesson('banana board name = "Elm"\nmotor poles = 14')
    (doubt,) = doubts_of(lesson)
    after = settled(lesson, {doubt.number: doubt.fact})
    assert after.craft is not None
    assert after.craft.value("board.name") == "Elm"


def test_a_line_that_cannot_be_what_a_person_says_stays_among_what_is_left() -> None:
    lesson = _lesson("frogs = plenty\nmotor poles = 14")
    (number,) = (at for at, one in enumerate(lesson.meaning.unbound) if one.statement.word == "frogs")
    assert settled(lesson, {number: "battery.cells"}).meaning.unbound == lesson.meaning.unbound
