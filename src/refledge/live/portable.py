"""A study as bytes between our own processes: without its solids, which belong to one process."""

import copyreg
import pickle
from dataclasses import replace
from types import MappingProxyType
from typing import Any

from refledge.study import Study


def study_bytes(study: Study) -> bytes:
    """For ``study_from`` in another process of the same program; never for a file or a network."""
    return packed(replace(study, solids={}))


def packed(value: Any) -> bytes:
    """Any of our values that holds no solid."""
    return pickle.dumps(value, protocol=pickle.HIGHEST_PROTOCOL)


def unpacked(data: bytes) -> Any:
    """What ``packed`` packed, from a process that we started ourselves."""
    return pickle.loads(data)


def _proxy(values: dict[Any, Any]) -> MappingProxyType[Any, Any]:
    return MappingProxyType(values)


def _reduced(proxy: MappingProxyType[Any, Any]) -> tuple[Any, ...]:
    return _proxy, (dict(proxy),)


copyreg.pickle(MappingProxyType, _reduced)
