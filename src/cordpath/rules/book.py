"""The rules in force, as a table and one by one: what ``cordpath rules`` and ``cordpath explain`` show.

Terms: *base*, the edition as shipped; *line*, one entry of the table; *mark*, what an amendment did to it.
"""

from __future__ import annotations

import difflib
from dataclasses import dataclass, replace

from cordpath.errors import UsageRefused
from cordpath.rules import wording
from cordpath.rules.apply import NOT_SEEN
from cordpath.rules.edition import Clause, Edition, Exemption, Rule, Spot

Entry = Rule | Exemption | Spot
HEAD = ("", "citation", "what", "for", "volts", "amperes", "says", "note")


@dataclass(frozen=True)
class Line:
    """An entry of the edition as the table shows it; ``part`` heads the group it stands in."""

    part: str
    mark: str  # "", changed, added, dropped
    cite: str
    nec: str
    what: str
    applies_to: str
    volts: str
    amperes: str
    says: str
    note: str
    entry: Entry

    @property
    def cells(self) -> tuple[str, ...]:
        """In the order of HEAD."""
        return (self.mark, self.cite, self.what, self.applies_to, self.volts, self.amperes, self.says, self.note)


@dataclass(frozen=True)
class Paragraph:
    """A heading with lines: one part of what ``explain`` tells."""

    heading: str
    lines: tuple[str, ...]


def rule_lines(edition: Edition, base: Edition) -> tuple[Line, ...]:
    """Rules, exceptions, the device's place and the companion columns, with what became of the base's entries."""
    lines = [_rule_line("rules", rule, _rule_mark(rule, base), edition) for rule in edition.rules]
    lines += [_rule_line("rules", rule, "dropped", edition) for rule in base.rules if rule not in edition.rules
              and edition.rule(rule.cite) is None]  # fmt: skip
    lines += [_exemption_line(each, "" if each in base.exemptions else "added", edition)
              for each in edition.exemptions]  # fmt: skip
    lines += [_exemption_line(each, "dropped", edition) for each in base.exemptions
              if each not in edition.exemptions]  # fmt: skip
    if edition.device is not None:
        cite, says = edition.device.cite, edition.device.says
        lines.append(_line("the device", "", edition.shown(cite), cite, "its place", says, "", edition.device))
    for column in edition.columns:
        part = f"beside the verdict: {column.name}"
        lines += [_rule_line(part, rule, "", edition) for rule in column.rules]
        lines += [_exemption_line(each, "", edition, part) for each in column.exemptions]
    return tuple(lines)


def _rule_mark(rule: Rule, base: Edition) -> str:
    if rule in base.rules:
        return ""
    known = any(rule.cite == old.cite or rule.cite.startswith(f"{old.cite} as amended") for old in base.rules)
    return "changed" if known else "added"


def _note(entry: Rule | Exemption, edition: Edition) -> str:
    dated = wording.dates(entry, edition.permit_date)
    return "; ".join(part for part in (dated, NOT_SEEN if entry.verify else "") if part)


def _rule_line(part: str, rule: Rule, mark: str, edition: Edition) -> Line:
    return Line(
        part, mark, edition.shown(rule.cite), rule.cite, rule.title, wording.applies_to(rule),
        wording.span(rule.volts, "V"), wording.span(rule.amperes, "A"), rule.says, _note(rule, edition), rule,
    )  # fmt: skip


def _exemption_line(each: Exemption, mark: str, edition: Edition, part: str = "exceptions") -> Line:
    to = ", ".join(edition.shown(cite) for cite in each.to)
    shown = edition.shown(each.cite)
    return _line(part, mark, shown, each.cite, f"exception to {to}", each.says, _note(each, edition), each)


def _line(part: str, mark: str, cite: str, nec: str, what: str, says: str, note: str, entry: Entry) -> Line:
    return Line(part, mark, cite, nec, what, "", "", "", says, note, entry)


# --------------------------------------------------------------------------------------------- one entry


def find_lines(wanted: str, lines: tuple[Line, ...]) -> tuple[Line, ...]:
    """The entries that a citation names, in either numbering: those with just that citation, else its parts.

    Raises UsageRefused where there is none, with the nearest ones.
    """
    key = _key(wanted)
    exact = tuple(line for line in lines if key in (_key(line.cite), _key(line.nec)))
    if exact and not any(_key(line.nec).startswith(f"{key}(") for line in lines):
        return exact
    parts = tuple(
        line for line in lines if key and (_key(line.cite).startswith(key) or _key(line.nec).startswith(key))
    )
    if parts:
        return exact or parts
    near = difflib.get_close_matches(wanted, list(dict.fromkeys(line.cite for line in lines)), 3, 0.4)
    cure = f"perhaps {' or '.join(near)}; 'cordpath rules' lists all" if near else "'cordpath rules' lists all"
    raise UsageRefused(f"no rule is cited as {wanted!r}", where="explain", cure=cure)


def _key(cite: str) -> str:
    return "".join(cite.upper().split())


def explain(line: Line, edition: Edition) -> tuple[Paragraph, ...]:
    """Everything about one entry: what it says, when it holds, its exceptions, how it is decided, its sources."""
    parts = [Paragraph("Says", (line.says,))]
    if line.mark:
        parts.append(Paragraph("Local amendment", (f"{line.mark} by {' or '.join(edition.amendments)}",)))
    if line.cite != line.nec:
        parts.append(Paragraph("Section of the NEC", (line.nec,)))
    if isinstance(line.entry, Rule):
        parts += _explain_rule(line.entry, edition)
    elif isinstance(line.entry, Exemption):
        parts += _explain_exemption(line.entry, edition)
    else:
        parts += _clauses("The device's place is asked about where", line.entry.where, edition)
    names = _names(line.entry, edition)
    parts.append(Paragraph("How cordpath decides it", wording.decides(names)))
    parts.append(Paragraph("What it cannot see", tuple(dict.fromkeys(wording.BLIND[name] for name in names))))
    if line.note:
        parts.append(Paragraph("Note", (line.note,)))
    parts.append(Paragraph("Sources", line.entry.sources or ("none was seen: from memory",)))
    return tuple(part for part in parts if part.lines)


def _names(entry: Entry, edition: Edition) -> tuple[str, ...]:
    if isinstance(entry, Rule):
        return wording.names_of(_around(entry, edition), entry)
    clauses = (*entry.claim, *entry.where) if isinstance(entry, Exemption) else entry.where
    return tuple(dict.fromkeys(found.name for each in clauses for found in each.conditions))


def _around(rule: Rule, edition: Edition) -> Edition:
    """The edition whose exceptions bear on a rule: a companion column has its own."""
    column = next((column for column in edition.columns if rule in column.rules), None)
    return edition if column is None else replace(edition, exemptions=column.exemptions)


def _explain_rule(rule: Rule, edition: Edition) -> list[Paragraph]:
    volts, amperes = wording.span(rule.volts, "V"), wording.span(rule.amperes, "A")
    parts = [Paragraph("About", (f"{wording.applies_to(rule)}; volts: {volts}; amperes: {amperes}",))]
    parts += _clauses("Asks for protection where", rule.where, edition)
    if any(found.name == "within" for each in rule.where for found in each.conditions):
        measure = edition.measure
        edges = f"To the {measure.sink_edge} edge of a sink, the {measure.tub_edge} edge of a tub or shower"
        doors = {"open": "doors do not end the way", "blocking": "a door ends the way",
                 "unsettled": "whether a door ends the way is a question"}[measure.doors]  # fmt: skip
        doors += (
            ", a window ends it" if measure.windows == "blocking" else ", whether a window ends it is a question"
        )
        parts.append(Paragraph("Measured", tuple(line for line in (measure.says, f"{edges}; {doors}.") if line)))
    reaching = [each for each in _around(rule, edition).exemptions if each.reaches(rule)]
    parts.append(Paragraph("Exceptions", tuple(_exception(each, edition) for each in reaching)))
    if rule.changed:
        parts.append(Paragraph("Against the edition before", (rule.changed,)))
    return parts


def _exception(each: Exemption, edition: Edition) -> str:
    note = _note(each, edition)
    claim = _any(each.claim, edition)
    also = f"; and {_any(each.where, edition)}" if each.where else ""
    asks = f"; then it asks: {each.ask}" if each.ask else ""
    said = each.says if each.says.endswith(".") else f"{each.says}."
    return f"{edition.shown(each.cite)}: {said} Claimed where {claim}{also}{asks}{f' ({note})' if note else ''}"


def _explain_exemption(each: Exemption, edition: Edition) -> list[Paragraph]:
    parts = [Paragraph("Takes out of", tuple(edition.shown(cite) for cite in each.to))]
    parts += _clauses("Must be plainly shown", each.claim, edition)
    parts += _clauses("And must hold, or it asks", each.where, edition)
    return [*parts, Paragraph("Asks even then", (each.ask,))] if each.ask else parts


def _any(clauses: tuple[Clause, ...], edition: Edition) -> str:
    return ", or ".join(wording.clause(each, edition.measure) for each in clauses) or "always"


def _clauses(heading: str, clauses: tuple[Clause, ...], edition: Edition) -> list[Paragraph]:
    lines = tuple(wording.clause(each, edition.measure) for each in clauses)
    return [Paragraph(f"{heading} (any one will do)" if len(lines) > 1 else heading, lines)]
