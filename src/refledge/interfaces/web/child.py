"""A process of its own for long work: jobs come in on stdin, progress and results go out.

Run as ``python -m refledge.interfaces.web.child`` by ``workers.py``, never by hand. Messages are
pickles between two processes of the same program, each after its length in eight bytes.
"""

import os
import signal
import struct
import sys
import time
import traceback
from typing import Any, BinaryIO

from refledge.errors import InputError, RefledgeError
from refledge.live.portable import packed, unpacked

LENGTH = struct.Struct("<Q")
LEAST_PAUSE = 0.1
"""s between two words of progress."""
STANDS_BACK = 5
"""How much nicer long work is than the server and the browser (by eye: a third of their share on a
full machine, all of an idle core): a number changed meanwhile has its verdict first."""


def send(stream: BinaryIO, message: tuple[str, Any]) -> None:
    """One message out."""
    data = packed(message)
    stream.write(LENGTH.pack(len(data)) + data)
    stream.flush()


def receive(stream: BinaryIO) -> Any:
    """One message in; None at the end of the stream."""
    head = stream.read(LENGTH.size)
    if len(head) < LENGTH.size:
        return None
    (size,) = LENGTH.unpack(head)
    data = stream.read(size)
    return unpacked(data) if len(data) == size else None


def main() -> None:
    """Work until the other end closes."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the server ends us
    if hasattr(os, "nice"):
        os.nice(STANDS_BACK)
    out = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)  # libraries may print; stdout proper is for messages
    from refledge.interfaces.web.tasks import TASKS, warm_up  # noqa: PLC0415 - after the streams

    warm_up()
    send(out, ("ready", None))
    while (message := receive(sys.stdin.buffer)) is not None:
        name, payload = message
        send(out, _outcome(out, TASKS[name], payload))


def _outcome(out: BinaryIO, task: Any, payload: Any) -> tuple[str, Any]:
    try:
        return "done", task(payload, _Teller(out))
    except InputError as error:
        return "failed", ("input", str(error), error.problems)
    except RefledgeError as error:
        return "failed", ("cannot", str(error), ())
    except Exception as error:
        traceback.print_exc()
        words = f"a fault of the program ({type(error).__name__}); the terminal shows where"
        return "failed", ("fault", words, ())


class _Teller:
    """Progress that is sent on, but not more often than a page can show."""

    def __init__(self, out: BinaryIO) -> None:
        self.out = out
        self.last = ("", 0.0)

    def __call__(self, what: str, share: float) -> None:
        now = time.monotonic()
        if what != self.last[0] or now - self.last[1] >= LEAST_PAUSE:
            self.last = (what, now)
            send(self.out, ("progress", (what, float(share))))


if __name__ == "__main__":
    main()
