"""Ways of writing one drawing as a PDF; what is seen stays the same."""

from __future__ import annotations

import rewritten_files
import rewritten_forms
import rewritten_hidden
import rewritten_odd
import rewritten_pens
import rewritten_pictures
import rewritten_texts
from rewritten_page import WAYS, Way, plain

KINDS = (
    rewritten_forms, rewritten_hidden, rewritten_pens, rewritten_texts, rewritten_pictures, rewritten_files,
    rewritten_odd,
)  # fmt: skip

__all__ = ["KINDS", "WAYS", "Way", "plain"]
