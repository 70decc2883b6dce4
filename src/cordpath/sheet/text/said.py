"""What is told of the text of a sheet."""

from __future__ import annotations

from cordpath.geometry import grown, in_box
from cordpath.model import Point, Word
from cordpath.sheet.lettering import Lettering

SAME_LINE = 4.0  # pt between the middles of a line, of its letters' boxes and of their ink


def drawn_text(plotted: Lettering) -> tuple[str, ...]:
    """Of lettering that is drawn."""
    if not plotted.lines:
        return ()
    if plotted.few:
        return (
            f"some labels of this sheet are drawn, not text: {len(plotted.words)} words were read from them, "
            f"{len(plotted.unread)} could not be read",
        )
    alike = f", {plotted.twice} of them by two readers alike" if plotted.twice else ""
    sure = "only what two readers read alike" if plotted.twice else "none of it"
    return (
        f"the lettering of this sheet is drawn, not text: {len(plotted.words)} words were read from it{alike}, "
        f"{len(plotted.unread)} lines could not be read",
        *((f"most of this lettering makes no sense as read: {sure} is taken as sure",) if plotted.strange else ()),
    )


def unread_still(lines: tuple[Point, ...], plotted: Lettering) -> tuple[Point, ...]:
    """The middles of lines in fonts that do not say their letters, but for those of which the drawing was read, or
    is told as unread: a letter's size about each word, for the middle may lie between two."""
    read = [grown(word.box, word.size) for word in plotted.words]
    read += [grown((*at, *at), SAME_LINE) for at in plotted.unread]
    return tuple(at for at in lines if not any(in_box(at, box) for box in read))


def cut_out(texts: int) -> tuple[str, ...]:
    """Of texts that are stencils."""
    if not texts:
        return ()
    return (f"{texts} texts are stencils that something is painted through, if anything: they were not read",)


def mute_text(lines: int, left: int) -> tuple[str, ...]:
    """Of lines in fonts that do not say their letters, ``left`` of them not to be drawn."""
    if not lines:
        return ()
    lost = (
        f"{left} could not be read: print the sheet again from its own program, with text as text or as outlines"
        if left else "they were read as they are drawn"
    )  # fmt: skip
    return (
        f"{lines} lines of text are in fonts that do not say what their letters are, or say it against what they "
        f"show; {lost}",
    )


def doubtful_text(text: tuple[Word, ...]) -> tuple[str, ...]:
    """Of words that settle nothing."""
    wrong = [word.text for word in text if word.origin == "font" and word.confidence < 1.0]
    if not wrong:
        return ()
    some = ", ".join(dict.fromkeys(wrong[:3]))
    return (
        f"{len(wrong)} words of text (such as {some}) have letters that look like others, are seen through a "
        "mask, lie under a shading or a picture or are partly painted out: they settle nothing",
    )
