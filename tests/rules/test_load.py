"""Rule files: every fault by line and column, and nothing odd gets through."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cordpath.errors import ConfigurationRefused, CordpathError, UnreadableFile, UsageRefused
from cordpath.rules import default_edition, editions, load, load_amendment, load_edition
from cordpath.rules.load import parse_amendment, parse_edition

GOOD = """cordpath: 1
edition: "2099"
measure: {doors: open, limit_ft: 6}
rules:
  - cite: 210.8(A)(1)
    title: Bathrooms
    says: Every receptacle in a bathroom.
    for: receptacle
    volts: 125 to 250
    where: {room: bathroom}
exceptions:
  - cite: Exception 1
    says: One of its own.
    to: [210.8(A)]
    claim: {serves: [bell]}
complete: false
"""

# what is replaced, by what, line, column, a word of the message
FAULTS = [
    ("cordpath: 1", "cordpath: 2", 1, 11, "version"),
    ("measure: {doors: open, limit_ft: 6}", "measure: {doors: ajar, limit_ft: 6}", 3, 18, "open, blocking"),
    ("limit_ft: 6", "limit_ft: -6", 3, 34, "number above 0"),
    ("limit_ft: 6", "limit_ft: yes", 3, 34, "number above 0"),
    ("limit_ft: 6", "limit_ft: 15", 3, 34, "above 11 ft"),
    ("    title: Bathrooms\n", "", 5, 5, "lacks 'title'"),
    ("for: receptacle", "for: socket", 8, 10, "'socket'"),
    ("volts: 125 to 250", "volts: 250 to 125", 9, 12, "high to low"),
    ("volts: 125 to 250", "volts: some", 9, 12, "'volts' must be"),
    ("where: {room: bathroom}", "where: {room: loo}", 10, 19, "'loo'"),
    ("where: {room: bathroom}", "where: {rom: bathroom}", 10, 13, "'rom'"),
    ("where: {room: bathroom}", "where: {}", 10, 12, "no condition"),
    ("where: {room: bathroom}", "where: {finished: maybe}", 10, 23, "true or false"),
    ("where: {room: bathroom}", "where: bathroom", 10, 12, "mapping"),
    ("    says: One of", "    sais: One of", 13, 5, "'sais'"),
    ("to: [210.8(A)]", "to: [210.8(B)]", 12, 5, "no rule"),
    ("claim: {serves: [bell]}", "claim: {serves: []}", 15, 21, "empty"),
    ("    for: receptacle", "    for: receptacle\n    for: receptacle", 9, 5, "twice"),
    ("where: {room: bathroom}", "where: {room: bathroom}\n    sunset: soon", 11, 13, "date"),
]


def test_a_good_file_is_read() -> None:
    edition = parse_edition(GOOD, "e.yaml")
    assert [rule.cite for rule in edition.rules] == ["210.8(A)(1)"]
    assert not edition.complete


@pytest.mark.parametrize(("old", "new", "line", "column", "word"), FAULTS)
def test_a_fault_is_told_by_line_and_column(old: str, new: str, line: int, column: int, word: str) -> None:
    assert old in GOOD
    with pytest.raises(ConfigurationRefused) as refused:
        parse_edition(GOOD.replace(old, new, 1), "e.yaml")
    told = [fault for fault in refused.value.faults if word in fault.what]
    assert [(fault.line, fault.column) for fault in told] == [(line, column)], str(refused.value)
    assert re.match(rf"^e\.yaml:{line}:{column}: ", str(told[0]))


def test_all_faults_come_at_once_in_order() -> None:
    bad = GOOD.replace("for: receptacle", "for: socket").replace("room: bathroom", "room: loo")
    with pytest.raises(ConfigurationRefused) as refused:
        parse_edition(bad, "e.yaml")
    assert [fault.line for fault in refused.value.faults] == [8, 10]


@pytest.mark.parametrize(
    "text",
    [
        "",
        "- a",
        "just words",
        "a: [",
        "a: &x [*x]",
        "a: " + "[" * 60 + "]" * 60,
        "a: !!python/object:os.system {}",
        "\x00",
        "cordpath: 1\n\tedition: 3",
        "? [a, b]\n: c",
    ],
)
def test_what_is_no_rule_file_is_refused(text: str) -> None:
    with pytest.raises(ConfigurationRefused):
        parse_edition(text, "e.yaml")
    with pytest.raises(ConfigurationRefused):
        parse_amendment(text, "a.yaml")


@settings(max_examples=150, deadline=None)
@given(st.integers(0, len(GOOD)), st.integers(0, 30), st.text("{}[]:-&*!|>'\"#%@`, \n\tay0.\u00e9", max_size=6))
def test_a_mangled_file_is_read_or_refused_but_never_crashes(at: int, cut: int, put: str) -> None:
    text = GOOD[:at] + put + GOOD[at + cut :]
    for parse in (parse_edition, parse_amendment):
        try:
            parse(text, "e.yaml")
        except ConfigurationRefused as refused:
            assert all(fault.line >= 1 and fault.column >= 1 for fault in refused.faults)


@pytest.mark.parametrize("put", ["rules: [", "complete: maybe", "\x00", ""])
def test_a_broken_edition_file_refuses_the_runs_that_use_it_and_no_others(
    monkeypatch: pytest.MonkeyPatch, put: str
) -> None:
    shipped, broken = load._shipped, editions()[0]

    def altered(folder: str, name: str) -> tuple[str, str]:
        text, path = shipped(folder, name)
        return (f"cordpath: 1\n{put}\n" if name == f"{broken}.yaml" else text), path

    newest = default_edition()
    monkeypatch.setattr(load, "_shipped", altered)
    for kept in (load.load_edition, load.default_edition):
        kept.cache_clear()
    try:
        assert load.default_edition() == newest  # which does not look at rules, and breaks no command
        assert load.load_edition(newest).rules
        with pytest.raises(ConfigurationRefused, match=rf"editions.{broken}\.yaml:\d+:\d+: "):
            load.load_edition(broken)
    finally:
        for kept in (load.load_edition, load.default_edition):
            kept.cache_clear()


def test_an_edition_that_is_broken_is_not_passed_over_for_an_older_one(monkeypatch: pytest.MonkeyPatch) -> None:
    newest = default_edition()
    shipped = load._shipped
    monkeypatch.setattr(
        load, "_shipped", lambda folder, name: ("", name) if name == f"{newest}.yaml" else shipped(folder, name)
    )
    load.default_edition.cache_clear()
    try:
        assert load.default_edition() == newest
    finally:
        load.default_edition.cache_clear()


def test_an_edition_that_is_not_shipped_is_refused_with_the_list() -> None:
    with pytest.raises(UsageRefused, match=r"2017, 2020, 2023"):
        load_edition("1999")
    with pytest.raises(UsageRefused):
        load_edition("../2023")
    assert editions() == tuple(sorted(editions()))


def test_amendment_files_that_cannot_be_read(tmp_path: Path) -> None:
    with pytest.raises(UnreadableFile):
        load_amendment(tmp_path / "none.yaml")
    with pytest.raises(UnreadableFile):
        load_amendment(tmp_path)
    (tmp_path / "latin.yaml").write_bytes(b"amendment: caf\xe9")
    with pytest.raises(UnreadableFile):
        load_amendment(tmp_path / "latin.yaml")
    (tmp_path / "huge.yaml").write_bytes(b"#" * 1_000_002)
    with pytest.raises(CordpathError, match="larger"):
        load_amendment(tmp_path / "huge.yaml")
