"""What a second reader adds to the rows of the first: where it is asked, and what its answers come to.

It is asked about tokens of two letters and more; then, of what it read alike, about the gaps beside words that may
be pieces of longer ones and about rows that may stand upside down; and about figures in the columns of tables.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from cordpath.sheet.lettering import second_reader
from cordpath.sheet.lettering.columns import in_columns
from cordpath.sheet.lettering.decode import Token
from cordpath.sheet.lettering.parts import Parts
from cordpath.sheet.lettering.rows import Row
from cordpath.sheet.lettering.second_reader import Second, compared_with, is_upright, set_off
from cordpath.sheet.lettering.trust import PARTED

Asked = tuple[int, int, int, int]  # row, token in it, first and last token that are read together
Judge = Callable[[Token, Asked, Second], Token]


def seconded(rows: list[Row], ink: Parts) -> list[Row]:
    """The rows with what a second reader says of them, where it is installed."""
    if not second_reader.is_installed():
        return rows
    rows = _judged(rows, ink, _each(rows), lambda token, _, other: compared_with(token, other))
    rows = _judged(rows, ink, _parted(rows), lambda token, asked, other: set_off(token, *_at(asked), other))
    rows = _upright(rows, ink)
    cells = [(i, k, k, k) for i, own in enumerate(in_columns(rows)) for k in own]
    return _judged(rows, ink, cells, _as_cell)


def _judged(rows: list[Row], ink: Parts, asked: list[Asked], judge: Judge) -> list[Row]:
    spans = [(rows[i].reading, rows[i].tokens[a].first, rows[i].tokens[b].last) for i, _, a, b in asked]
    tokens = {i: list(rows[i].tokens) for i, *_ in asked}
    for each, other in zip(asked, second_reader.second_readings(ink, spans), strict=True):
        i, k, *_ = each
        tokens[i][k] = judge(rows[i].tokens[k], each, other)
    return [_with(row, tokens[i]) if i in tokens else row for i, row in enumerate(rows)]


def _with(row: Row, tokens: list[Token]) -> Row:
    """A cell is read the way of the words that stand on its base."""
    return replace(row, tokens=tokens, one_way=row.one_way or any(token.column for token in tokens))


def _each(rows: list[Row]) -> list[Asked]:
    def is_asked(token: Token, row: Row) -> bool:
        return token.last > token.first and ((token.hit and token.span >= 2) or row.like_text)

    return [
        (i, k, k, k) for i, row in enumerate(rows) for k, token in enumerate(row.tokens) if is_asked(token, row)
    ]


def _upright(rows: list[Row], ink: Parts) -> list[Row]:
    """The rows; those that say as much from their other side stand as they are read where all their words were read
    alike and one of them cannot be read from there."""
    asked = [
        (i, token) for i, row in enumerate(rows)
        if not row.one_way and all(token.seconded and token.hit for token in row.tokens) for token in row.tokens
    ]  # fmt: skip
    spans = [(rows[i].reading, token.first, token.last) for i, token in asked]
    seen = second_reader.second_readings(ink, spans, over=True)
    told = {i for (i, token), other in zip(asked, seen, strict=True) if is_upright(token, other)}
    return [replace(row, one_way=True) if i in told else row for i, row in enumerate(rows)]


def _parted(rows: list[Row]) -> list[Asked]:
    """Words of which it is not sure that they end where they do, each with its neighbours."""
    out = []
    for i, row in enumerate(rows):
        for k, token in enumerate(row.tokens):
            if token.seconded and token.parted < PARTED:
                first = k - 1 if k and row.tokens[k - 1].last + 1 == token.first else k
                last = k + 1 if k + 1 < len(row.tokens) and token.last + 1 == row.tokens[k + 1].first else k
                out.append((i, k, first, last))
    return out


def _at(asked: Asked) -> tuple[int, int]:
    """Which of how many tokens is meant."""
    _, k, first, last = asked
    return k - first, last - first + 1


def _as_cell(token: Token, _: Asked, other: Second) -> Token:
    judged = compared_with(token, other)
    return replace(judged, column=judged.seconded is True)
