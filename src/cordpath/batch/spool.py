"""Pictures of a batch, kept on the disk until the report is written: a thousand sheets have some 300 MB of them."""

from __future__ import annotations

import tempfile
from collections.abc import Hashable, Iterator, Mapping
from pathlib import Path
from typing import BinaryIO, Generic, TypeVar

K = TypeVar("K", bound=Hashable)


class Spool(Mapping[K, bytes], Generic[K]):
    """Bytes by key in a nameless file of ``folder``, which the system takes away with the process, however it ends.

    Where the disk has no room, what does not fit is left out and ``problem`` says so.
    """

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._file: BinaryIO | None = None
        self._places: dict[K, tuple[int, int]] = {}
        self._end = 0
        self.problem: str | None = None

    def put(self, key: K, data: bytes) -> None:
        try:
            if self._file is None:
                self._folder.mkdir(parents=True, exist_ok=True)
                self._file = tempfile.TemporaryFile(dir=self._folder, buffering=0)  # noqa: SIM115 (lives on)
            self._file.seek(self._end)
            if self._file.write(data) != len(data):  # what a full disk gives first
                raise OSError("no room for all of it")
        except OSError as error:
            self.problem = f"pictures are missing in the report: they cannot be kept ({error.strerror or error})"
            return
        self._places[key] = (self._end, len(data))
        self._end += len(data)

    def size(self, key: K) -> int:
        """Bytes of an entry, 0 where there is none."""
        return self._places.get(key, (0, 0))[1]

    def __getitem__(self, key: K) -> bytes:
        at, length = self._places[key]
        assert self._file is not None
        self._file.seek(at)
        return self._file.read(length)

    def __contains__(self, key: object) -> bool:
        return key in self._places

    def __iter__(self) -> Iterator[K]:
        return iter(self._places)

    def __len__(self) -> int:
        return len(self._places)

    def close(self) -> None:
        if self._file is not None:
            self._file.close()


class Chosen(Mapping[K, bytes], Generic[K]):
    """Those entries of a mapping whose keys were chosen, read as they are asked for."""

    def __init__(self, whole: Mapping[K, bytes], keys: frozenset[K]) -> None:
        self._whole, self._keys = whole, keys

    def __getitem__(self, key: K) -> bytes:
        if key not in self._keys:
            raise KeyError(key)
        return self._whole[key]

    def __contains__(self, key: object) -> bool:
        return key in self._keys and key in self._whole

    def __iter__(self) -> Iterator[K]:
        return (key for key in self._whole if key in self._keys)

    def __len__(self) -> int:
        return sum(1 for _ in self)
