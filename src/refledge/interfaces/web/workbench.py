"""The workbench behind the page: one brief, its results, its jobs. Every method is thread-safe."""

import contextlib
from collections.abc import Callable, Mapping
from pathlib import Path
from threading import RLock, Timer
from types import MappingProxyType
from typing import Any

from refledge.errors import InputError
from refledge.inputs.field_edits import Edit, edited
from refledge.interfaces.web.edit_words import edit_words, length
from refledge.interfaces.web.events import Events
from refledge.interfaces.web.follower import Follower
from refledge.interfaces.web.history import State, Step
from refledge.interfaces.web.job_kinds import kind_of
from refledge.interfaces.web.jobs import Job, Jobs, Order
from refledge.interfaces.web.log import Log
from refledge.interfaces.web.payloads import payload_of
from refledge.interfaces.web.refusals import BusyError, MissingError
from refledge.interfaces.web.screen import Screen, key_of
from refledge.interfaces.web.session import ConflictError, Session, digest
from refledge.interfaces.web.workers import Failed, Workers

PAUSE = 0.8
"""s after the last edit before sizing begins."""
NO_OPTIONS: Mapping[str, Any] = MappingProxyType({})


class Workbench:
    """All that the routes ask."""

    def __init__(
        self, folder: Path, *, pause: float = PAUSE, workers: Workers | None = None
    ) -> None:
        self.folder = folder.resolve()
        self.lock = RLock()
        self.events = Events()
        self.log = Log()
        self.session: Session | None = None
        self.screen = Screen()
        self.revision = 0
        self.workers = workers or Workers()
        self.jobs = Jobs(self.workers, self._job_changed)
        self._follower = Follower(self.workers, self._followed)
        self._pause = pause
        self._timer: Timer | None = None
        self._external = ""

    def close(self) -> None:
        """Stop timers, jobs and streams."""
        self._stop_timer()
        self._follower.close()
        self.jobs.close()
        self.workers.close()
        self.events.close()

    # ---- opening ----

    def open(self, path: Path) -> None:
        """Work on the brief at ``path`` from now on; raises InputError where it cannot be read."""
        session = Session(path)
        with self.lock:
            self.session, self.screen = session, Screen()
            self.log.note("file", f"opened {path.name}")
            self._moved_on("opened")

    def opened(self) -> Session:
        """The open brief; raises MissingError where there is none."""
        if self.session is None:
            raise MissingError("no brief is open; open one, or take the example")
        return self.session

    # ---- edits ----

    def edit(self, edits: list[Edit], seen: str | None = None) -> None:
        """Change fields of the brief."""
        with self.lock:
            session = self.opened()
            self._same(session, seen)
            theirs = session.theirs()
            if theirs is not None:
                raise ConflictError(edited(session.text, edits, session.path.name), theirs)
            text = edited(session.text, edits, session.path.name)
            self._change(State(text, session.by_hand), edit_words(edits))

    def set_text(self, text: str, seen: str | None) -> None:
        """Change the whole text."""
        with self.lock:
            session = self.opened()
            self._same(session, seen)
            self._change(State(text, session.by_hand), "the whole text")

    def set_dimensions(self, values: Mapping[str, Any], *, clear: bool = False) -> None:
        """Set dimensions of the frame by hand; None goes back to the sized one."""
        with self.lock:
            session = self.opened()
            kept = {} if clear else dict(session.by_hand)
            for path, value in values.items():
                kept.pop(path, None)
                if value is not None:
                    kept[path] = length(path, value)
            words = ", ".join(f"{path}: {value}" for path, value in values.items())
            self.screen.found(session.brief, kept)  # refused before anything is kept
            self._change(State(session.text, kept), words or "dimensions as sized")

    def use(self, state: State, name: str) -> None:
        """Go on with the text and dimensions of a variant."""
        with self.lock:
            self._change(state, f"variant {name}")

    def undo(self) -> None:
        with self.lock:
            self._has_frame(self.opened().history.undo)
            self._step("undone", self.opened().undo, self.opened().undoes)

    def redo(self) -> None:
        with self.lock:
            self._has_frame(self.opened().history.redo)
            self._step("done again", self.opened().redo, self.opened().redoes)

    def _has_frame(self, step: Step | None) -> None:
        """Dimensions by hand want a frame that they are of; raises BusyError."""
        if step is not None and step.state.by_hand and self.screen.last is None:
            raise BusyError("the frame has not been sized yet; undo again when it has")

    def keep_theirs(self) -> None:
        """Go on with the file as another program left it."""
        with self.lock:
            self._step("taken from the file", self.opened().take_theirs, self.opened().path.name)

    def keep_mine(self, theirs: str) -> None:
        """Write ours over the file whose text has the digest ``theirs``."""
        with self.lock:
            self.opened().keep_mine(theirs)
            self._moved_on("kept over another program's text")

    def _same(self, session: Session, seen: str | None) -> None:
        """Raise ConflictError where the page has not seen the text that it wants changed."""
        if seen is not None and seen != session.hash:
            raise ConflictError(session.text, session.theirs() or session.text)

    def _change(self, state: State, words: str) -> None:
        session = self.opened()
        if state != session.state:
            session.change(state, words)
            self.log.note("edit", words)
            self._moved_on("edit")

    def _step(self, how: str, step: Callable[[], None], words: str | None) -> None:
        if words is None:
            return
        step()
        self.log.note("edit", f"{how}: {words}")
        self._moved_on("edit")

    # ---- computing ----

    def _moved_on(self, why: str) -> None:
        """Results for the numbers of the moment; sizing and solids follow. The lock is held."""
        session = self.opened()
        self._external = ""
        self.screen.look(session)
        self._schedule(session)
        self._follow(session)
        self._tell(why)

    def _tell(self, why: str) -> None:
        self.revision += 1
        self.events.publish("results", {"revision": self.revision, "why": why})

    def _schedule(self, session: Session) -> None:
        """Begin sizing a moment after the last edit; stop one that has been overtaken."""
        self._stop_timer()
        running = self.jobs.latest("design")
        if running and not running.over and running.key != key_of(session):
            self.jobs.cancel(running.id)
        if not self.screen.wants_sizing(session):
            self.screen.sizing = "off" if session.by_hand else "current"
            return
        self.screen.sizing = "wanted"
        pause = self._pause if self.screen.last else 0.0
        self._timer = Timer(pause, self._size, (key_of(session),))
        self._timer.daemon = True
        self._timer.start()

    def _size(self, key: str) -> None:
        with self.lock:
            if self.session is not None and key == key_of(self.session):
                self.start("design")

    def _stop_timer(self) -> None:
        if self._timer is not None:
            self._timer.cancel()
            self._timer = None

    def _follow(self, session: Session) -> None:
        """Have the solids made where they are not those of the frame shown."""
        study = self.screen.study
        if study is not None and self.screen.solids == "following":
            self._follower.ask(key_of(session), (study.task, study.frame, study.layout))

    def _followed(self, key: str, found: Any, took: float) -> None:
        with self.lock:
            if self.session is None or key != key_of(self.session):
                return
            if isinstance(found, Failed):
                self.screen.solids = "failed"
                told = {"state": "failed", "message": found.message, "changed": []}
            else:
                before = self.screen.meshes
                self.screen.draw(found)
                self.screen.look(self.session)
                told = {"state": "current", "changed": self.screen.redrawn(before)}
            self.revision += 1
            self.events.publish(
                "solids", {"revision": self.revision, "took_s": round(took, 3)} | told
            )

    # ---- jobs ----

    def start(self, kind: str, options: Mapping[str, Any] = NO_OPTIONS) -> Job:
        """Begin a job; raises BusyError where what it needs is not there yet."""
        with self.lock:
            session, known = self.opened(), kind_of(kind)
            payload = payload_of(kind, session, self.screen, self.build_folder, options)
            if kind == "design":
                self._stop_timer()
                self.screen.sizing = "running"
            order = Order(kind, known.title, payload, key_of(session), self.revision)
            return self.jobs.start(order)

    @property
    def build_folder(self) -> Path:
        """Where builds of the open brief go."""
        return self.folder / "build" / self.opened().path.stem

    def cancel(self, number: str) -> Job:
        """End a job; raises MissingError where there is none of that number."""
        job = self.jobs.cancel(number)
        if job is None:
            raise MissingError(f"no job {number}")
        return job

    def is_current(self, job: Job) -> bool:
        """Whether a job works on what is on the screen."""
        return self.session is not None and job.key == key_of(self.session)

    def _job_changed(self, job: Job) -> None:
        from refledge.interfaces.web.job_doc import job_doc  # noqa: PLC0415 - it asks us in turn

        if job.over:
            with self.lock:
                self._ended(job)
        self.events.publish("job", job_doc(self, job))

    def _ended(self, job: Job) -> None:
        if job.state != "cancelled":
            self.log.note("job", f"{job.title}: {job.state}")
        if not self.is_current(job):
            return
        if job.kind == "design":
            self._sized(job)
        elif job.kind == "verify" and job.state == "done":
            self.screen.verified, self.screen.verified_key = job.result, job.key
            self._tell("verified")

    def _sized(self, job: Job) -> None:
        """A full design of the brief on the screen has ended."""
        if job.state == "done":
            self.screen.sized_as(job.result)
            self.jobs.forget_result(job.id)
            self.screen.look(self.opened())
            self._tell("sized")
        elif job.state == "failed":
            self.screen.sizing = "failed"
            if job.error and self.screen.held is None:
                self.screen.why_not = job.error.message
            self._tell("sized")
        else:
            self.screen.sizing = "wanted"

    # ---- the file ----

    def conflicting(self) -> bool:
        """Whether another program has changed the file; a file that is gone counts."""
        try:
            return self.session is not None and self.session.theirs() is not None
        except InputError:
            return True

    def watch(self) -> None:
        """Notice a change of the file by another program; called once a second."""
        with self.lock, contextlib.suppress(InputError):
            theirs = self.session.theirs() if self.session else None
            found = digest(theirs) if theirs is not None else ""
            if found and found != self._external:
                self.events.publish("external", {"hash": found})
            self._external = found
