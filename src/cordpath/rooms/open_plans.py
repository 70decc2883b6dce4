"""What is told of rooms that share a space, or that a wide opening joins."""

from __future__ import annotations

from itertools import combinations

from cordpath.rooms.names.kinds import DOUBT, Draft
from cordpath.rooms.shut_off import never_open


def tell_open_plans(drafts: list[Draft]) -> None:
    """Doubts of rooms that nothing divides from others, in place; kinds are settled before."""
    by_seed = {d.seed: d for d in drafts if d.seed is not None}
    for draft in drafts:
        mates = [by_seed[k] for k in draft.open_with if k in by_seed]
        if mates:
            names = ", ".join(m.name for m in mates)
            same = all(m.kind == draft.kind for m in mates)
            draft.doubt(f"open plan: no wall divides it from {names}; the line between them is a guess",
                        0.85 if same else 0.7)  # fmt: skip
            pair = next((p for p in combinations((draft, *mates), 2) if never_open(p[0].kind, p[1].kind)), None)
            if pair is not None:
                draft.doubt(f"{pair[0].name} and {pair[1].name} came out in one space: walls there were not "
                            "recognised", DOUBT)  # fmt: skip
        beyond = [by_seed[k] for k in draft.wide_with if k in by_seed]
        if any(m.kind != draft.kind for m in beyond):
            names = ", ".join(m.name for m in beyond)
            draft.doubt(f"a wide opening without a door leads to {names}; the line between them is a guess", 0.85)
