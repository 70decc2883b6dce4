"""Readings as JSON and back, exactly.

Only the shared nouns of ``model``, numpy arrays, shapely geometry and plain values can be written, and nothing
else can be made from a file: a file that somebody else left in the folder can be wrong, but it can run nothing.

Terms: *node*, an object that other objects hold: a noun, an array, a geometry.  Nodes are listed once, each after
those that it holds, and named by their place in the list, so that what was shared is shared again.
"""

from __future__ import annotations

import base64
import dataclasses
import gzip
import hashlib
import io
import json
import math
from collections.abc import Mapping
from enum import Enum
from typing import Any

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from cordpath import model

FORMAT = 1
LARGEST = 1 << 30  # bytes of an archive when unpacked; a large sheet has 20 MB (measured)
PLAIN_KINDS = "biufU"  # numpy kinds that are bytes and nothing else

NOUNS = {
    name: noun
    for name, noun in vars(model).items()
    if isinstance(noun, type) and noun.__module__.startswith(model.__name__) and dataclasses.is_dataclass(noun)
}
CHOICES = {
    name: choice
    for name, choice in vars(model).items()
    if isinstance(choice, type) and choice.__module__.startswith(model.__name__) and issubclass(choice, Enum)
}


class NotArchived(Exception):
    """The bytes are no archive of this version."""


def pack(value: Any) -> bytes:
    """Any noun as compressed JSON; equal values give equal bytes."""
    text = json.dumps([FORMAT, *_Writer().all_of(value)], separators=(",", ":"), allow_nan=False)
    return gzip.compress(text.encode("utf-8"), compresslevel=3, mtime=0)


def digest(*values: Any) -> str:
    """A fingerprint of values that :func:`pack` takes."""
    return hashlib.sha256(b"".join(hashlib.sha256(pack(value)).digest() for value in values)).hexdigest()


def unpack(data: bytes) -> Any:
    """The value that was packed.  Raises NotArchived, whatever the bytes are."""
    try:
        with gzip.open(io.BytesIO(data)) as stream:
            text = stream.read(LARGEST)
        version, nodes, root = json.loads(text)
        if version != FORMAT:
            raise NotArchived("another format")
        made: list[Any] = []
        for node in nodes:
            made.append(_node(node, made))
        return _value(root, made)
    except NotArchived:
        raise
    except Exception as error:
        raise NotArchived(f"{type(error).__name__}: {error}") from error


# -------------------------------------------------------------------------------------------------- writing


class _Writer:
    def __init__(self) -> None:
        self._nodes: list[Any] = []
        self._place: dict[int, int] = {}
        self._held: list[Any] = []  # keeps objects alive, for their ids are their names while writing

    def all_of(self, value: Any) -> tuple[list[Any], Any]:
        root = self._write(value)
        return self._nodes, root

    def _write(self, value: Any) -> Any:
        if value is None or isinstance(value, (bool, str)):
            return value
        if isinstance(value, (np.bool_, np.integer, np.floating)):
            value = value.item()
        if isinstance(value, int):
            return value
        if isinstance(value, float):
            return value if math.isfinite(value) else {"f": repr(value)}
        if isinstance(value, Enum):
            return {"e": type(value).__name__, "v": value.value}
        if isinstance(value, (tuple, list)):
            return [self._write(item) for item in value]
        if isinstance(value, Mapping):
            return {"d": [[self._write(key), self._write(item)] for key, item in value.items()]}
        return {"n": self._node(value)}

    def _node(self, value: Any) -> int:
        if id(value) not in self._place:
            node = self._node_of(value)
            self._place[id(value)] = len(self._nodes)
            self._held.append(value)
            self._nodes.append(node)
        return self._place[id(value)]

    def _node_of(self, value: Any) -> dict[str, Any]:
        if dataclasses.is_dataclass(value) and not isinstance(value, type):
            fields = {f.name: self._write(getattr(value, f.name)) for f in dataclasses.fields(value) if f.init}
            return {"noun": type(value).__name__, "is": fields}
        if isinstance(value, BaseGeometry):
            return {"wkb": base64.b64encode(shapely.to_wkb(value)).decode("ascii")}
        if isinstance(value, np.ndarray) and value.dtype.kind == "O":
            return {"items": [self._write(item) for item in value.ravel().tolist()], "shape": list(value.shape)}
        if isinstance(value, np.ndarray) and value.dtype.kind in PLAIN_KINDS:
            data = base64.b64encode(np.ascontiguousarray(value).tobytes()).decode("ascii")
            return {"array": data, "dtype": value.dtype.str, "shape": list(value.shape)}
        raise TypeError(f"{type(value).__name__} cannot be archived")


# -------------------------------------------------------------------------------------------------- reading


def _node(node: dict[str, Any], made: list[Any]) -> Any:
    if "noun" in node:
        return NOUNS[node["noun"]](**{name: _value(item, made) for name, item in node["is"].items()})
    if "wkb" in node:
        return shapely.from_wkb(base64.b64decode(node["wkb"]))
    if "items" in node:
        items = np.empty(len(node["items"]), object)
        items[:] = [_value(item, made) for item in node["items"]]
        return items.reshape(node["shape"])
    dtype = np.dtype(node["dtype"])
    if dtype.kind not in PLAIN_KINDS:
        raise NotArchived("an array of objects")
    return np.frombuffer(base64.b64decode(node["array"]), dtype).reshape(node["shape"]).copy()


def _value(value: Any, made: list[Any]) -> Any:
    if isinstance(value, list):
        return tuple(_value(item, made) for item in value)
    if not isinstance(value, dict):
        return value
    if "n" in value:
        return made[value["n"]]
    if "f" in value:
        return float(value["f"])
    if "e" in value:
        return CHOICES[value["e"]](value["v"])
    return {_value(key, made): _value(item, made) for key, item in value["d"]}
