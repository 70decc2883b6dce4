"""Reading the edition files that the package ships, and amendment files that a user names."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Any

import yaml

from cordpath.errors import UnreadableFile, UsageRefused
from cordpath.rules import language
from cordpath.rules.amend import POLICY_WORDS
from cordpath.rules.edition import Amendment, Change, Column, Edition, Exemption, Rule, is_within
from cordpath.rules.nodes import Entry, Faults, compose, items_of, read_text, text_of

FORMAT = "1"
COMPANIONS = ("afci", "tamper-resistant", "weather-resistant")  # the order of the columns
_INCOMPLETE = re.compile(r"^complete:[ \t]*false\b", re.MULTILINE)


@cache
def editions() -> tuple[str, ...]:
    """The years of all editions that the package ships, oldest first."""
    folder = resources.files("cordpath.rules").joinpath("editions")
    return tuple(sorted(item.name[:-5] for item in folder.iterdir() if item.name.endswith(".yaml")))


@cache
def load_edition(year: str) -> Edition:
    """The edition of a year; raises UsageRefused for a year that is not shipped, ConfigurationRefused for a
    file with faults."""
    if year not in editions():
        raise UsageRefused(
            f"edition {year!r} is not shipped", where="--code", cure=f"choose one of {', '.join(editions())}"
        )
    edition = parse_edition(*_shipped("editions", f"{year}.yaml"))
    return replace(edition, columns=companion_columns(year))


_CHANGES = ("drop", "change", "add", "exempt", "measure", "dialect", "policy")


def _shipped(folder: str, name: str) -> tuple[str, str]:
    """The text of a file of the package and its path; raises UnreadableFile."""
    with resources.as_file(resources.files("cordpath.rules").joinpath(folder).joinpath(name)) as path:
        return read_text(path), str(path)


@cache
def companion_columns(year: str) -> tuple[Column, ...]:
    """The companion columns of an edition, in the order of COMPANIONS."""
    found = (parse_column(*_shipped("companions", f"{name}.yaml"), year) for name in COMPANIONS)
    return tuple(column for column in found if column is not None)


def parse_column(text: str, file: str, year: str) -> Column | None:
    """A companion file: groups of rules, each for some editions.  None where no group is for this year.

    Raises ConfigurationRefused with every fault.
    """
    faults = Faults(file)
    entry = Entry(compose(text, file), faults, "the companion file")
    _format(entry, faults)
    name, title = entry.text("companion", need=True) or "", entry.text("title", need=True) or ""
    sources = entry.texts("sources")
    groups = [_group(node, faults) for node in language.listed(entry.need("groups"), faults, "'groups'")]
    entry.close()
    faults.refuse()
    held = [(rules, exemptions) for years, rules, exemptions in groups if year in years]
    if not held:
        return None
    rules = tuple(rule for some, _ in held for rule in some)
    return Column(name, title, rules, tuple(each for _, some in held for each in some), sources)


def _group(node: yaml.Node, faults: Faults) -> tuple[tuple[str, ...], tuple[Rule, ...], tuple[Exemption, ...]]:
    entry = Entry(node, faults, "a group")
    years = entry.texts("editions", need=True)
    found = years, _rules(entry, faults), _exemptions(entry, faults)
    entry.close()
    return found


@cache
def default_edition() -> str:
    """The newest edition whose file does not say that it is incomplete.

    Nothing else of the files is read here, so that a fault in one refuses the runs that use it and no others.  One
    in which the word cannot be found counts, and is refused when it is used: an older edition in its place would
    judge by other rules than the user takes for granted.
    """
    return max((year for year in editions() if not _says_incomplete(year)), default=editions()[-1])


def _says_incomplete(year: str) -> bool:
    try:
        return _INCOMPLETE.search(_shipped("editions", f"{year}.yaml")[0]) is not None
    except UnreadableFile:
        return False


def parse_edition(text: str, file: str) -> Edition:
    """An edition from its YAML text; raises ConfigurationRefused with every fault, by line and column."""
    faults = Faults(file)
    entry = Entry(compose(text, file), faults, "the edition file")
    _format(entry, faults)
    rules = _rules(entry, faults)
    found = Edition(
        year=entry.text("edition", need=True) or "",
        title=entry.text("title") or "",
        complete=entry.need("complete") is not None and entry.truth("complete", False),
        covers=entry.texts("covers"),
        leaves_out=entry.texts("leaves_out"),
        measure=language.measure(entry.need("measure"), faults),
        rules=rules,
        exemptions=_exemptions(entry, faults),
        notes=entry.texts("notes"),
        device=language.device(entry.get("device"), faults),
    )
    entry.close()
    _cites(found, entry, faults)
    faults.refuse()
    return found


def _rules(entry: Entry, faults: Faults) -> tuple[Rule, ...]:
    return tuple(language.rule(node, faults) for node in language.listed(entry.need("rules"), faults, "'rules'"))


def _exemptions(entry: Entry, faults: Faults) -> tuple[Exemption, ...]:
    nodes = language.listed(entry.get("exceptions"), faults, "'exceptions'")
    return tuple(language.exemption(node, faults) for node in nodes)


def _format(entry: Entry, faults: Faults) -> None:
    version = entry.text("cordpath", need=True)
    node = entry.items.get("cordpath")
    if version is not None and version != FORMAT and node is not None:
        faults.add(node, f"format version {version} is not known; expected cordpath: {FORMAT}")


def _cites(edition: Edition, entry: Entry, faults: Faults) -> None:
    """Every cite once; every exception reaches a rule."""
    rules = entry.items.get("rules")
    seen: set[str] = set()
    for rule, node in zip(edition.rules, rules.value if isinstance(rules, yaml.SequenceNode) else (), strict=False):
        if rule.cite in seen:
            faults.add(node, f"rule {rule.cite} is there twice")
        seen.add(rule.cite)
    nodes = entry.items.get("exceptions")
    pairs = zip(edition.exemptions, nodes.value if isinstance(nodes, yaml.SequenceNode) else (), strict=False)
    for exemption, node in pairs:
        for cite in exemption.to:
            if not any(is_within(rule.cite, cite) for rule in edition.rules):
                faults.add(node, f"exception {exemption.cite} is to {cite}, which no rule of this file has")


def load_amendment(path: Path) -> Amendment:
    """An amendment file; raises ConfigurationRefused with every fault, UnreadableFile."""
    return parse_amendment(read_text(path), str(path))


def parse_amendment(text: str, file: str) -> Amendment:
    """An amendment from its YAML text; raises ConfigurationRefused."""
    faults = Faults(file)
    entry = Entry(compose(text, file), faults, "the amendment file")
    _format(entry, faults)
    add = language.listed(entry.get("add"), faults, "'add'")
    exempt = language.listed(entry.get("exempt"), faults, "'exempt'")
    change = language.listed(entry.get("change"), faults, "'change'")
    dialect = _dialect(entry, faults)
    effective, sunset = entry.days()
    found = Amendment(
        name=entry.text("amendment", need=True) or "",
        file=file,
        editions=entry.texts("editions"),
        editions_at=_place(entry.items.get("editions")),
        effective=effective,
        sunset=sunset,
        drop=_drops(entry, faults),
        change=tuple(one for node in change for one in _change(node, faults)),
        add=tuple(language.rule(node, faults) for node in add),
        exempt=tuple(language.exemption(node, faults) for node in exempt),
        measure=_measure(entry, faults),
        dialect=tuple((nec, local) for nec, local, _ in dialect),
        dialect_at=tuple(place for _, _, place in dialect),
        says=entry.text("says") or "",
        status=entry.text("status"),
        sources=entry.texts("sources"),
        policy=_policy(entry, faults),
    )
    entry.close()
    if not faults.all and not any(key in entry.items for key in _CHANGES):
        faults.add(entry.node, f"the amendment file changes nothing; expected one of {', '.join(_CHANGES)}")
    node = entry.items.get("measure")
    if node is not None and (found.effective or found.sunset):
        faults.add(node, "'measure' cannot be changed by a dated amendment; give it in a file without dates")
    faults.refuse()
    return found


def _policy(entry: Entry, faults: Faults) -> tuple[tuple[str, str], ...]:
    """``policy:``, what claims without proof count for."""
    node = entry.get("policy")
    if node is None:
        return ()
    inner = Entry(node, faults, "'policy'")
    found = []
    for name in dict.fromkeys(name for name, _ in POLICY_WORDS):
        value = inner.text(name)
        if value is None:
            continue
        if (name, value) in POLICY_WORDS:
            found.append((name, value))
        else:
            known = " or ".join(v for n, v in POLICY_WORDS if n == name)
            faults.add(inner.items[name], f"'{name}' in 'policy' must be {known}, not {value!r}")
    inner.close()
    return tuple(found)


def _dialect(entry: Entry, faults: Faults) -> tuple[tuple[str, str, tuple[int, int]], ...]:
    """``dialect:``, a table of NEC sections and the numbers that the local code gives them."""
    node = entry.get("dialect")
    if node is None:
        return ()
    if not isinstance(node, yaml.MappingNode):
        faults.add(node, "'dialect' must be a table such as {210.8(A)(1): E3902.1}")
        return ()
    found: dict[str, tuple[str, str, tuple[int, int]]] = {}
    for key, value in node.value:
        nec = text_of(key, faults, "a section in 'dialect'")
        local = text_of(value, faults, "a local number in 'dialect'")
        if nec in found:
            faults.add(key, f"'dialect' has {nec} twice")
        if nec is not None and local is not None:
            found[nec] = (nec, local, _place(key))
    return tuple(found.values())


def _place(node: yaml.Node | None) -> tuple[int, int]:
    return (1, 1) if node is None else (node.start_mark.line + 1, node.start_mark.column + 1)


def _drops(entry: Entry, faults: Faults) -> tuple[tuple[str, int, int], ...]:
    node = entry.get("drop")
    items = items_of(node) if node is not None else ()
    return tuple((cite, *_place(item)) for item in items if (cite := text_of(item, faults, "'drop'")) is not None)


def _change(node: yaml.Node, faults: Faults) -> tuple[Change, ...]:
    """One change a citation.  Only the fields that are written are replaced, so absent ones stay absent here."""
    entry = Entry(node, faults, "a change")
    cites = entry.texts("cite", need=True)
    entry.what = f"the change of {', '.join(cites)}"
    fields: dict[str, Any] = {}
    for key in language.RULE_FIELDS:
        value = entry.get(key)
        if value is None:
            continue
        if key in ("volts", "amperes"):
            fields[key] = language.span(value, faults, f"{key!r}")
        elif key == "where":
            fields[key] = language.clauses(value, faults, f"'where' of {entry.what}")
        elif key == "for":
            fields["applies_to"] = language.applies_to(value, faults)
        elif key == "sources":
            fields[key] = entry.texts(key)
        elif key == "verify":
            fields[key] = entry.truth(key, False)
        elif key in ("effective", "sunset"):
            fields[key] = entry.date(key)
        else:
            fields[key] = entry.text(key)
    entry.days()
    entry.close()
    return tuple(Change(cite, tuple(fields.items()), *_place(node)) for cite in cites)


def _measure(entry: Entry, faults: Faults) -> tuple[tuple[str, Any], ...]:
    node = entry.get("measure")
    if not isinstance(node, yaml.MappingNode):
        if node is not None:
            faults.add(node, "'measure' must be a mapping of keys and values")
        return ()
    whole = language.measure(node, faults)
    return tuple((key.value, getattr(whole, key.value)) for key, _ in node.value
                 if isinstance(key, yaml.ScalarNode) and hasattr(whole, key.value))  # fmt: skip
