"""A writer killed at any moment loses nothing that it had reported, and leaves nothing by half."""

import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import IO

import pytest

from refledge.model.logbook import Flight
from refledge.store.logbook import Logbook

MOTHER = """
import os, sys
from refledge.model.logbook import Crash, Damage, Flight
from refledge.store.logbook import Logbook

def say(text):  # in one piece: print may write a line and its end apart, and be killed between
    os.write(1, (text + "\\n").encode())

def write(folder, number):
    with Logbook(folder) as book:
        say(f"writer {os.getpid()}")
        for k in range(1_000_000):
            book.add("2026-05-01", Flight(seconds=60.0, note=f"{number}.{k}"),
                     Crash(case="other"), Damage(part="arm", outcome="worn", crash=-1))
            say(f"{number}.{k}")

for line in sys.stdin:
    child = os.fork()
    if not child:
        write(sys.argv[1], line.strip())
    os.waitpid(child, 0)
    say("dead")
"""
"""Imports once and forks a writer for each line: two hundred processes, one start of Python."""


@pytest.mark.slow
def test_a_kill_at_two_hundred_moments_loses_nothing_that_was_reported(tmp_path: Path) -> None:
    """Each writer is killed at a random moment within its saves; all or none of each stands."""
    kill_at_moments(tmp_path, 200)


def test_a_kill_at_a_few_moments_loses_nothing_that_was_reported(tmp_path: Path) -> None:
    kill_at_moments(tmp_path, 3)


def kill_at_moments(folder: Path, moments: int) -> None:
    Logbook(folder).close()
    told = set[str]()
    with subprocess.Popen(
        [sys.executable, "-c", MOTHER, str(folder)], text=True,
        stdin=subprocess.PIPE, stdout=subprocess.PIPE,
    ) as mother:  # fmt: skip
        assert mother.stdin is not None
        assert mother.stdout is not None
        chance = random.Random(7)
        for number in range(moments):
            told |= killed_after(chance.uniform(0.0, 0.15), number, mother.stdin, mother.stdout)
    with Logbook(folder) as book:
        book.check()
        kept = {e.entry.note for e in book.entries("flight") if isinstance(e.entry, Flight)}
        flights, damage = len(book.entries("flight")), len(book.entries("damage"))
    assert told <= kept
    assert flights == damage  # none by half
    assert told  # some were written at all


def killed_after(seconds: float, number: int, ask: IO[str], answer: IO[str]) -> set[str]:
    """What writer ``number`` reported before it was killed ``seconds`` after it had begun."""
    ask.write(f"{number}\n")
    ask.flush()
    word, writer = answer.readline().split()
    assert word == "writer"
    time.sleep(seconds)
    os.kill(int(writer), signal.SIGKILL)
    told = set[str]()
    while (line := answer.readline()) != "dead\n":
        assert line, "the writers' mother died"
        told.add(line.strip())
    return told
