"""Facts that exceptions and amendments ask for, as symbols and labels of a mapping file tell them."""

from __future__ import annotations

import pytest

from cordpath.errors import ConfigurationRefused
from cordpath.symbols.mapping_file.mapping import mapping_of

FACTS = ("readily_accessible", "dedicated_circuit", "single_receptacle", "hard_wired")
TEXT = """\
cordpath: 1
symbols:
  - name: single receptacle
    kind: receptacle
    legend: SINGLE RECEPTACLE
    {fact}: {value}
labels:
  - text: DED
    sets: {{{fact}: {value}, amperes: 20}}
"""


@pytest.mark.parametrize("fact", FACTS)
@pytest.mark.parametrize(("written", "value"), [("true", True), ("false", False)])
def test_a_symbol_and_a_label_tell_the_fact(fact: str, written: str, value: bool) -> None:
    mapping = mapping_of(TEXT.format(fact=fact, value=written).encode(), "m.yaml")
    assert getattr(mapping.symbols[0], fact) is value
    assert [getattr(mapping.symbols[0], other) for other in FACTS if other != fact] == [None] * 3
    assert dict(mapping.labels[0].sets) == {fact: value, "amperes": 20.0}


@pytest.mark.parametrize("fact", FACTS)
def test_a_wrong_value_is_told_with_its_place(fact: str) -> None:
    with pytest.raises(ConfigurationRefused) as refused:
        mapping_of(TEXT.format(fact=fact, value="perhaps").encode(), "m.yaml")
    told = str(refused.value).split("\n")
    assert told[0].startswith(f"m.yaml:6:{len(fact) + 7}: {fact} is 'perhaps', and true or false")
    assert told[1].startswith(f"m.yaml:9:{len(fact) + 14}: {fact} is 'perhaps'")
