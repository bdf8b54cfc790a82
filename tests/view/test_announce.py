"""What is said aloud: a trip until the flame is out, other calls until they are acknowledged; hands before reasons."""

from __future__ import annotations

from pathlib import Path

from coach.core import actions as act
from coach.view.announce import CALL, TRIP, Heard, Notice, acknowledge, due, standing
from coach.view.timers import running
from tests.view.test_timers import At


def notices(at: At) -> tuple[Notice, ...]:
    return standing(at.job.rules, at.job.state, at.clock())


def lit(folder: Path) -> At:
    at = At(folder, "weld-hem")
    at.worker.light(at.job.rules.steps["weld-hem"])
    return at


def test_a_trip_says_what_to_do_with_the_flame_before_why(tmp_path: Path) -> None:
    at = lit(tmp_path)
    assert at.job.act(act.Withdraw("joel", "fire_watch", "The fire watch left"), at.clock()) is None
    (notice,) = notices(at)
    assert notice.level == TRIP
    assert notice.words == (
        "Take the flame off the film and let go of the trigger. Close the tool and the cylinder valve. "
        "Fire watch at post: no longer so (The fire watch left)"
    )


def test_a_trip_is_said_every_fifteen_seconds_and_only_the_flame_out_ends_it(tmp_path: Path) -> None:
    at = lit(tmp_path)
    assert at.job.act(act.Withdraw("joel", "fire_watch", "The fire watch left"), at.clock()) is None
    heard = acknowledge(Heard(), notices(at)[0].key)
    said = []
    for second in range(31):
        heard, say = due(heard, notices(at), at.clock())
        said += [second for _notice in say]
        at.clock.pass_seconds(1)
    assert said == [0, 15, 30]
    at.worker.out()
    assert notices(at) == ()


def test_a_safeguard_near_its_end_is_said_each_minute_until_it_is_acknowledged(tmp_path: Path) -> None:
    at = At(tmp_path, "weld-hem")
    at.worker.prove_all()
    at.clock.pass_minutes(12)
    assert [(n.level, n.words) for n in notices(at)] == [
        (CALL, "Wind under the limit: holds for 3 more minutes. Look again.")
    ]
    heard, say = due(Heard(), notices(at), at.clock())
    assert len(say) == 1
    at.clock.pass_seconds(59)
    assert due(heard, notices(at), at.clock())[1] == ()
    at.clock.pass_seconds(1)
    heard, say = due(heard, notices(at), at.clock())
    assert [notice.words for notice in say] == ["Wind under the limit: holds for 2 more minutes. Look again."]
    heard = acknowledge(heard, say[0].key)
    at.clock.pass_seconds(60)
    assert due(heard, notices(at), at.clock())[1] == ()


def test_too_old_is_another_thing_to_say_than_nearly_so(tmp_path: Path) -> None:
    at = At(tmp_path, "weld-hem")
    at.worker.prove_all()
    at.clock.pass_minutes(13)
    heard = acknowledge(due(Heard(), notices(at), at.clock())[0], notices(at)[0].key)
    at.clock.pass_minutes(3)
    _heard, say = due(heard, notices(at), at.clock())
    assert "Wind under the limit: too old. Look again before the flame." in [notice.words for notice in say]


def test_another_program_says_it_again(tmp_path: Path) -> None:
    """What was said is remembered for one run: a tablet that was killed speaks up anew, from the log alone."""
    at = At(tmp_path, "hold-fire-watch")
    at.clock.pass_minutes(61)
    heard, say = due(Heard(), notices(at), at.clock())
    heard = acknowledge(heard, say[0].key)
    assert due(heard, notices(at), at.clock())[1] == ()
    at.clock.restart("run-2")
    assert [notice.words for notice in due(Heard(), notices(at), at.clock())[1]] == [
        "Fire watch after the flame: the time is over."
    ]


def test_what_no_longer_stands_is_forgotten(tmp_path: Path) -> None:
    at = At(tmp_path, "weld-hem")
    at.worker.prove_all()
    at.clock.pass_minutes(13)
    heard, _say = due(Heard(), notices(at), at.clock())
    at.worker.prove("wind")
    heard, say = due(acknowledge(heard, "anything"), notices(at), at.clock())
    assert say == () and heard == Heard()


def test_a_clock_that_was_turned_says_it_again_at_once(tmp_path: Path) -> None:
    at = At(tmp_path, "hold-fire-watch")
    at.clock.pass_minutes(61)
    heard, _say = due(Heard(), notices(at), at.clock())
    at.clock.turn_wall(-7200)
    assert [each.kind for each in running(at.job.rules, at.job.state, at.clock())] == ["unknown"]
    _heard, say = due(heard, notices(at), at.clock())
    assert [notice.words for notice in say] == ["Fire watch after the flame: the time is not known. Resume the job."]
