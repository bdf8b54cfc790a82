"""Ten tablets by simulation, with random loss and order, end with the same set of jobs."""

from __future__ import annotations

import os
import random
import shutil
import tempfile
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.record.jobs import play, review, story
from tests.record.test_exchange import Tablet

LONG = bool(os.environ.get("COACH_LONG"))


@settings(max_examples=60 if LONG else 4, deadline=None, suppress_health_check=list(HealthCheck), derandomize=True)
@given(st.randoms(use_true_random=False))
def test_ten_tablets_end_with_the_same_jobs(chance: random.Random) -> None:
    """Random work, sends, receives, lost, doubled and late files on three sticks; then rounds until all is quiet.

    COACH_LONG=1: sixty yards instead of four.
    """
    folder = Path(tempfile.mkdtemp(dir="/dev/shm" if Path("/dev/shm").is_dir() else None))
    tablets = [Tablet.make(folder, number) for number in range(1, 11)]
    sticks = [folder / f"stick-{number}" for number in range(3)]
    expected: set[str] = set()
    for step in range(60):
        tablet, stick = chance.choice(tablets), chance.choice(sticks)
        act = chance.choice(("work", "send", "send", "receive", "receive", "lose", "double", "review"))
        if act == "work":
            job = f"boat-{step}"
            told = [story(job)[0], story(job)[2], story(job)[-1]]
            play(tablet.store, job, told)
            expected.add(job)
        elif act == "send":
            tablet.send(stick)
        elif act == "receive" and stick.exists():
            got = tablet.receive(stick)
            assert (got.refused, got.findings) == ([], [])
        elif act == "review":  # by the office alone: who may accept is one person's turn
            for row in tablets[9].store.jobs():
                if row.state == "closed" and chance.random() < 0.5:
                    tablets[9].store.append(row.job, review())
                    tablets[9].store.seal(row.job)
        elif (stick / "jobs").is_dir():
            disturb(stick, act, chance)
    for _ in range(2):
        for tablet in chance.sample(tablets, 10):
            tablet.send(sticks[0])
        for tablet in chance.sample(tablets, 10):
            got = tablet.receive(sticks[0])
            assert (got.refused, got.findings) == ([], [])
    assert {head[0] for head in tablets[0].heads()} == expected
    for tablet in tablets:
        assert tablet.heads() == tablets[0].heads()
        assert tablet.store.verify() == []
        tablet.store.close()
    shutil.rmtree(folder)


def disturb(stick: Path, act: str, chance: random.Random) -> None:
    files = sorted((stick / "jobs").iterdir())
    for path in files:
        if act == "lose" and chance.random() < 0.4:
            path.unlink()
        elif act == "double" and chance.random() < 0.4:  # as programs do that keep folders alike
            shutil.copyfile(path, path.with_name(f"{path.stem} (conflict copy {chance.randrange(100)}).coach"))
