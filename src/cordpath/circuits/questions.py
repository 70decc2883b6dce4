"""Findings that become questions because another place on the drawing speaks about their protection."""

from __future__ import annotations

from dataclasses import replace

from cordpath.circuits.protection import question
from cordpath.model import NOT_SHOWN, Finding


def asked(finding: Finding, why: str, said: str, evidence: tuple[str, ...] = ()) -> Finding:
    """The finding, unresolved for ``said``.

    Whether it is protected is not known, for ``why``, which comes before what was told of it and the ``evidence``.
    """
    old = finding.protection
    shown = question(replace(old, reasons=(*old.reasons, *evidence)), why)
    rest = tuple(reason for reason in finding.reasons if reason != NOT_SHOWN)
    return replace(finding, verdict="unresolved", protection=shown, reasons=(said, *rest))
