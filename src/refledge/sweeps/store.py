"""Finished chunks of a sweep as Parquet files in one folder, safe against interruption."""

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pyarrow as pa  # type: ignore[import-untyped]
import pyarrow.parquet as pq  # type: ignore[import-untyped]

from refledge.errors import InputError, Problem
from refledge.whole import write_whole, written_whole

MANIFEST = "sweep.json"


@dataclass(frozen=True)
class ChunkStore:
    """Chunk ``k`` holds candidates ``k * chunk`` up to the next; present means complete."""

    folder: Path
    count: int
    chunk: int

    @property
    def chunks(self) -> int:
        """Chunks in all."""
        return -(-self.count // self.chunk)

    def bounds(self, number: int) -> tuple[int, int]:
        """First candidate of chunk ``number`` and the one after its last."""
        return number * self.chunk, min((number + 1) * self.chunk, self.count)

    def path(self, number: int) -> Path:
        """File of chunk ``number``."""
        return self.folder / f"chunk-{number:06d}.parquet"

    def missing(self) -> list[int]:
        """Chunks not there yet, or not readable or not full, in order."""
        return [number for number in range(self.chunks) if not self._complete(number)]

    def _complete(self, number: int) -> bool:
        path = self.path(number)
        if not path.exists():
            return False
        try:
            rows = pq.read_metadata(path).num_rows
        except (OSError, pa.ArrowInvalid):
            return False  # cut short by a crash of the machine: computed again
        start, stop = self.bounds(number)
        return bool(rows == stop - start)

    def write(self, number: int, columns: Mapping[str, np.ndarray]) -> None:
        """Puts one chunk there all at once: a reader sees it whole or not at all."""
        with written_whole(self.path(number)) as file:
            pq.write_table(pa.table(dict(columns)), file, compression="zstd")

    def read(self, number: int, names: tuple[str, ...] | None = None) -> dict[str, np.ndarray]:
        """Columns of one chunk, all or those named."""
        table = pq.read_table(self.path(number), columns=list(names) if names else None)
        return {name: table.column(name).to_numpy() for name in table.column_names}

    def __iter__(self) -> Iterator[dict[str, np.ndarray]]:
        return (self.read(number) for number in range(self.chunks))


def open_store(folder: Path, count: int, chunk: int, fingerprint: str) -> ChunkStore:
    """The store in ``folder``, new or of the same sweep.

    Raises InputError where another sweep's chunks lie there.
    """
    wanted = {"candidates": count, "chunk": chunk, "fingerprint": fingerprint}
    folder.mkdir(parents=True, exist_ok=True)
    manifest = folder / MANIFEST
    if manifest.exists():
        found = json.loads(manifest.read_text(encoding="utf-8"))
        if found != wanted:
            raise InputError(
                Problem(
                    str(manifest),
                    "sweep",
                    f"the chunks of another sweep ({found})",
                    f"this one ({wanted})",
                    "name an empty folder, or remove the old sweep",
                )
            )
    else:
        write_whole(manifest, json.dumps(wanted, indent=1))
    return ChunkStore(folder, count, chunk)
