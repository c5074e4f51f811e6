"""Named snapshots of brief and results, kept as files in the project folder."""

import json
import re
import shutil
import tempfile
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from refledge.inputs.brief import parse_brief
from refledge.interfaces.web.brief_doc import field_texts
from refledge.interfaces.web.files import HIDDEN, inside, plain_name
from refledge.interfaces.web.history import State
from refledge.interfaces.web.refusals import BusyError, MissingError, RequestError
from refledge.interfaces.web.wording import shown
from refledge.live.compare import changes, differ
from refledge.live.dimensions import RULES

NOW = "now"
MOST = 50
"""Snapshots kept at most; each takes about a megabyte."""


@dataclass(frozen=True)
class Snapshot:
    """What is kept of one variant."""

    name: str
    title: str
    text: str
    by_hand: Mapping[str, float]
    results: dict[str, Any]
    glb: bytes


class Variants:
    """The snapshots of one project folder."""

    def __init__(self, project: Path) -> None:
        self.project = project
        self.folder = project / HIDDEN / "variants"

    def all(self) -> list[dict[str, Any]]:
        """Summaries, oldest first; what is no snapshot of ours is passed over."""
        found = [_summary(path) for path in sorted(self.folder.glob("*/variant.json"))]
        return sorted((each for each in found if each), key=lambda each: str(each["made"]))

    def keep(self, snapshot: Snapshot) -> dict[str, Any]:
        """Write a snapshot; the name must be new."""
        name = plain_name(snapshot.name, "name")
        place = self._place(name)
        if place.exists() or place.name == NOW:
            raise BusyError(f'there is a variant "{name}" already; choose another name')
        if len(self.all()) >= MOST:
            raise BusyError(f"there are {MOST} variants; delete one first")
        self.folder.mkdir(parents=True, exist_ok=True)
        fresh = Path(tempfile.mkdtemp(dir=self.folder, prefix=".new-"))
        try:
            _write(fresh, snapshot, name)
            fresh.chmod(0o755)
            fresh.rename(place)
        finally:
            shutil.rmtree(fresh, ignore_errors=True)
        found = _summary(place / "variant.json")
        assert found is not None  # just written
        return found

    def drop(self, name: str) -> None:
        """Delete a snapshot."""
        shutil.rmtree(self._known(name))

    def state(self, name: str) -> State:
        """Text and dimensions of a snapshot."""
        place = self._known(name)
        by_hand = _json(place / "by_hand.json")
        return State(
            (place / "brief.toml").read_text(encoding="utf-8"),
            {path: float(value) for path, value in by_hand.items() if path in RULES},
        )

    def results(self, name: str) -> dict[str, Any]:
        return _json(self._known(name) / "results.json")

    def glb(self, name: str) -> bytes:
        return (self._known(name) / "assembly.glb").read_bytes()

    def _place(self, name: str) -> Path:
        slug = re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-") or "variant"
        return inside(self.folder, slug)

    def _known(self, name: str) -> Path:
        place = self._place(plain_name(name, "name"))
        if not (place / "variant.json").is_file():
            raise MissingError(f'no variant "{name}"')
        return place


def _write(folder: Path, snapshot: Snapshot, name: str) -> None:
    figures = {each["key"]: each["value"] for each in snapshot.results["figures"]}
    summary = {
        "name": name,
        "title": snapshot.title,
        "made": datetime.now().isoformat(timespec="seconds"),
        "verdict": snapshot.results["verdict"],
        "all_up_kg": figures.get("all_up_mass"),
        "frame_kg": figures.get("frame_mass"),
    }
    (folder / "brief.toml").write_text(snapshot.text, encoding="utf-8")
    (folder / "by_hand.json").write_text(json.dumps(dict(snapshot.by_hand)), encoding="utf-8")
    (folder / "results.json").write_text(json.dumps(snapshot.results), encoding="utf-8")
    (folder / "assembly.glb").write_bytes(snapshot.glb)
    (folder / "variant.json").write_text(json.dumps(summary), encoding="utf-8")


def _json(path: Path) -> dict[str, Any]:
    try:
        found = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError) as error:
        raise MissingError(f"{path.parent.name} is no whole variant: delete it") from error
    if not isinstance(found, dict):
        raise MissingError(f"{path.parent.name} is no whole variant: delete it")
    return found


def _summary(path: Path) -> dict[str, Any] | None:
    try:
        found = _json(path)
    except MissingError:
        return None
    wanted = ("name", "title", "made", "verdict", "all_up_kg", "frame_kg")
    return {key: found[key] for key in wanted} if set(wanted) <= set(found) else None


@dataclass(frozen=True)
class Side:
    """One column of a comparison."""

    name: str
    results: dict[str, Any]
    text: str


def compared(sides: list[Side], folder: Path) -> dict[str, Any]:
    """Two or three variants side by side."""
    if not 2 <= len(sides) <= 3 or len({side.name for side in sides}) < len(sides):
        raise RequestError("name two or three different variants")
    return {
        "names": [side.name for side in sides],
        "verdicts": [side.results["verdict"] for side in sides],
        "rows": _figure_rows(sides),
        "brief": _brief_rows(sides, folder),
        "checks": _check_rows(sides),
    }


def _figure_rows(sides: list[Side]) -> list[dict[str, Any]]:
    columns = [{each["key"]: each for each in side.results["figures"]} for side in sides]
    rows = []
    for key in dict.fromkeys(key for column in columns for key in column):
        found = [column.get(key) for column in columns]
        first = next(each for each in found if each)
        values = [_number(each["value"]) if each else None for each in found]
        moved = changes(values)
        rows.append(
            {name: first[name] for name in ("key", "label", "group", "unit", "shown")}
            | {
                "values": values,
                "texts": [each["text"] if each else "" for each in found],
                "changes": moved,
                "change_texts": ["" if m is None else _signed(m) for m in moved],
                "differs": differ(values),
            }
        )
    return rows


def _signed(change: float) -> str:
    text = shown(change, "1", "%")
    return text if change < 0 else f"+{text}"


def _number(value: Any) -> float | None:
    return float(value) if isinstance(value, (int, float)) else None


def _brief_rows(sides: list[Side], folder: Path) -> list[dict[str, Any]]:
    """Fields that are not the same in all."""
    columns = [field_texts(parse_brief(s.text, s.name, str(folder)), s.text) for s in sides]
    rows = []
    for path in dict.fromkeys(path for column in columns for path in column):
        texts = [column[path][1] if path in column else "" for column in columns]
        if len(set(texts)) > 1:
            label = next(column[path][0] for column in columns if path in column)
            rows.append({"path": path, "label": label, "texts": texts})
    return rows


def _check_rows(sides: list[Side]) -> list[dict[str, Any]]:
    columns = [{each["id"]: each for each in side.results["checks"]} for side in sides]
    rows = []
    for key in dict.fromkeys(key for column in columns for key in column):
        found = [column.get(key) for column in columns]
        first = next(each for each in found if each)
        rows.append(
            {
                "id": key,
                "label": first["title"],
                "part": first["part"],
                "verdicts": [each["verdict"] if each else "" for each in found],
                "uses": [each["use"] if each else None for each in found],
            }
        )
    return rows
