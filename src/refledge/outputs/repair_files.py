"""repair.json of a build, and reading it back."""

import json
from pathlib import Path

from refledge.errors import BuildError
from refledge.outputs.record import plain
from refledge.printing.calibration import Calibration
from refledge.repair.record import SCHEMA, BuildRecord, build_record, from_plain
from refledge.study import Study

NAME = "repair.json"


def repair_json(study: Study, calibration: Calibration | None = None) -> str:
    """What repair needs of a build, as JSON text with sorted keys, SI."""
    record = plain(build_record(study, calibration))
    document = {"schema": f"refledge repair {SCHEMA}", "record": record}
    return json.dumps(document, indent=1, sort_keys=True, ensure_ascii=False) + "\n"


def read_record(build: Path) -> BuildRecord:
    """The record in a build folder; raises BuildError where there is none."""
    path = build / NAME if build.is_dir() else build
    try:
        document = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError) as error:
        raise BuildError(
            f"{path} cannot be read: name a build folder that refledge design wrote"
        ) from error
    return from_plain(document)
