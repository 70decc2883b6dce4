"""The fewest devices and breakers that protect what is missing: a task for each set of sheets."""

from __future__ import annotations

from functools import partial

from cordpath.batch import tasks
from cordpath.batch.task_queue import Queue
from cordpath.errors import CordpathError
from cordpath.lending import sets_of
from cordpath.model import Proposal, SheetResult

PROPOSING_SECONDS = 60.0  # of one set of sheets; the largest sample takes 0.1 s
PAGE_SECONDS = 5.0  # more for each page of a file that is judged or marked: thirty times what one takes (measured)


def proposals(results: tuple[SheetResult, ...], queue: Queue) -> tuple[tuple[Proposal, ...], list[str]]:
    """One proposal for each set of sheets on which protection is missing, and why there is none for a set."""
    groups = sets_of(results)
    found: dict[int, Proposal | CordpathError | None] = {}
    for number, group in enumerate(groups):
        if any(finding.verdict == "missing" for result in group for finding in result.findings):
            seconds = PROPOSING_SECONDS + PAGE_SECONDS * len(group)
            queue.add(tasks.propose_for, (group,), seconds, partial(found.__setitem__, number))
    queue.work_off()
    each = [found[number] for number in sorted(found)]
    lost = [f"{groups[number][0].file}: no proposal: {why}" for number, why in sorted(found.items())
            if isinstance(why, CordpathError)]  # fmt: skip
    return tuple(one for one in each if isinstance(one, Proposal)), lost
