"""Every rule of every edition file, walked: it decides its record and leaves the next one alone."""

from __future__ import annotations

import pytest
from tests.rules.cases import EXEMPTIONS, ONLY_ASK, RULES
from tests.rules.records import NOT_SHOWN, SHOWN, cites, finding

from cordpath.model import Answer, Verdict
from cordpath.rules import default_edition, editions, load_edition
from cordpath.rules.edition import Exemption, Rule

ALL_RULES = [(year, rule) for year in editions() for rule in load_edition(year).rules]
ALL_EXEMPTIONS = [(year, each) for year in editions() for each in load_edition(year).exemptions]
LOCATIONS = {"2014": 10, "2017": 10, "2020": 11, "2023": 12, "2026": 13}  # items of 210.8(A)


def name(value: object) -> str:
    return value.cite if isinstance(value, Rule | Exemption) else str(value)


@pytest.mark.parametrize(("year", "rule"), ALL_RULES, ids=name)
def test_a_rule_asks_for_protection_where_it_holds(year: str, rule: Rule) -> None:
    holds, _ = RULES[rule.title]
    found = finding(year, NOT_SHOWN, **holds)
    assert rule.cite in cites(found), found.reasons
    assert found.verdict == "missing"
    assert any(rule.cite in reason for reason in found.reasons)
    assert finding(year, SHOWN, **holds).verdict == "protected"


@pytest.mark.parametrize(("year", "rule"), ALL_RULES, ids=name)
def test_a_rule_leaves_the_record_beside_it_alone(year: str, rule: Rule) -> None:
    _, leaves = RULES[rule.title]
    found = finding(year, NOT_SHOWN, **leaves)
    assert rule.cite not in cites(found) + cites(found, Answer.UNKNOWN), found.reasons


@pytest.mark.parametrize(("year", "exemption"), ALL_EXEMPTIONS, ids=name)
def test_an_exception_takes_out_what_it_names_and_asks_for_what_is_not_shown(
    year: str, exemption: Exemption
) -> None:
    taken_out, beside = EXEMPTIONS[exemption.cite]
    only_ask = (year, exemption.cite) in ONLY_ASK
    if taken_out:
        expected: Verdict = "unresolved" if only_ask else "not required"
        assert finding(year, NOT_SHOWN, **taken_out).verdict == expected
    else:
        assert exemption.ask
    assert finding(year, NOT_SHOWN, **beside).verdict in ("missing", "unresolved")


@pytest.mark.parametrize("year", editions())
def test_an_edition_is_whole_and_says_where_it_comes_from(year: str) -> None:
    edition = load_edition(year)
    assert edition.year == year
    items = [rule for rule in edition.rules if rule.cite.startswith("210.8(A)(")]
    assert [rule.cite for rule in items] == [f"210.8(A)({n})" for n in range(1, LOCATIONS[year] + 1)]
    assert edition.measure.doors == {"2014": "unsettled", "2017": "blocking"}.get(year, "open")
    assert edition.measure.sink_edge == ("outer" if year == "2014" else "inner")
    assert edition.measure.limit_ft == 6.0
    assert edition.covers
    for rule in edition.rules:
        assert rule.says and rule.changed and (rule.sources or rule.verify), rule.cite


def test_the_default_is_the_newest_complete_edition() -> None:
    complete = [year for year in editions() if load_edition(year).complete]
    assert default_edition() == max(complete)
    assert {"2017", "2020", "2023"} <= set(complete)


@pytest.mark.parametrize("year", editions())
def test_scope_of_the_list_by_volts_and_amperes(year: str) -> None:
    """125 V, 15 and 20 A to 2017; 125 to 250 V without an ampere limit from 2020."""
    wide = year >= "2020"
    bath = RULES["Bathrooms"][0]
    assert finding(year, **bath, volts=120.0).verdict == "missing"
    assert finding(year, **bath, volts=125.0, amperes=20.0).verdict == "missing"
    assert finding(year, **bath, volts=240.0).verdict == ("missing" if wide else "not required")
    assert finding(year, **bath, volts=250.0, amperes=50.0).verdict == ("missing" if wide else "not required")
    assert finding(year, **bath, amperes=30.0).verdict == ("missing" if wide else "not required")
    assert finding(year, **bath, volts=277.0).verdict == "not required"
    assert finding(year, **bath, volts=12.0).verdict == "not required"
