"""A sheet on which no outlet was found: is there nothing to check, or was something missed?"""

from __future__ import annotations

from cordpath.model import Reading, SheetResult, SheetStatus

LONELY_LABELS = 3  # circuit tags or GFI texts without a symbol: fewer may be stray text, so many are a power plan
OTHERS = "is it drawn for another mapping file?"


def without_outlets(file: str, page: int, reading: Reading, said: tuple[str, ...]) -> SheetResult:
    """Skipped; failed where labels of devices show that there must be outlets, no drawing shows how outlets are
    drawn, the legend names some that the mapping file lacks, or a part of the sheet may be lost.

    ``said``: what was taken for granted.
    """
    status, why = _told(reading)
    return SheetResult(file, page, status, why, reading, (), said)


def _told(reading: Reading) -> tuple[SheetStatus, str]:
    if reading.spotting.blind:
        return "failed", reading.spotting.blind
    what = "outlet" if reading.spotting.symbols else "symbol"
    why = f"no {what} of the mapping file is drawn on it"
    if reading.sheet.damage:  # there may have been some in what is lost
        return "failed", f"{why}, but {reading.sheet.damage}"
    nameless = next((rest for rest in reading.unexplained if rest.proposed), None)
    if nameless is not None:
        return "failed", f"{why}, but {nameless.what}"
    named = next((rest for rest in reading.unexplained if rest.is_outlet), None)
    if named is not None:
        return "failed", f"{why}, but {named.what}: {OTHERS}"
    lonely = [rest for rest in reading.unexplained if rest.is_label]
    count = sum(rest.count for rest in lonely)
    if count < LONELY_LABELS:
        return "skipped", why
    such = lonely[0].what.split(" label")[0].split(" ", 1)[1]
    shape = f"{count} labels of devices (such as {such}) have no symbol"
    return "failed", f"{why}, but {shape}: {OTHERS}"
