"""The optimiser's standing in one file, written whole or not at all."""

import json
from dataclasses import asdict
from pathlib import Path
from typing import Any

import numpy as np

from refledge.errors import InputError, Problem
from refledge.voxels.backend import Array, Backend
from refledge.voxels.history import Best, Standing, Step
from refledge.voxels.mma import MovingAsymptotes
from refledge.whole import written_whole


def write_checkpoint(path: Path, signature: str, standing: Standing, backend: Backend) -> None:
    """Write ``standing`` to ``path`` (npz)."""
    mma, best = standing.mma, standing.best
    assert best is not None
    arrays: dict[str, Array] = {"x": mma.x, "best": best.x}
    arrays |= {f"before{k}": each for k, each in enumerate(mma.before)}
    if mma.low is not None:
        arrays |= {"low": mma.low, "high": mma.high}
    plain = {
        "signature": signature, "iteration": standing.iteration, "stage": standing.stage,
        "in_stage": standing.in_stage, "scale": standing.scale, "best": asdict(best.step),
        "history": [asdict(step) for step in standing.history],
    }  # fmt: skip
    host: dict[str, Any] = {name: backend.get(array) for name, array in arrays.items()}
    with written_whole(path) as file:
        np.savez(file, plain=np.array(json.dumps(plain)), **host)


def read_checkpoint(path: Path, signature: str, backend: Backend) -> Standing:
    """The standing in ``path``; raises InputError for another problem's or a broken file."""
    try:
        with np.load(path, allow_pickle=False) as file:
            plain = json.loads(str(file["plain"]))
            arrays = {name: file[name] for name in file.files if name != "plain"}
    except (OSError, ValueError, KeyError) as error:
        raise _refused(path, f"no checkpoint ({error})") from error
    if plain["signature"] != signature:
        raise _refused(path, "a checkpoint of another problem or recipe")

    def put(name: str) -> Array:
        return backend.put(arrays[name], arrays[name].dtype) if name in arrays else None

    before = tuple(put(f"before{k}") for k in range(2) if f"before{k}" in arrays)
    return Standing(
        mma=MovingAsymptotes(put("x"), before, put("low"), put("high")),
        iteration=plain["iteration"], stage=plain["stage"], in_stage=plain["in_stage"],
        scale=plain["scale"], best=Best(arrays["best"], _step(plain["best"])),
        history=tuple(map(_step, plain["history"])),
    )  # fmt: skip


def _step(plain: dict[str, Any]) -> Step:
    tuples = {name: tuple(plain[name]) for name in ("motions", "frequencies", "solves", "uses")}
    return Step(**(plain | tuples))


def _refused(path: Path, given: str) -> InputError:
    return InputError(
        Problem(
            where=str(path), field="checkpoint", given=given,
            allowed="a checkpoint of this very problem",
            next_step="give another path or delete the file",
        )
    )  # fmt: skip
